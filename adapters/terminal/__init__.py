"""The bot in a terminal: by hand with colours and history, or in plain lines for scripts."""
