"""`python -m tests.benchmarks.talk`: typed text to reply, durable commit included, with and without a new plan.

No opening comes twice, and every other visit is answered in words that were written apart from the program (the voices
of the simulation's bank). A message counts as planned when its step weighed actions. Times are wall clock on one
thread, milliseconds. What `serve` makes ready beforehand at its start is made ready; with --cold it is not, as in
`try`, and the first message to each machine waits for it.
"""

from __future__ import annotations

import argparse
import asyncio
import resource
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path
from random import Random
from statistics import quantiles
from time import perf_counter

from bot.conversation.events import Typed
from bot.conversation.firm import Firm
from bot.conversation.ids import derive
from bot.service.clock import utc_now
from bot.service.opening import opened
from bot.service.people import seat
from bot.simulation.phrases import Voice, bank_of
from bot.store.jobs import open_jobs
from knowledge.loader import load
from knowledge.schema import Knowledge

ANSWERS = ("1", "2", "why", "how", "where", "1", "thanks", "2", "back", "1")
"""How a visit goes on; `why`, `how`, `where` and `thanks` need no plan."""


def openings(knowledge: Knowledge) -> Iterator[tuple[str, Voice]]:
    """First messages and how their techs type, each once, the families in turn."""
    rng = Random(1)
    of_family = []
    for family, pack in knowledge.packs.items():
        name = pack.family.names["en"][0]
        said = [(f"{name} {phrase}", voice) for voice in bank_of(family).voices
                for phrases in voice.says.values() for phrase in phrases]
        of_family.append(rng.sample(said, len(said)))
    for turn in zip(*of_family, strict=False):
        yield from turn


async def measure(visits: int, cold: bool) -> tuple[list[float], list[float]]:
    """Milliseconds of messages without and with a plan."""
    plain: list[float] = []
    planned: list[float] = []
    knowledge, rng = load().knowledge, Random(2)
    with tempfile.TemporaryDirectory() as folder, opened(Path(folder), Firm()) as service:
        if not cold:
            await service.make_ready()
        for visit, (opening, voice) in zip(range(visits), openings(knowledge), strict=False):
            met = seat(service.store, "bench", "local", f"rui{visit}", "junior", "Rui", utc_now())
            for number, text in enumerate((opening, *ANSWERS)):
                said = _in_words(Path(folder), met.person, voice, rng) if visit % 2 and text.isdigit() else None
                event_id = derive("bench", visit, number)
                event = Typed(id=event_id, at=utc_now(), person=met.person, conversation=met.conversation,
                              message=derive(event_id, "m"), text=said or text)
                before = perf_counter()
                await service.accept(event)
                await service.drain()
                took = (perf_counter() - before) * 1000
                (planned if _weighed(Path(folder), event_id) else plain).append(took)
    return plain, planned


def _in_words(folder: Path, person: str, voice: Voice, rng: Random) -> str | None:
    """What the voice types at the check that is open; None where something else is asked."""
    with sqlite3.connect(next(folder.glob("*.db*"))) as conn:
        brief = next(iter(open_jobs(conn, person)), None)
    said = [voice.answers[key] for key in brief.checks if key in voice.answers] if brief is not None else []
    return ", ".join(rng.choice(list(its.values())) for its in said) or None


def _weighed(folder: Path, event: str) -> bool:
    with sqlite3.connect(next(folder.glob("*.db*"))) as conn:
        found = conn.execute("SELECT 1 FROM traces WHERE event = ? AND what = 'weighed'", (event,))
        return found.fetchone() is not None


def main() -> None:
    """Print medians and 99th percentiles, and the resident memory at its highest."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--visits", type=int, default=40)
    parser.add_argument("--cold", action="store_true", help="make nothing ready beforehand")
    asked = parser.parse_args()
    plain, planned = asyncio.run(measure(asked.visits, asked.cold))
    for name, times in (("without a plan", plain), ("with a plan", planned)):
        cuts = quantiles(times, n=100)
        print(f"{name:16} {len(times):5} messages   median {cuts[49]:6.1f} ms   p99 {cuts[98]:6.1f} ms")
    print(f"resident memory at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
