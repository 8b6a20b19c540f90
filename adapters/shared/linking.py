"""Who writes: someone of the crew, someone with an invitation's code, or a stranger.

A stranger learns nothing: the same short refusal whatever they write, and that only now and then, so that the bot
cannot be made to write to people who do not want it. Codes have 60 bits of chance; a few tries an hour are allowed.
"""

from __future__ import annotations

import asyncio
import logging
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import Enum
from typing import Final

from bot.conversation.wording.render import LANGUAGES
from bot.service.people import looks_like_code, redeem
from bot.service.service import Service
from bot.store.errors import RefusedError
from bot.store.rows import Met

log = logging.getLogger(__name__)

TRIES: Final = 5
AN_HOUR: Final = timedelta(hours=1)
REFUSED_AGAIN: Final = timedelta(minutes=10)
REMEMBERED: Final = 5000
"""Strangers that are kept in mind."""


class Knock(Enum):
    """What came of a stranger's message."""

    LINKED = "linked"
    WRONG_CODE = "wrong code"
    REFUSED = "refused"
    IGNORED = "ignored"


@dataclass(slots=True)
class _Stranger:
    tries: list[datetime] = field(default_factory=list)
    refused: datetime | None = None


class Door:
    """The way in of one account. `timezone`: the firm's, which newcomers start with."""

    def __init__(self, service: Service, platform: str, account: str, clock: Callable[[], datetime],
                 timezone: str = "UTC") -> None:
        self._service = service
        self._platform = platform
        self._account = account
        self._clock = clock
        self._timezone = timezone
        self._strangers: OrderedDict[str, _Stranger] = OrderedDict()

    async def who(self, user: str, address: str) -> Met | None:
        """Who that is, with their conversation at this address; None for a stranger. Raises StoreError."""
        return await self._service.meet(self._platform, self._account, user, address)

    async def who_in(self, user: str, room: str) -> Met | None:
        """Who writes in a room of several, with their own chat ('' if they have none). Raises StoreError."""
        return await asyncio.to_thread(self._service.store.private, self._platform, self._account, user, room)

    async def knock(self, user: str, name: str, language: str, text: str) -> Knock:
        """A stranger's message: try it as a code if it looks like one. Raises StoreError."""
        now = self._clock()
        stranger = self._stranger(user)
        if not looks_like_code(text):
            return self._refused(stranger, now)
        stranger.tries = [at for at in stranger.tries if now - at < AN_HOUR]
        if len(stranger.tries) >= TRIES:
            log.warning("somebody on %s tries code after code", self._platform)
            return self._refused(stranger, now)
        stranger.tries.append(now)
        try:
            await asyncio.to_thread(redeem, self._service.store, text, self._platform, self._account, user, name, now,
                                    language=language if language in LANGUAGES else "en", timezone=self._timezone)
        except RefusedError:
            return Knock.WRONG_CODE
        self._strangers.pop(user, None)
        return Knock.LINKED

    def _stranger(self, user: str) -> _Stranger:
        stranger = self._strangers.setdefault(user, _Stranger())
        self._strangers.move_to_end(user)
        if len(self._strangers) > REMEMBERED:
            self._strangers.popitem(last=False)
        return stranger

    @staticmethod
    def _refused(stranger: _Stranger, now: datetime) -> Knock:
        if stranger.refused is not None and now - stranger.refused < REFUSED_AGAIN:
            return Knock.IGNORED
        stranger.refused = now
        return Knock.REFUSED
