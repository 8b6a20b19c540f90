"""What Telegram's errors mean for a message: there after all, later, or never.

Telegram's own words are compared where its codes say too little; they are quoted in the reason that is stored.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Final

from telegram.error import (
    BadRequest,
    ChatMigrated,
    Conflict,
    EndPointNotFound,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
)

from adapters.shared.sending import Patience
from bot.service.delivery import Delivered, Later, Never

NOT_MODIFIED: Final = "message is not modified"
BAD_MARKUP: Final = "can't parse entities"
NOTHING_TO_EDIT: Final = ("there is no text in the message to edit", "there is no caption in the message to edit")
TOKEN_REFUSED: Final = 60.0


def judged(error: TelegramError, patience: Patience) -> Delivered | Later | Never:
    """The outcome of a delivery that ended in `error`. A chat that moved is for the caller."""
    match error:
        case RetryAfter():
            return Later(retry_seconds(error))
        case Forbidden():
            return Never(f"Telegram refuses this chat: {said(error)}")
        case BadRequest():
            return Delivered() if NOT_MODIFIED in said(error).lower() else Never(f"Telegram refuses it: {said(error)}")
        case InvalidToken() | EndPointNotFound():
            return Later(TOKEN_REFUSED)
        case ChatMigrated():
            return Never(f"the chat moved: {said(error)}")
        case NetworkError() | Conflict():
            return patience.later()
        case _:
            return patience.later()


def retry_seconds(error: RetryAfter) -> float:
    """How long Telegram wants to be left alone."""
    after = error.retry_after
    return after.total_seconds() if isinstance(after, timedelta) else float(after)


def is_network(error: TelegramError) -> bool:
    """Whether nothing (or no answer) came through, so that trying again may help."""
    return isinstance(error, NetworkError) and not isinstance(error, BadRequest)


def said(error: TelegramError) -> str:
    """Telegram's words, without more of them than a log line should hold."""
    return " ".join(error.message.split())[:200]
