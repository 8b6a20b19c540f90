"""How fast the log's first pages are on a large log: `python -m tests.benchmarks.pages [MESSAGES]` (a million).

Fills a folder of its own by SQL with visits of about 25 messages, words drawn by Zipf's law from the sentences of the
packs and a made-up vocabulary, then times each question through `bot.review`, as a page asks it: median and worst of
20, after one to warm up. The file has some hundred megabytes; it is deleted at the end.
"""

from __future__ import annotations

import json
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from statistics import median

from bot.review.search import Vocabulary, search
from bot.store.review import ReviewStore
from bot.store.review_rows import Filter
from bot.store.sqlite import FILE, SqliteStore
from bot.store.stamps import stamp

A_VISIT = 25
START = datetime(2020, 1, 1, tzinfo=UTC)
FAMILIES = ("dryer", "range", "dishwasher", "refrigerator", "top_load_washer", "front_load_washer")
TRADE = ("belt", "spin", "drain", "pump", "motor", "heat", "lid", "switch", "noise", "leak", "glazed",
         "hums", "fuse", "ohm")


def messages(count: int, rng: Random) -> Iterator[tuple[object, ...]]:
    """Rows of messages: id, conversation, person, direction, event, job, at, plain."""
    syllables = ("ba", "ro", "ni", "ke", "tu", "la", "so", "mi", "da", "pel", "vor", "gan")
    made_up = ["".join(rng.choices(syllables, k=rng.randint(2, 5))) for _ in range(40_000)]
    words = [*TRADE, *made_up]
    weights = [1 / (n + 2) for n in range(len(words))]
    pool = rng.choices(words, weights, k=2_000_000)
    place = 0
    for n in range(count):
        length = rng.randint(4, 24)
        place = (place + length) % (len(pool) - 30)
        job, at = n // A_VISIT, START + timedelta(minutes=n)
        yield (f"m{n}", f"c{job % 12}", f"p{job % 12}", "in" if n % 2 else "out", f"e{n}", f"j{job:07}", stamp(at),
               " ".join(pool[place:place + length]))


def fill(folder: Path, count: int) -> None:
    """A folder with so many messages."""
    SqliteStore(folder).close()
    rng = Random(1)
    conn = sqlite3.connect(folder / FILE, isolation_level=None)
    conn.execute("PRAGMA synchronous = OFF")
    conn.execute("BEGIN")
    for job in range(count // A_VISIT):
        opened = START + timedelta(minutes=job * A_VISIT)
        conn.execute("INSERT INTO jobs (id, version, release, family, phase, label, tech, conversation, outcome,"
                     " opened, touched, ended, site, state)"
                     " VALUES (?, 1, 'r', ?, 'ended', 'a visit', ?, ?, ?, ?, ?, ?, ?, '{}')",
                     (f"j{job:07}", rng.choice(FAMILIES), f"p{job % 12}", f"c{job % 12}",
                      rng.choice(("fixed", "fixed", "declined")), stamp(opened), stamp(opened), stamp(opened),
                      f"s{rng.randint(0, count // A_VISIT // 3)}"))
        data = json.dumps({"fault": f"f{rng.randint(1, 40)}", "p": 0.8})
        conn.execute("INSERT INTO records VALUES (?, ?, 'p', 'finding', ?, ?, 'e')",
                     (f"r{job}", f"j{job:07}", data, stamp(opened)))
        if job % 200 == 7:
            conn.execute("INSERT INTO records VALUES (?, ?, 'p', 'proof', '{\"held\": false}', ?, 'e')",
                         (f"q{job}", f"j{job:07}", stamp(opened)))
    conn.executemany("INSERT INTO messages (id, conversation, person, direction, event, job, at, plain)"
                     " VALUES (?, ?, ?, ?, ?, ?, ?, ?)", messages(count, rng))
    conn.execute("COMMIT")
    conn.close()


def timed(name: str, ask: Callable[[], object]) -> None:
    """Ask, and print how long it took."""
    ask()
    times = []
    for _ in range(20):
        before = time.perf_counter()
        ask()
        times.append(1000 * (time.perf_counter() - before))
    print(f"{name:44} median {median(times):7.1f} ms   worst {max(times):7.1f} ms", flush=True)


def main(count: int) -> None:
    """Fill, then ask."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        before = time.perf_counter()
        fill(folder, count)
        size = (folder / FILE).stat().st_size / 1e6
        print(f"{count} messages, {count // A_VISIT} visits, {size:.0f} MB, "
              f"filled in {time.perf_counter() - before:.0f} s")
        store, vocabulary = ReviewStore(folder), Vocabulary()
        before = time.perf_counter()
        vocabulary.refresh(store)
        print(f"words of the log read in {time.perf_counter() - before:.1f} s (once, beside the first pages)")
        for title, chosen in (("all", Filter()), ("a machine", Filter(family="dryer")),
                              ("bot was wrong", Filter(wrong=True)),
                              ("a fault and a tech", Filter(fault="f7", tech="p3")),
                              ("open (there is none)", Filter(outcome="open")), ("came back", Filter(came_back=True)),
                              ("a month", Filter(since=START + timedelta(days=200),
                                                 until=START + timedelta(days=230)))):
            timed(f"list: {title}", lambda chosen=chosen: store.visits(chosen, 41))  # type: ignore[misc]
        for words in ("belt", "belt spin", "glazed belt motor", "bel", "glazzed", "belt xylophone", "barokela"):
            timed(f"search: {words}",
                  lambda words=words: search(store, vocabulary, words, Filter(), 40))  # type: ignore[misc]
        wrong = Filter(wrong=True)
        timed("search: belt, bot was wrong", lambda: search(store, vocabulary, "belt", wrong, 40))
        store.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
