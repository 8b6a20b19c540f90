"""The bot on a Matrix homeserver, with end-to-end encryption."""
