"""A data folder that shows what a few months of a small firm look like: simulated visits through the real service."""
