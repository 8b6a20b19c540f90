"""Removing what must not be kept: one customer on request, or what is older than the firm keeps it.

Nothing of it is left: rows are overwritten (`secure_delete`), the word index and the database's file are written
anew, the write-ahead log is emptied, photos that nobody else uses are deleted, and so are the lines in the terminals'
own histories and in the program's log that hold what was typed. Copies that left the folder (exports, backups) are the
owner's to remove.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Final

from bot.conversation.effects import Audit
from bot.store.erasing import pattern_of
from bot.store.errors import RefusedError
from bot.store.photos import write_whole
from bot.store.review import ReviewStore
from bot.store.review_rows import Erased

KEEP: Final = "keep_months"
"""The setting: after how many months visits are removed; absent or 0: never."""
MOST_MONTHS: Final = 240
AT_ONCE: Final = 500
_SIDE_FILES: Final = ("typed-*", "chargehand.log*")


@dataclass(frozen=True, slots=True)
class Removal:
    """What was removed, and whether the files are clean already (else `scour` again, once nothing else runs)."""

    erased: Erased
    clean: bool


def erase_customer(store: ReviewStore, site: str, person: str | None, now: datetime) -> Removal:
    """Remove a customer with all visits at the address. Raises RefusedError if there is no such customer."""
    customer = store.customer(site)
    if customer is None:
        raise RefusedError("there is no such customer any more")
    erased = store.erase_jobs(customer.jobs, [customer.name])
    _side_files(store.folder, [customer.name], erased.texts)
    done = Audit(what="customer_erased", data={"visits": erased.jobs, "messages": erased.messages})
    store.note_act(done, person, now)
    return Removal(erased, store.scour())


def erase_older(store: ReviewStore, before: datetime, person: str | None, now: datetime) -> Removal:
    """Remove visits that were last touched before that time, and old talk that belongs to none."""
    whole = Erased()
    while jobs := store.ended_before(before, AT_ONCE):
        names = _names_only_of(store, jobs)
        part = store.erase_jobs(jobs, names, customer=False)
        _side_files(store.folder, names, part.texts)
        whole = replace(whole, jobs=whole.jobs + part.jobs, messages=whole.messages + part.messages,
                        photos=whole.photos + part.photos, scrubbed=whole.scrubbed + part.scrubbed)
    loose = store.loose_talk_before(before)
    whole = replace(whole, messages=whole.messages + loose)
    if not whole.jobs and not whole.messages:
        return Removal(whole, True)
    store.note_act(Audit(what="old_erased", data={"visits": whole.jobs, "messages": whole.messages}), person, now)
    return Removal(whole, store.scour())


def keep_months(store: ReviewStore) -> int:
    """After how many months visits are removed; 0: never."""
    value = store.setting(KEEP)
    return int(value) if value is not None and value.isdigit() else 0


def set_keep_months(store: ReviewStore, months: int, person: str | None, now: datetime) -> None:
    """Set it. Raises RefusedError for nonsense."""
    if not 0 <= months <= MOST_MONTHS:
        raise RefusedError(f"months are a number from 0 (keep for good) to {MOST_MONTHS}")
    store.set_setting(KEEP, str(months))
    store.note_act(Audit(what="retention_set", data={"months": months}), person, now)


def run_retention(store: ReviewStore, now: datetime) -> Removal | None:
    """Remove what is older than the firm keeps it; None if it keeps all for good. To be run once a day."""
    months = keep_months(store)
    return erase_older(store, months_before(now, months), None, now) if months else None


def months_before(now: datetime, months: int) -> datetime:
    """The same day and hour that many months earlier, or the month's last day."""
    count = now.year * 12 + now.month - 1 - months
    year, month = divmod(count, 12)
    day = min(now.day, calendar.monthrange(year, month + 1)[1])
    return now.replace(year=year, month=month + 1, day=day)


def _names_only_of(store: ReviewStore, jobs: Iterable[str]) -> list[str]:
    """Names of sites that will have no visit left."""
    gone = set(jobs)
    return [customer.name for customer in store.customers("", 1_000_000)
            if customer.jobs and gone.issuperset(customer.jobs)]


def _side_files(folder: Path, names: Iterable[str], texts: Iterable[str]) -> None:
    """Take lines that hold a name, or are what was typed, out of the terminals' histories and the program's log."""
    patterns = [pattern for pattern in map(pattern_of, names) if pattern is not None]
    typed = {line.strip() for text in texts for line in text.splitlines() if line.strip()}
    for glob in _SIDE_FILES:
        for file in folder.glob(glob):
            lines = file.read_text(encoding="utf-8", errors="replace").splitlines(keepends=True)
            kept = [line for line in lines if line.lstrip("+").strip() not in typed
                    and not any(pattern.search(line) for pattern in patterns)
                    and not any(len(text) > 12 and text in line for text in typed)]
            if len(kept) != len(lines):
                _overwrite(file, "".join(kept))


def _overwrite(file: Path, text: str) -> None:
    """The file with other content; the old bytes are overwritten first, as far as the file system obeys."""
    with file.open("r+b") as handle:
        handle.write(b"\0" * file.stat().st_size)
        handle.flush()
    write_whole(file, text.encode())
