"""Telegram: private chats of the crew with one bot account, by long polling or by webhook."""

import os

os.environ.setdefault("PTB_TIMEDELTA", "1")  # the library's coming way to tell durations; the old one warns
