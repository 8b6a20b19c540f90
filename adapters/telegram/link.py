"""The link by which somebody who was invited opens the bot, with the code already in it."""

from __future__ import annotations

import asyncio

from telegram.error import TelegramError

from adapters.telegram.account import make_bot, token_of
from adapters.telegram.refusals import said
from bot.service.config import ConfigError, TelegramConfig

PATIENCE = 5.0


class NoLinkError(Exception):
    """There is no link; the message says why."""


def invite_link(config: TelegramConfig, code: str) -> str:
    """The link for that code. It asks Telegram for the bot's name. Raises NoLinkError."""
    try:
        return f"https://t.me/{asyncio.run(_name(config))}?start={code}"
    except ConfigError as error:
        raise NoLinkError(str(error)) from error
    except TelegramError as error:
        raise NoLinkError(f"Telegram did not tell the bot's name: {said(error)}") from error


async def _name(config: TelegramConfig) -> str:
    bot = make_bot(token_of(config), config.base_url, read=PATIENCE)
    try:
        await bot.initialize()
        return bot.username
    finally:
        await bot.shutdown()
