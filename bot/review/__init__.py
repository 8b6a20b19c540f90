"""What the owner asks of the log: search, a visit with its trace, figures, wording, export, erasure, daily lists."""
