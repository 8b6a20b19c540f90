"""`python -m tests.benchmarks.talk`: typed text to reply, durable commit included, with and without a new plan.

A message counts as planned when its step weighed actions. Times are wall clock on one thread, milliseconds.
"""

from __future__ import annotations

import argparse
import asyncio
import resource
import sqlite3
import tempfile
from pathlib import Path
from statistics import quantiles
from time import perf_counter

from bot.conversation.events import Typed
from bot.conversation.firm import Firm
from bot.conversation.ids import derive
from bot.service.clock import utc_now
from bot.service.opening import opened
from bot.service.people import seat

OPENINGS = ("toploader belt drive wont spin drains fine", "dryer electric runs no heat", "fridge not cold freezer ok",
            "dishwasher wont drain", "front loader leaks", "gas range oven wont light", "washer top load no agitate",
            "dryer takes forever to dry")
ANSWERS = ("1", "2", "why", "how", "where", "1", "thanks", "2", "back", "1")
"""How a visit goes on; `why`, `how`, `where` and `thanks` need no plan."""


async def measure(visits: int) -> tuple[list[float], list[float]]:
    """Milliseconds of messages without and with a plan."""
    plain: list[float] = []
    planned: list[float] = []
    with tempfile.TemporaryDirectory() as folder, opened(Path(folder), Firm()) as service:
        for visit in range(visits):
            met = seat(service.store, "bench", "local", f"rui{visit}", "junior", "Rui", utc_now())
            for number, text in enumerate((OPENINGS[visit % len(OPENINGS)], *ANSWERS)):
                event_id = derive("bench", visit, number)
                event = Typed(id=event_id, at=utc_now(), person=met.person, conversation=met.conversation,
                              message=derive(event_id, "m"), text=text)
                before = perf_counter()
                await service.accept(event)
                await service.drain()
                took = (perf_counter() - before) * 1000
                (planned if _weighed(Path(folder), event_id) else plain).append(took)
    return plain, planned


def _weighed(folder: Path, event: str) -> bool:
    with sqlite3.connect(next(folder.glob("*.db*"))) as conn:
        found = conn.execute("SELECT 1 FROM traces WHERE event = ? AND what = 'weighed'", (event,))
        return found.fetchone() is not None


def main() -> None:
    """Print medians and 99th percentiles, and the resident memory at its highest."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--visits", type=int, default=40)
    plain, planned = asyncio.run(measure(parser.parse_args().visits))
    for name, times in (("without a plan", plain), ("with a plan", planned)):
        cuts = quantiles(times, n=100)
        print(f"{name:16} {len(times):5} messages   median {cuts[49]:6.1f} ms   p99 {cuts[98]:6.1f} ms")
    print(f"resident memory at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
