"""Simulated machines and techs, talking with the whole core: evaluation, written conversations, load."""
