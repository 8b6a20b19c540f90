"""Starts lives and ends them with SIGKILL, aiming at each section in turn; counts where each was when it died."""

from __future__ import annotations

import multiprocessing
import random
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.process import BaseProcess
from typing import Final

from bot.service.activity import Section
from bot.store.sqlite import SqliteStore
from tests.benchmarks.crash.cores import play
from tests.benchmarks.crash.life import Scene, crew, finish, live
from tests.benchmarks.crash.marks import SECTIONS, Marks

START_PATIENCE: Final = 20.0
"""Seconds to wait for a life to begin its work: the real core compiles its knowledge first."""
PATIENCE: Final = 1.0
"""Seconds to aim at a section before the kill comes anyway."""


@dataclass(slots=True)
class Tally:
    """Kills by what the process was in: a kill can find it in several sections at once, or in none."""

    kills: int = 0
    inside: Counter[Section | str] = field(default_factory=Counter)

    def missed(self) -> tuple[Section, ...]:
        """Sections that no kill hit."""
        return tuple(section for section in SECTIONS if not self.inside[section])


def rampage(scene: Scene, kills: int, seed: int, tell: Callable[[int], None] = lambda done: None) -> Tally:
    """Kill so many lives, then let one finish what is left."""
    chance = random.Random(seed)
    works = play(scene.core).works
    store = SqliteStore(scene.data)
    crew(scene, store)
    store.close()
    processes = multiprocessing.get_context("forkserver")
    processes.set_forkserver_preload(["tests.benchmarks.crash.life", "bot.step"])
    tally = Tally()
    lives = 0

    def begin(process: int) -> BaseProcess:
        nonlocal lives
        lives += 1
        Marks(scene.marks(process)).clear()
        new = processes.Process(target=live, args=(scene, process, lives), daemon=True)
        new.start()
        return new

    running = [begin(process) for process in range(scene.processes)]
    try:
        for number in range(kills):
            victim = chance.randrange(scene.processes)
            _wait(scene, victim, running[victim], SECTIONS[number % len(SECTIONS)], chance, works)
            _kill(running[victim])
            tally.kills += 1
            tally.inside.update(Marks(scene.marks(victim)).inside() or ("idle",))
            tell(tally.kills)
            running[victim] = begin(victim)
    finally:
        for process in running:
            _kill(process)
    tally.kills += scene.processes
    for process in range(scene.processes):
        tally.inside.update(Marks(scene.marks(process)).inside() or ("idle",))
        Marks(scene.marks(process)).clear()
    finish(scene, lives + 1)
    return tally


def _wait(scene: Scene, victim: int, process: BaseProcess, section: Section, chance: random.Random,
          works: tuple[float, float]) -> None:
    """Let it begin to work and live for a while, then until it is in the section."""
    marks = Marks(scene.marks(victim))
    _until(process, lambda: bool(marks.inside()), START_PATIENCE)
    time.sleep(chance.uniform(*works))
    _until(process, lambda: section in marks.inside(), PATIENCE)


def _until(process: BaseProcess, reached: Callable[[], bool], seconds: float) -> None:
    patience = time.monotonic() + seconds
    while not reached() and time.monotonic() < patience:
        if process.exitcode is not None:
            print(f"a life ended by itself with {process.exitcode}", file=sys.stderr)
            return
        time.sleep(0.00005)


def _kill(process: BaseProcess) -> None:
    process.kill()
    process.join()
