"""What is run around: the small core of the tests, slowed to be hit inside a step, or the real one."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from bot.conversation.context import Context
from bot.conversation.effects import Effect
from bot.conversation.events import Event
from bot.conversation.job import Job
from bot.service.core import Core, real_core
from bot.service.releases import Releases, prepare
from tests.service.small import SMALL, compiled, prepared, step

STEP_SECONDS: Final = 0.001
A_VISIT: Final = 20
"""Messages until the small core's job ends."""
REAL_TALK: Final = (
    "toploader belt drive, washes ok but wont spin, belt looks glazed", "1", "why", "2", "skip", "where", "1", "how",
    "wait the motor hums", "back", "yes", "3", "nothing leaks", "skip", "1", "sheet", "no meter here", "1", "skip", "2")


@dataclass(frozen=True, slots=True)
class Play:
    """A core with its releases, and what chat `number` says as its message n."""

    core: Core
    releases: Callable[[Path], Releases]
    says: Callable[[int, int], str]
    pause: float
    """Mean seconds of each chat between two messages: all sections are busy, with little left over."""
    works: tuple[float, float]
    """Seconds that a life works, at least and at most, before the killer begins to aim. The real core's first step of
    a process takes longest: killed within it every time, an event counts as deadly and is parked, as it should be."""


def _slow_step(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    time.sleep(STEP_SECONDS)
    return step(job, event, context)


def small_says(number: int, n: int) -> str:
    """Plain messages, with timers among them, and an end now and then."""
    if n % A_VISIT == A_VISIT - 1:
        return "end"
    return f"timer 0.0{number + 1}" if n % 7 == 3 else f"m{n}"


def play(name: str) -> Play:
    """The play of that name: small or real."""
    if name == "small":
        return Play(replace(SMALL, step=_slow_step),
                    lambda folder: Releases(folder / "releases", prepared(), compiled=compiled), small_says,
                    pause=0.04, works=(0.05, 0.5))
    return Play(real_core(), lambda folder: Releases(folder / "releases", prepare(folder / "releases")),
                lambda number, n: REAL_TALK[(n + 3 * number) % len(REAL_TALK)], pause=1.5, works=(1.0, 2.5))
