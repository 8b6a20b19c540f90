"""Dangers named on a visit, what is never done, cautions, and how the machine stands."""
