"""Understanding what a technician types: normalising, clauses and negation, matching, readings. Pure."""
