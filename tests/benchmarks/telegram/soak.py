"""Many techs write at once while calls fail: is anything lost, doubled or out of order, and how long do answers take?

Each tech's job numbers what it hears ("1: m0", "2: m1" ...), so a lost, doubled or misplaced message shows in the
answers. An answer may stand on the screen twice only where the answer to our call was lost or came too late (then
nobody can know that it was there), once for each such call; or once a crash, since the process died before its note.
"""

from __future__ import annotations

import asyncio
import random
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.adapters.telegram.stage import Stage, staged
from tests.peers.botapi.faults import Kind
from tests.peers.botapi.phone import Phone

KINDS: tuple[Kind, ...] = ("flood", "error", "gateway", "cut", "lost", "torn", "hang", "late")


@dataclass(frozen=True, slots=True)
class Load:
    """How much, and how bad. `pause`: mean seconds between two messages of a tech."""

    techs: int
    messages: int
    rate: float
    seed: int
    pause: float = 0.5
    crashes: int = 0
    polls_fail: bool = True
    """A poll that hangs holds up everything for as long as it is waited for: there can be but one."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of it. Times in seconds, from a message's arrival at the server to its answer's."""

    lost: int
    doubled: int
    """Messages heard twice."""
    out_of_order: int
    repeats: int
    """Answers that stand on a screen twice, one after the other."""
    allowed: int
    """Calls that were done though their answer was lost, and crashes with a message under way."""
    faults: dict[str, int]
    calls: int
    seconds: float
    median: float
    p99: float

    @property
    def good(self) -> bool:
        """Whether everything held."""
        return not (self.lost or self.doubled or self.out_of_order) and self.repeats <= self.allowed


async def soak(folder: Path, load: Load) -> Verdict:
    """Play it through."""
    async with staged(folder, read=1.0) as stage:
        phones = [stage.join(1000 + number, f"Tech {number}") for number in range(load.techs)]
        await stage.begin()
        spared = () if load.polls_fail else ("getUpdates",)
        stage.server.faults.by_chance(load.rate, KINDS, load.seed, spared)
        begun = time.monotonic()
        chance = random.Random(load.seed)
        typing = [asyncio.create_task(_type(phone, load, random.Random(chance.random()))) for phone in phones]
        for _ in range(load.crashes):
            await asyncio.sleep(load.pause * load.messages / (load.crashes + 1))
            assert stage.bot is not None
            await stage.bot.die()
            await stage.begin()
        sent = await asyncio.gather(*typing)
        last = f"{load.messages}: m{load.messages - 1}"
        limit = 60.0 + load.techs * load.messages * 0.1
        for phone in phones:
            await phone.until(lambda phone=phone: last in phone.lines, limit)  # type: ignore[misc]
        return _verdict(stage, phones, sent, load, time.monotonic() - begun)


async def _type(phone: Phone, load: Load, chance: random.Random) -> list[float]:
    """Write all messages, without waiting for answers; when each was written."""
    written = []
    for number in range(load.messages):
        await asyncio.sleep(chance.uniform(0, 2 * load.pause))
        written.append(time.monotonic())
        await phone.say(f"m{number}")
    return written


def _verdict(stage: Stage, phones: Sequence[Phone], sent: Sequence[Sequence[float]], load: Load,
             seconds: float) -> Verdict:
    wanted = [f"{number + 1}: m{number}" for number in range(load.messages)]
    lost = doubled = out_of_order = repeats = 0
    waits: list[float] = []
    for phone, written in zip(phones, sent, strict=True):
        shown = [line for number, line in enumerate(phone.lines) if number == 0 or line != phone.lines[number - 1]]
        repeats += len(phone.lines) - len(shown)
        heard = [line.partition(": ")[2] for line in dict.fromkeys(shown)]
        lost += sum(f"m{number}" not in heard for number in range(load.messages))
        doubled += len(heard) - len(set(heard))
        out_of_order += shown != wanted
        waits += [phone.came[line] - written[number] for number, line in enumerate(wanted) if line in phone.came]
    waits.sort()
    faults = stage.server.faults
    allowed = faults.done["sendMessage"] + load.crashes * 8
    return Verdict(lost, doubled, out_of_order, repeats, allowed, dict(faults.count), len(stage.server.world.calls),
                   seconds, waits[len(waits) // 2], waits[int(len(waits) * 0.99)])

