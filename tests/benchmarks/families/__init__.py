"""Simulated visits over every family, in one table: `python -m tests.benchmarks.families --jobs 100`.

Machines and techs are those of `chargehand simulate`. `--visits FILE` keeps every visit as a line of JSON, to read
those that went wrong; `--noise` makes the machines stray from the packs, and `--truthful` tells the packs how. Checks
that no visit asked are listed, apart from those whose note says why they stay (`Kept (unused): ...`).
"""
