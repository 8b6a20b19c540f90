"""A Bot API server of our own for tests: what Telegram's servers do to a bot, over HTTP on loopback.

Written from the public description of the Bot API; see README.md for what it covers and what it leaves out.
"""
