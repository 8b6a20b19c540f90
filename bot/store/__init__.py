"""What is kept: one narrow protocol, and its form in SQLite. SQL stands in this package alone."""
