"""What learning from outcomes is worth: `python -m tests.benchmarks.learning`.

For each family a firm is drawn whose faults are mixed otherwise than the pack's (log-odds shifts). Visits planned by
the pack are made until so many are confirmed; what is learned of them goes live as one release, as far as the gate
lets it. Then fresh visits of the same firm are made twice, by the pack and by what was learned, on the same machines
with the same answers. Development and test firms have seeds of their own.
"""
