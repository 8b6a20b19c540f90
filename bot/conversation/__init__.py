"""The guided talk: events in, effects out; the job's state, its phases, steering words, wording. Pure."""
