"""Typed characters to words and units of meaning: spelling, forms, clauses, what a negation reaches."""
