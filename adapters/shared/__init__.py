"""What adapters for chat platforms have in common."""
