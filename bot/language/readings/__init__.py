"""Readings as they are typed, to SI; and short answers without a number."""
