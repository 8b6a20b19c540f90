"""The open question: putting it, and hearing an answer to it."""
