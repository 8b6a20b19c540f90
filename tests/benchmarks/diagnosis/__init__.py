"""Figures of the diagnosis engine: `python -m tests.benchmarks.diagnosis --help`."""
