"""A small transformer that reads a whole answer at once, in numpy."""
