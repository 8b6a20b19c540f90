"""An emulator of the Bot API that nobody here wrote, in an environment of its own."""
