"""How long until something can be typed, and until something is answered: `python -m tests.benchmarks.start`."""
