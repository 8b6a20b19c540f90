"""A real Matrix homeserver on this machine, for the tests: Synapse, from a virtual environment of its own."""
