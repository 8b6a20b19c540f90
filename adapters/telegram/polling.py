"""Long polling. Telegram is told that it may forget updates (by the next `offset`) only once they are on disk."""

from __future__ import annotations

import asyncio
import logging
import warnings
from collections.abc import Sequence
from typing import Any, Final

from telegram import Bot, Update
from telegram.error import Conflict, EndPointNotFound, InvalidToken, RetryAfter, TelegramError

from adapters.shared.adapter import AdapterStoppedError
from adapters.shared.sending import Patience
from adapters.shared.stopping import pause, unless_stopped
from adapters.telegram.refusals import retry_seconds, said
from adapters.telegram.updates import KINDS, parsed
from adapters.telegram.watch import TOKEN_REFUSED, Take, Watch
from bot.store.errors import StoreError

log = logging.getLogger(__name__)

POLL_SECONDS: Final = 25
SLACK: Final = 10.0
"""Seconds beyond the poll's own time before it counts as lost."""
CONFLICTS: Final = 3
"""Polls in a row that were ended by somebody else's."""
CONFLICT_PAUSE: Final = 1.0
STORE_PAUSE: Final = 0.5
TWO_POLLERS: Final = ("another program polls Telegram with the same token: stop the other one, or give this one a bot"
                      " of its own")


class Poller:
    """Fetches updates until it is to stop; what was fetched is kept first."""

    def __init__(self, bot: Bot, take: Take, watch: Watch, stopping: asyncio.Event, *,
                 seconds: int = POLL_SECONDS, slack: float = SLACK) -> None:
        self._stopping = stopping
        self._slack = slack
        self._bot = bot
        self._take = take
        self._watch = watch
        self._seconds = seconds
        self._offset: int | None = None
        self._patience = Patience(first=0.1)
        self._conflicts = 0

    async def run(self) -> None:
        """Poll on and on. Raises AdapterStoppedError if the token is refused or somebody else polls, too."""
        while not self._stopping.is_set():
            wait = await self._once()
            if wait:
                await pause(self._stopping, wait)

    async def _once(self) -> float:
        """One poll and what it brought; seconds to wait before the next."""
        try:
            updates = await unless_stopped(self._stopping, self._fetch())
            if updates:
                await self._take(updates)
                self._offset = updates[-1].update_id + 1
        except Conflict as error:
            return self._conflict(error)
        except (InvalidToken, EndPointNotFound) as error:
            raise AdapterStoppedError(TOKEN_REFUSED) from error
        except RetryAfter as error:
            return retry_seconds(error)
        except TelegramError as error:
            return self._watch.failed(said(error), self._patience.failed())
        except StoreError as error:
            return self._watch.failed(str(error), STORE_PAUSE)
        self._conflicts = 0
        self._patience.succeeded()
        self._watch.succeeded()
        return 0.0

    async def _fetch(self) -> Sequence[Update]:
        try:
            return await self._bot.get_updates(self._offset, timeout=self._seconds, allowed_updates=KINDS,
                                               read_timeout=self._seconds + self._slack)
        except TelegramError:
            raise
        except Exception:
            log.exception("an update could not be read; reading those behind it one by one")
            return await self._fetch_one_by_one()

    async def _fetch_one_by_one(self) -> Sequence[Update]:
        """What can be read of the updates that wait. One that cannot is left out, and counted."""
        readable: list[Update] = []
        for raw in await self._raw():
            try:
                readable.append(parsed(raw, self._bot))
            except Exception:
                log.exception("update %s is in a form that cannot be read: left out", raw.get("update_id"))
                self._watch.unreadable += 1
                self._offset = int(raw["update_id"]) + 1 if not readable else self._offset
        return readable

    async def _raw(self) -> list[dict[str, Any]]:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it advises the typed call, which is what failed
            found: Any = await self._bot.do_api_request("get_updates", api_kwargs={
                "offset": self._offset, "timeout": 0, "allowed_updates": list(KINDS)})
        return list(found)

    def _conflict(self, error: Conflict) -> float:
        self._conflicts += 1
        log.error("Telegram ended the poll: %s", said(error))
        if self._conflicts >= CONFLICTS:
            raise AdapterStoppedError(TWO_POLLERS) from error
        return self._watch.failed(said(error), CONFLICT_PAUSE)
