"""Results of checks in words: typed answers to an open one, and results that nobody asked for."""
