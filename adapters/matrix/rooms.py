"""Which rooms we are in: direct chats with people of the crew, and the seniors' room. Everything else we stay out of.

A stranger may open a chat only while an invitation waits: the code has to be sent somewhere. One without a code is
refused, and once no invitation waits any more the room is left.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any, Final

from nio import InviteInfo, InviteMemberEvent, MatrixRoom

from adapters.matrix.homeserver import LimitedError, MatrixError, RefusedError, UnreachableError, ask
from adapters.matrix.line import Line
from adapters.shared.linking import Knock
from adapters.shared.words import word
from bot.store.protocol import People

log = logging.getLogger(__name__)

ALGORITHM: Final = "m.megolm.v1.aes-sha2"
TWO: Final = 2
PAUSES: Final = (1, 5, 30, 120, 600, 600, 600)
"""Seconds between attempts at answering an invitation."""


class Rooms:
    """The rooms of one account."""

    def __init__(self, line: Line, people: People, me: str, clock: Callable[[], datetime], seniors: str | None) -> None:
        self._line = line
        self._people = people
        self._me = me
        self._clock = clock
        self._seniors = seniors
        self.unencrypted: set[str] = set()
        """Direct chats that go in clear because we may not change that."""
        self._answering: dict[str, asyncio.Task[None]] = {}
        self._unsettled: set[str] = set()

    def shared(self, room: str) -> bool:
        """Whether more than two are in there."""
        found = self._line.client.rooms.get(room)
        return room == self._seniors or (found is not None and len(found.users) > TWO)

    async def invited(self, room: str, info: InviteInfo) -> None:
        """Join if the crew asks us, decline otherwise. Raises StoreError.

        Beside the sync, with patience: the room's own server may be far away or gone, and nobody else waits for it.
        """
        invite = next((event for event in info.invite_state if isinstance(event, InviteMemberEvent)
                       and event.state_key == self._me and event.membership == "invite"), None)
        if invite is None or room in self._answering:
            return
        welcome = await self._welcome(room, invite)
        if not welcome:
            log.info("an invitation to a room is declined: not from the crew, or not to a chat of two")
        task = self._answering[room] = asyncio.create_task(self._answer(room, welcome=welcome))
        task.add_done_callback(lambda _: self._answering.pop(room, None))

    async def settle(self, rooms: Iterable[str]) -> None:
        """Put rooms in order in which something happened, and those that it did not work for last time.

        Raises SignedOutError.
        """
        todo, self._unsettled = {*rooms, *self._unsettled}, set()
        for room in [self._line.client.rooms[each] for each in todo if each in self._line.client.rooms]:
            try:
                await self._settle(room)
            except RefusedError as error:
                log.warning("a room could not be put in order: %s", error)
            except (UnreachableError, LimitedError) as error:
                log.warning("a room could not be put in order, trying again: %s", error)
                self._unsettled.add(room.room_id)

    async def close(self) -> None:
        """Leave invitations unanswered that are still being answered."""
        tasks = list(self._answering.values())
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    async def gone(self, rooms: Iterable[str]) -> None:
        """We are no longer in these: removed, or left from elsewhere."""
        for room in rooms:
            if room in self._line.client.rooms:
                try:
                    await ask(self._line.client.room_forget(room))
                except RefusedError as error:
                    log.info("a room could not be forgotten: %s", error)
                    self._line.client.rooms.pop(room, None)

    async def answer_stranger(self, room: str, key: str, knock: Knock) -> None:
        """Say what came of a stranger's message; leave if there is nothing they could send."""
        if knock is Knock.WRONG_CODE:
            await self._line.say(room, word("wrong_code"), key)
        elif knock is Knock.REFUSED:
            await self._line.say(room, word("refused"), key)
        if knock is not Knock.WRONG_CODE and not await self.codes_wait():
            try:
                await self._leave(room)
            except MatrixError as error:
                log.warning("a stranger's room could not be left: %s", error)

    async def _answer(self, room: str, *, welcome: bool) -> None:
        for pause in PAUSES:
            try:
                if welcome:
                    await ask(self._line.client.join(room))
                else:
                    await self._leave(room)
                return
            except (UnreachableError, LimitedError) as error:
                log.warning("an invitation could not be answered, trying again in %d s: %s", pause, error)
                await asyncio.sleep(pause)
            except MatrixError as error:
                log.warning("an invitation could not be answered: %s", error)
                return
        log.warning("an invitation is given up: whoever sent it has to send another")

    async def _welcome(self, room: str, invite: Any) -> bool:
        of_crew = await self._of_crew(invite.sender)
        if room == self._seniors:
            return of_crew
        direct = bool(invite.content.get("is_direct"))
        return of_crew or (direct and await self.codes_wait())

    async def _of_crew(self, user: str) -> bool:
        members = await asyncio.to_thread(self._people.members)
        return any(account == ("matrix", self._me, user) for member in members for account in member.identities)

    async def codes_wait(self) -> bool:
        """Whether some stranger may have a code to send."""
        return bool(await asyncio.to_thread(self._people.open_invites, self._clock()))

    async def _settle(self, room: MatrixRoom) -> None:
        if self._me not in room.users:  # the state has not come yet
            return
        others = len(room.users) - 1
        if others == 0:
            await self._leave(room.room_id)
        elif room.room_id == self._seniors:
            return
        elif others > 1:
            await self._line.say(room.room_id, word("two_only"), "two_only")
            await self._leave(room.room_id)
        elif not room.encrypted:
            await self._encrypt(room)
        else:
            self.unencrypted.discard(room.room_id)

    async def _encrypt(self, room: MatrixRoom) -> None:
        """Turn encryption on in a direct chat; where we may not, say so, once."""
        if room.room_id in self.unencrypted:
            return
        client = self._line.client
        try:
            await ask(client.room_put_state(room.room_id, "m.room.encryption", {"algorithm": ALGORITHM}))
        except RefusedError as error:
            log.warning("a direct chat stays unencrypted: %s", error)
            self.unencrypted.add(room.room_id)
            await self._line.say(room.room_id, word("in_clear"), "in_clear")
            return
        room.encrypted = True  # at once: nothing more goes out in clear
        client.encrypted_rooms.add(room.room_id)

    async def _leave(self, room: str) -> None:
        client = self._line.client
        await ask(client.room_leave(room))
        try:
            await ask(client.room_forget(room))
        except RefusedError as error:
            log.info("a room could not be forgotten: %s", error)
        client.rooms.pop(room, None)
        self.unencrypted.discard(room)
