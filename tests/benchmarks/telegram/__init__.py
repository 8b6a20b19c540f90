"""Load on the Telegram adapter with faults on the way: see soak.py."""
