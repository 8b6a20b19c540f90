"""The log as files: a table of visits (CSV), everything of each visit (JSON lines), written conversations.

Visits are read one after another while the file is written, so a large log needs no large memory. By default what
people typed is redacted (`redaction.py`) and the crew stand in by the invented names of the examples.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any, Final, Literal

from bot.review.naming import Names
from bot.review.redaction import Redactor, as_it_is
from bot.review.written import Cast, written
from bot.store.review import ReviewStore
from bot.store.review_rows import Filter, Line, Listed

Format = Literal["csv", "jsonl", "transcripts"]
A_PAGE: Final = 200
COLUMNS: Final = ("visit", "opened", "ended", "machine", "tech", "senior", "outcome", "finding", "sure", "proved",
                  "verdict", "handed_off", "wrong", "came_back", "site", "marks")
FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins with one of these is run as a formula by spreadsheets: it is written with a quote in front."""

Release = Callable[[str], Names]


def visits(store: ReviewStore, chosen: Filter) -> Iterator[Listed]:
    """The visits that are meant, newest first."""
    before: str | None = None
    while page := store.visits(chosen, A_PAGE, before):
        yield from page
        before = page[-1].place


def as_csv(store: ReviewStore, chosen: Filter, names: Names, *, redacted: bool = True) -> Iterator[bytes]:
    """A row a visit, with a heading; UTF-8 with a mark, so that spreadsheets read it."""
    redact, cast = _redaction(store, redacted)
    yield b"\xef\xbb\xbf" + _row(COLUMNS)
    for visit in visits(store, chosen):
        site = "" if visit.site is None else "[address]" if redacted else visit.site
        yield _row((visit.job, visit.opened.isoformat(), visit.ended.isoformat() if visit.ended else "",
                    visit.family or "", cast(visit.tech, visit), cast(visit.taken_by, visit) if visit.taken_by else "",
                    visit.outcome or "open", visit.finding or "",
                    "" if visit.finding_p is None else f"{visit.finding_p:.3f}", visit.proved or "",
                    visit.verdict or "", visit.offered or "", int(visit.wrong), int(visit.came_back), redact(site),
                    " ".join(visit.marks)))


def as_json_lines(store: ReviewStore, chosen: Filter, *, redacted: bool = True) -> Iterator[bytes]:
    """An object a visit: what the log lists, the talk, the traces, the labels, marks and notes."""
    redact, cast = _redaction(store, redacted)
    for visit in visits(store, chosen):
        own = {"visit": visit.job, "opened": _at(visit.opened), "ended": _at(visit.ended), "family": visit.family,
               "release": visit.release, "tech": cast(visit.tech, visit), "outcome": visit.outcome,
               "site": ("[address]" if redacted else visit.site) if visit.site else None,
               "finding": visit.finding, "finding_p": visit.finding_p, "proved": visit.proved,
               "verdict": visit.verdict, "handed_off": visit.offered, "wrong": visit.wrong,
               "came_back": visit.came_back, "marks": list(visit.marks)}
        talk = [_line(line, redact, cast, visit) for line in store.lines(visit.job)]
        steps = [{"event": s.event, "what": s.what, "data": _through(s.data, redact)} for s in store.steps(visit.job)]
        labels = [{"event": r.event, "what": r.what, "at": _at(r.at), "data": _label_data(r.data, redact, redacted)}
                  for r in store.remarks(visit.job)]
        notes = [{"message": n.message, "note": redact(n.note), "at": _at(n.at)} for n in store.notes(visit.job)]
        whole = {**own, "talk": talk, "trace": steps, "labels": labels, "notes": notes}
        yield json.dumps(whole, ensure_ascii=False, default=str).encode() + b"\n"


def as_transcripts(store: ReviewStore, chosen: Filter, names_of: Release, *, redacted: bool = True
                   ) -> Iterator[tuple[str, str]]:
    """(file name, text) of each visit as a written conversation, in the format of transcripts_synthetic."""
    redact, _ = _redaction(store, redacted)
    people = store.crew()
    for visit in visits(store, chosen):
        yield (f"{visit.opened:%Y-%m-%d}-{visit.family or 'unknown'}-{visit.job[:8]}.md",
               written(store, visit, names_of(visit.release), people, redact))


def _redaction(store: ReviewStore, redacted: bool) -> tuple[Callable[[str], str], Callable[[str, Listed], str]]:
    """What to do with texts, and how a person of a visit is called."""
    names = store.names()
    if not redacted:
        return as_it_is, lambda person, visit: names.get(person, person)
    stand_ins = dict.fromkeys(names.values(), "[name]")
    sites = [customer.name for customer in store.customers("", 1_000_000)]
    redact = Redactor(stand_ins, sites)
    return redact, lambda person, visit: Cast(visit, store.crew()).name(person)


def _line(line: Line, redact: Callable[[str], str], cast: Callable[[str, Listed], str],
          visit: Listed) -> dict[str, Any]:
    found: dict[str, Any] = {"id": line.id, "event": line.event, "kind": line.kind, "at": _at(line.at),
                             "person": cast(line.person, visit), "text": redact(line.text)}
    if line.choices:
        found["choices"] = [redact("".join(span.text for span in choice)) for choice in line.choices]
    if line.first is not None:
        found["first"] = redact(line.first)
    if line.taken_back:
        found["taken_back"] = True
    if line.photos:
        found["photos"] = list(line.photos)
    return found


def _label_data(data: Any, redact: Callable[[str], str], redacted: bool) -> Any:
    kept = {key: value for key, value in data.items() if not (redacted and key in {"by", "given_back"})}
    return _through(kept, redact)


def _through(value: Any, redact: Callable[[str], str]) -> Any:
    """Every text in a plain value, redacted."""
    if isinstance(value, str):
        return redact(value)
    if isinstance(value, dict):
        return {key: _through(each, redact) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_through(each, redact) for each in value]
    return value


def _row(values: tuple[Any, ...]) -> bytes:
    out = io.StringIO()
    cells = (f"'{value}" if isinstance(value, str) and value.startswith(FORMULA) else value for value in values)
    csv.writer(out, lineterminator="\r\n").writerow(cells)
    return out.getvalue().encode("utf-8", "replace")


def _at(at: datetime | None) -> str | None:
    return at.isoformat() if at is not None else None
