"""The Telegram adapter put together: in by polling or webhook, out by the outbox, from start to stop."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Final

from telegram import Bot, BotCommand, Update
from telegram.constants import ChatAction
from telegram.error import EndPointNotFound, InvalidToken, RetryAfter, TelegramError

from adapters.shared.adapter import AdapterHealth, AdapterStoppedError
from adapters.shared.arrivals import Arrivals
from adapters.shared.linking import Door
from adapters.shared.photos import PATIENCE, Fetcher
from adapters.shared.presence import Presence
from adapters.shared.sending import Patience
from adapters.shared.stopping import pause, unless_stopped
from adapters.shared.web import Site
from adapters.telegram.account import PLATFORM, account_of, listen_of, make_bot, secret_of, token_of
from adapters.telegram.delivery import TelegramDelivery
from adapters.telegram.polling import POLL_SECONDS, Poller
from adapters.telegram.reader import UpdateReader
from adapters.telegram.refusals import retry_seconds, said
from adapters.telegram.updates import KINDS, arrival
from adapters.telegram.watch import TOKEN_REFUSED, Watch
from adapters.telegram.webhook import webhook
from bot.service.clock import utc_now
from bot.service.config import TelegramConfig
from bot.service.service import Service
from bot.store.rows import Arrival

log = logging.getLogger(__name__)

COMMANDS: Final = (("how", "how to make this check"), ("why", "why this check, with the numbers"),
                   ("back", "take the last answer back"), ("skip", "can't or won't do this one"),
                   ("where", "what we know so far"), ("sheet", "the likely course, for where there is no signal"),
                   ("senior", "bring in a senior"), ("jobs", "open jobs"), ("new", "another machine"),
                   ("help", "what I understand"))
"""The menu beside the text field."""
SILENT: Final = 120.0
"""Seconds without an answer of Telegram's after which the line counts as dead (polling)."""


class TelegramAdapter:
    """One bot account.

    Seconds: `read` to wait for an answer of Telegram's, `poll` that a poll stays open, `photo_patience` to try a photo.
    """

    name = PLATFORM

    def __init__(self, config: TelegramConfig, service: Service, *, timezone: str = "UTC",
                 clock: Callable[[], datetime] = utc_now, read: float = 10.0, poll: int = POLL_SECONDS,
                 photo_patience: float = PATIENCE) -> None:
        """Raises ConfigError if the token or the webhook's secret is not there."""
        token = token_of(config)
        self.account = account_of(token)
        self.bot: Bot = make_bot(token, config.base_url, read=read)
        self.delivery = TelegramDelivery(self.bot, self.account, service.store)
        self._secret = secret_of(config)
        self._config = config
        self._service = service
        self._watch = Watch()
        self._stopping = asyncio.Event()
        door = Door(service, PLATFORM, self.account, clock, timezone)
        photos = Fetcher(service.store, clock, patience=photo_patience)
        self._reader = UpdateReader(self.bot, self.account, service, door, photos, clock, config.seniors_group)
        if config.seniors_group is not None:
            service.open_room(PLATFORM, self.account, config.seniors_group)
        self._arrivals = Arrivals(service.store, PLATFORM, self.account, self._reader, clock)
        self._presence = Presence(self._busy, self._show_typing)
        self._reader.presence = self._presence
        self._poll = poll
        self._read = read

    async def run(self) -> None:
        """Take updates until `stop`. Raises AdapterStoppedError."""
        await self._arrivals.resume()
        try:
            await self._run()
        finally:
            await self._arrivals.close()
            await self._presence.close()

    def stop(self) -> None:
        """Take no more."""
        self._stopping.set()

    async def close(self) -> None:
        """Let go of the connections."""
        await self._reader.close()
        await self.bot.shutdown()

    def health(self) -> AdapterHealth:
        """Alive when Telegram answered not long ago (polling), or when the webhook stands."""
        age = self._watch.age()
        waiting, oldest = self._arrivals.backlog()
        fresh = age is not None and (age < SILENT or bool(self._config.webhook_url))
        return AdapterHealth(fresh, {
            "mode": "webhook" if self._config.webhook_url else "polling",
            "last_success_seconds": None if age is None else round(age, 1), "problem": self._watch.problem,
            "last_refusal": self.delivery.last_error, "fetching": waiting, "oldest_fetching_seconds": round(oldest, 1),
            "put_aside": self._arrivals.failed, "unreadable": self._watch.unreadable})

    # -- taking ------------------------------------------------------------------------------------------------------

    async def _run(self) -> None:
        site: Site | None = None
        if self._config.webhook_url:
            site = Site(webhook(self.bot, self._secret, self._take, self._watch), *listen_of(self._config))
            await site.open()
        try:
            await self._introduce()
            if site is None:
                await Poller(self.bot, self._take, self._watch, self._stopping, seconds=self._poll,
                             slack=self._read).run()
            await self._stopping.wait()
        finally:
            if site is not None:
                await site.close()

    async def _introduce(self) -> None:
        """Say to Telegram how updates are to come; on and on, should it be out of reach."""
        patience = Patience()
        while not self._stopping.is_set():
            try:
                await unless_stopped(self._stopping, self._say_how())
                break
            except (InvalidToken, EndPointNotFound) as error:
                raise AdapterStoppedError(TOKEN_REFUSED) from error
            except RetryAfter as error:
                await pause(self._stopping, retry_seconds(error))
            except TelegramError as error:
                await pause(self._stopping, self._watch.failed(said(error), patience.failed()))
        if self._stopping.is_set():
            return
        self._watch.succeeded()
        log.info("on Telegram as @%s", self.bot.username)
        self._service.invite_by(PLATFORM, f"https://t.me/{self.bot.username}?start={{code}}")
        try:
            await self.bot.set_my_commands([BotCommand(name, line) for name, line in COMMANDS])
        except TelegramError as error:
            log.warning("the menu of commands could not be set: %s", said(error))

    async def _say_how(self) -> None:
        await self.bot.initialize()
        if self._config.webhook_url:
            await self.bot.set_webhook(self._config.webhook_url, secret_token=self._secret, allowed_updates=KINDS,
                                       max_connections=20)
        else:
            await self.bot.delete_webhook(drop_pending_updates=False)

    async def _take(self, updates: Sequence[Update]) -> None:
        await self._arrivals.take([found for update in updates if (found := self._arrival(update)) is not None])

    def _arrival(self, update: Update) -> Arrival | None:
        try:
            return arrival(update, update.to_json())
        except Exception:  # such as a message that names no chat
            log.exception("update %s is in a form that cannot be read: left out", update.update_id)
            self._watch.unreadable += 1
            return None

    # -- the sign that an answer is coming ---------------------------------------------------------------------------

    async def _busy(self, chat: str, conversation: str) -> bool:
        return self._arrivals.waiting(chat) or await asyncio.to_thread(self._service.store.at_work, conversation)

    async def _show_typing(self, chat: str) -> None:
        await self.bot.send_chat_action(int(chat), ChatAction.TYPING)
