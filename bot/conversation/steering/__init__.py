"""Words that steer the talk, what they do, corrections, and detail when asked."""
