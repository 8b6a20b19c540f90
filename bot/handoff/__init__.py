"""The senior's side of the talk: briefs, taking, relaying, giving back. Pure."""
