"""The bot's account: its token (from the environment alone), its connections, its address on Telegram."""

from __future__ import annotations

import logging
import re
import ssl
from collections.abc import Mapping
from functools import cache
from typing import Final

import httpx
from telegram import Bot
from telegram.request import HTTPXRequest

from bot.service.config import ConfigError, TelegramConfig, secret

PLATFORM: Final = "telegram"
_TOKEN: Final = re.compile(r"(\d{1,20}):[A-Za-z0-9_-]{10,}")
_SECRET: Final = re.compile(r"[A-Za-z0-9_-]{1,256}")
_LISTEN: Final = re.compile(r"(\S+):(\d{1,5})")
_IN_TEXT: Final = re.compile(r"\d{1,20}:[A-Za-z0-9_-]{10,}")
CONNECT: Final = 5.0
READ: Final = 10.0
WRITE: Final = 10.0
MEDIA: Final = 30.0


def token_of(config: TelegramConfig, environment: Mapping[str, str] | None = None) -> str:
    """The token. Raises ConfigError, which never holds it."""
    token = secret(config.token_env, "[telegram]", environment)
    if not _TOKEN.fullmatch(token):
        raise ConfigError(f"[telegram]: {config.token_env} does not hold a bot token: copy the whole line that the "
                          "account for making bots gave you, digits, a colon and letters")
    return token


def secret_of(config: TelegramConfig, environment: Mapping[str, str] | None = None) -> str:
    """The webhook's secret; empty when polling. Raises ConfigError."""
    if config.webhook_url is None:
        return ""
    found = secret(config.webhook_secret_env or "", "[telegram]", environment)
    if not _SECRET.fullmatch(found):
        raise ConfigError(f"[telegram]: the secret in {config.webhook_secret_env} may hold letters, digits, _ and -"
                          " only, 1 to 256 of them")
    return found


def listen_of(config: TelegramConfig) -> tuple[str, int]:
    """Host and port that the webhook listens on. Raises ConfigError."""
    found = _LISTEN.fullmatch(config.webhook_listen)
    if found is None or not 0 < int(found[2]) < 65536:
        raise ConfigError("[telegram] webhook_listen: write host and port, such as 127.0.0.1:8443")
    return found[1], int(found[2])


def check(config: TelegramConfig) -> None:
    """Whether all is there that the settings name. Raises ConfigError."""
    token_of(config)
    secret_of(config)
    listen_of(config)


def account_of(token: str) -> str:
    """The bot's own id on Telegram: the digits of the token."""
    return token.partition(":")[0]


def make_bot(token: str, base_url: str | None, *, read: float = READ) -> Bot:
    """The bot with its connections: its own for polling, so that answers never wait behind a poll."""
    base = base_url or "https://api.telegram.org"
    talk = HTTPXRequest(connection_pool_size=32, read_timeout=read, write_timeout=WRITE, connect_timeout=CONNECT,
                        pool_timeout=READ, media_write_timeout=MEDIA, httpx_kwargs={"verify": _certificates()})
    poll = HTTPXRequest(connection_pool_size=2, read_timeout=read, write_timeout=WRITE, connect_timeout=CONNECT,
                        pool_timeout=READ, httpx_kwargs={"verify": _certificates()})
    return Bot(token, base_url=f"{base}/bot", base_file_url=f"{base}/file/bot", request=talk,
               get_updates_request=poll)


@cache
def _certificates() -> ssl.SSLContext:
    """Whom we trust on the net; reading that list takes a moment, so it is read once."""
    return httpx.create_ssl_context()


class Discreet(logging.Filter):
    """Keeps tokens out of the log (web addresses of the Bot API hold them), and what people wrote."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Blot out whatever looks like a token, and the answers that the library quotes when it cannot read them."""
        if record.name.split(".")[0] == "telegram":
            record.args = ()
        text = record.getMessage()
        if _IN_TEXT.search(text):
            record.msg, record.args = _IN_TEXT.sub("(token)", text), ()
        if record.exc_info and record.exc_text is None:
            record.exc_text = _IN_TEXT.sub("(token)", logging.Formatter().formatException(record.exc_info))
        return True
