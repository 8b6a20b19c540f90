"""The owner's pages: the log, a visit with its trace, figures, wording, export and erasure. Served, without scripts."""
