"""Telegram: private chats of the crew with one bot account, by long polling or by webhook."""
