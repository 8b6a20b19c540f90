"""Typed text to reply through the real core and a real store."""
