"""Our own packs under different policies, through the typed talk: `python -m tests.benchmarks.policies`."""
