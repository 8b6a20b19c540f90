"""Filling a data folder: simulated machines and juniors, a senior, a told clock, and the service as it is.

Each visit is an async generator that yields the minutes until its next move; one agenda moves the clock from move to
move, so that the visits of several people run beside each other as they would.
"""

from __future__ import annotations

import heapq
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any, Final

from adapters.demo.places import address, plate_photo
from adapters.terminal.seats import ACCOUNT, FIRM, PLATFORM, take_seat
from bot.conversation.events import PhotoSent, Pressed, Typed
from bot.conversation.ids import derive
from bot.conversation.job import Handing, Job, Phase
from bot.diagnosis.evidence import UNKNOWN
from bot.service.delivery import Delivered
from bot.service.opening import opened
from bot.service.photos import take_photo
from bot.service.service import Service
from bot.simulation.machine import Machine, World, draw_machine
from bot.simulation.phrases import bank_of
from bot.simulation.tech import Tech, draw_tech
from bot.store.rows import Met, Outgoing, Outlet, View
from knowledge.loader import load
from knowledge.schema import Pack

DAYS: Final = 91
MOST_MESSAGES: Final = 50
NOISE: Final = 0.3
"""How far the machines stray from the packs, so that the bot is wrong now and then."""
SHARES: Final = {"top_load_washer": 5, "dryer": 5, "dishwasher": 4, "refrigerator": 4, "front_load_washer": 3,
                 "range": 3}
REMARKS: Final = ("customer says hi", "no idea what this thing is called", "the flappy bit is floppy",
                  "flappy bit is all floppy", "it does the thing again", "that whatsit behind the drum looks cooked",
                  "whatsit behind the drum is cooked", "thingy at the back is all gunked up", "the gubbins are caked")
"""What people say besides, in words of their own: most of it is not understood, as it would be."""
AGAIN: Final = 0.08
"""Share of visits at an address that was seen in the last weeks."""
LATELY: Final = timedelta(days=2)
"""Only visits of the last days are still open: whatever is older, somebody has ended."""
LEFT: Final = ("not_fixed", "not_fixed", "declined", "not_safe")
"""How a visit is left that does not come to an end by itself."""


@dataclass
class Clock:
    """The time that the service is told."""

    now: datetime

    def __call__(self) -> datetime:
        return self.now


@dataclass
class Silent:
    """Takes every message as delivered."""

    outlet: Outlet = field(default_factory=lambda: Outlet(PLATFORM, ACCOUNT))
    parallel: int = 1

    async def deliver(self, out: Outgoing) -> Delivered:
        """Nobody looks: it is there."""
        return Delivered((f"demo-{out.row}",))


@dataclass
class Firm:
    """The crew at work."""

    service: Service
    clock: Clock
    rng: Random
    seats: dict[str, Met]
    worlds: dict[str, World]
    seed: int
    until: datetime
    count: int = 0
    seen: list[tuple[datetime, str, str, str]] = field(default_factory=list)
    """(when, address, family, fault) of visits that were ended."""
    busy: set[str] = field(default_factory=set)
    """Who is at a machine, or at a case."""

    async def typed(self, who: Met, text: str) -> None:
        """Somebody types, and everything that comes of it happens."""
        await self.service.accept(Typed(**self._event(who), text=text))
        await self.service.drain()

    async def pressed(self, who: Met, question: str, choice: int) -> None:
        """Somebody presses a choice."""
        await self.service.accept(Pressed(**{**self._event(who), "message": None}, question=question, choice=choice))
        await self.service.drain()

    async def photo(self, who: Met, content: bytes, caption: str) -> None:
        """Somebody sends a photo."""
        seen = take_photo(self.service.store, content, self.clock())
        await self.service.accept(PhotoSent(**self._event(who), photos=(seen,), caption=caption))
        await self.service.drain()

    def focus(self, who: Met) -> Job | None:
        """The visit that their chat is on."""
        focus = self.view(who).desk.focus
        return self.service.store.job(focus) if focus else None

    def view(self, who: Met) -> View:
        """What is open on their chat."""
        probe = Typed(id="probe", at=self.clock(), person=who.person, conversation=who.conversation, text="")
        return self.service.store.view(probe)

    def _event(self, who: Met) -> dict[str, Any]:
        self.count += 1
        event = derive("demo", self.seed, self.count)
        return {"id": event, "at": self.clock(), "person": who.person, "conversation": who.conversation,
                "message": derive("message", event)}


async def fill(folder: Path, *, visits: int, seed: int, end: datetime | None = None, days: int = DAYS,
               shown: Callable[[int], None] = lambda done: None) -> int:
    """Fill the folder with `visits` visits in the `days` before `end` (now). The same seed and end give the same ones.

    `shown` is called with the number of visits that are over. Returns how many there are. Raises StoreError.
    """
    until = (end or datetime.now(UTC)).replace(minute=0, second=0, microsecond=0)
    rng = Random(seed)
    clock = Clock(until - timedelta(days=days))
    with opened(folder, FIRM, clock=clock, deliveries=[Silent()]) as service:
        seats = {name: _seat(service, role, name, clock()) for role, name in
                 (("junior", "Rui"), ("junior", "Dana"), ("senior", "Marta"), ("owner", "Ines"))}
        packs = load().knowledge.packs
        worlds = {family: World(pack, NOISE, seed) for family, pack in packs.items()}
        firm = Firm(service, clock, rng, seats, worlds, seed, until)
        agenda: list[tuple[datetime, int, AsyncIterator[float]]] = []
        for number, (at, who) in enumerate(_calls(rng, visits, clock(), until)):
            heapq.heappush(agenda, (at, number, _visit(firm, seats[who])))
        over = 0
        while agenda:
            at, number, move = heapq.heappop(agenda)
            clock.now = max(clock.now, at)
            try:
                heapq.heappush(agenda, (clock.now + timedelta(minutes=await anext(move)), number, move))
            except StopAsyncIteration:
                over += 1
                shown(over)
        await service.drain()
    return over


def _seat(service: Service, role: str, name: str, now: datetime) -> Met:
    seat = take_seat(service.store, role, name, now)
    return Met(seat.person.id, seat.conversation)


def _calls(rng: Random, visits: int, start: datetime, until: datetime) -> list[tuple[datetime, str]]:
    """When each visit begins and whose it is: working days, slots of two hours, so that nobody is at two doors."""
    days = (until - start).days
    slots = [(start.replace(hour=0) + timedelta(days=day, hours=hour, minutes=rng.randint(0, 40)), who)
             for day in range(days) for hour in (13, 16, 19) for who in ("Rui", "Dana")
             if (start + timedelta(days=day)).weekday() < 5]
    return sorted(rng.sample(slots, min(visits, len(slots))))


async def _visit(firm: Firm, who: Met) -> AsyncIterator[float]:
    """One visit of a junior, from the first message until it is ended, or still open where it is of the last days."""
    rng = firm.rng
    async for minutes in _free(firm, who):
        yield minutes
    pack, machine, where = _call(firm)
    tech = draw_tech(machine, bank_of(pack.family.id), NOISE)
    if firm.view(who).open_jobs:
        await firm.typed(who, "new")
        yield 0.5
    await firm.typed(who, tech.opening()[0])
    job = firm.focus(who)
    for number in range(MOST_MESSAGES):
        job = firm.service.store.job(job.id) if job is not None else None
        if job is None or job.phase is Phase.ENDED:
            break
        if job.phase is Phase.HANDED_OFF:
            async for minutes in _with_senior(firm, who, job, machine):
                yield minutes
            continue
        await _back_to(firm, who, job)
        if number == 1 and rng.random() < 0.2:
            yield 1.5
            await firm.photo(who, plate_photo(pack.family.name, rng), "the plate")
        if job.question is not None and job.question.kind == "check" and rng.random() < 0.06:
            yield 0.7
            await firm.typed(who, rng.choice(REMARKS))
            continue
        before = tech.minutes
        text = _reply(job, tech, where, rng)
        yield 0.4 + rng.random() + (tech.minutes - before) * (0.7 + 0.6 * rng.random())
        if text == "part is here":
            firm.busy.discard(who.person)
            days = rng.choice((1, 2, 2, 3))
            if firm.clock() + timedelta(days=days) > firm.until:
                return  # it has not come yet
            yield 60 * 24 * days
            async for minutes in _free(firm, who):
                yield minutes
            await _back_to(firm, who, job)
        await firm.typed(who, text)
    if job is not None and not (firm.until - firm.clock() < LATELY and rng.random() < 0.5):
        yield 2
        await _leave(firm, who, job.id)
    firm.busy.discard(who.person)
    firm.seen.append((firm.clock(), where, pack.family.id, machine.fault))


async def _free(firm: Firm, who: Met) -> AsyncIterator[float]:
    """Until they have nothing else in hand; from then on this is: nobody is at two machines, or at two cases."""
    while who.person in firm.busy:
        yield 10
    firm.busy.add(who.person)


async def _back_to(firm: Firm, who: Met, job: Job) -> None:
    """Turn the chat to an earlier visit again, as one does: `jobs`, and its number in the list."""
    focus = firm.focus(who)
    if focus is not None and focus.id == job.id:
        return
    await firm.typed(who, "jobs")
    listed = firm.view(who).desk.values
    if job.id in listed:
        await firm.typed(who, str(listed.index(job.id) + 1))


async def _leave(firm: Firm, who: Met, job_id: str) -> None:
    """A visit that does not come to an end by itself is left somehow."""
    job = firm.service.store.job(job_id)
    if job is None or job.phase is Phase.ENDED:
        return
    await _back_to(firm, who, job)
    await firm.typed(who, "stop")
    job = firm.service.store.job(job_id)
    if job is not None and job.question is not None and job.question.kind == "leave":
        await firm.typed(who, str(job.question.values.index(firm.rng.choice(LEFT)) + 1))


def _call(firm: Firm) -> tuple[Pack, Machine, str]:
    """What the customer's machine is, and where; now and then one that was seen a while ago."""
    rng = firm.rng
    recent = [each for each in firm.seen if timedelta(days=2) < firm.clock() - each[0] < timedelta(days=25)]
    if recent and rng.random() < AGAIN:
        _, where, family, fault = rng.choice(recent)
        machine = draw_machine(firm.worlds[family], _name(rng))
        for _ in range(200):
            if fault in {machine.fault, UNKNOWN}:
                break
            machine = draw_machine(firm.worlds[family], _name(rng))
        return firm.worlds[family].pack, machine, where
    families = [family for family in firm.worlds if family in SHARES]
    family = rng.choices(families, [SHARES[each] for each in families])[0]
    world = firm.worlds[family]
    return world.pack, draw_machine(world, _name(rng), outside=world.pack.family.unknown), address(rng)


def _name(rng: Random) -> str:
    """Of a machine: what it shows follows from it."""
    return f"demo/{rng.random()}"


def _reply(job: Job, tech: Tech, where: str, rng: Random) -> str:
    question = job.question
    if question is None:
        return tech.reply(job)
    match question.kind:
        case "hazard":
            return "1"
        case "site":
            return where
        case "finding" if "order" in question.values and rng.random() < 0.2:
            return "order it"
        case "consent" if rng.random() < 0.08:
            return "no"
        case "waiting":
            return "part is here"
        case _:
            return tech.reply(job)


async def _with_senior(firm: Firm, who: Met, job: Job, machine: Machine) -> AsyncIterator[float]:
    """A senior takes it after a while, asks a thing, and names the fault, gives it back, or ends it."""
    rng = firm.rng
    offered = job.handoff.offered if job.handoff is not None and job.handoff.state is Handing.ASKED else ()
    seats = {seat.person: seat for seat in firm.seats.values()}
    offer = next((each for each in offered if each.person in seats), None)
    if offer is None:  # nobody comes: it is left
        yield 2
        await _leave(firm, who, job.id)
        return
    senior = seats[offer.person]
    async for minutes in _free(firm, senior):
        yield minutes
    yield 2 + 8 * rng.random()
    await firm.pressed(senior, offer.question, 1)
    yield 1 + 2 * rng.random()
    await firm.typed(senior, rng.choice(("what did it do just before it stopped", "which model is it",
                                         "send me a photo", "how long has it been like that")))
    yield 1 + 3 * rng.random()
    await firm.typed(who, rng.choice(("since last week", "no idea, customer wasnt home", "it just stopped mid cycle")))
    yield 2 + 6 * rng.random()
    pack = machine.world.pack
    if machine.fault != UNKNOWN and job.family == pack.family.id and rng.random() < 0.6:
        await firm.typed(senior, f"found {pack.faults[machine.fault].name}")
    elif rng.random() < 0.5:
        await firm.typed(senior, "carry on")
    after = firm.service.store.job(job.id)
    if after is not None and after.phase is Phase.HANDED_OFF:
        await firm.typed(senior, "end")
    firm.busy.discard(senior.person)
    yield 1
