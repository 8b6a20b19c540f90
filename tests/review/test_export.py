"""Export: what leaves the house, and what must not be in it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from bot.conversation.release import Release
from bot.review import export
from bot.review.naming import Names
from bot.review.redaction import Redactor
from bot.simulation.transcript import read_transcript, replay
from bot.store.review import ReviewStore
from bot.store.review_rows import Filter
from tests.review.folder import LONG, MARKUP, OPENING, Told

REDACT = Redactor({"Rui": "[name]", "Ana María": "[name]"}, ["79 Hazel Lane", "WO-4711"])


@pytest.mark.parametrize(("typed", "left"), [
    ("call Rui at +1 (555) 014-2233", "call [name] at [phone]"),
    ("555 0142 or 555-014-2233", "[phone] or [phone]"),
    ("14 Mill Road, apt 3", "[address]"),
    ("79 hazel  lane", "[address]"),
    ("it is wo-4711 again", "it is [address] again"),
    ("model WX-1234AB serial 12345678", "model [plate] serial [plate]"),
    ("write to j.doe+x@example.org", "write to [e-mail]"),
    ("ana maría says", "[name] says"),
])
def test_names_phones_addresses_and_plates_are_taken_out(typed: str, left: str) -> None:
    """Each by the word for what stood there."""
    assert REDACT(typed) == left


@pytest.mark.parametrize("typed", [
    "reads 5.2 ohm, then 10.9", "1200 rpm", "5400w element", "240 v to ground", "F21 and E24", "120/240 V 60 Hz",
    "10-11 ohm", "OL", "ruined", "drives fine", "hums for 3 minutes"])
def test_readings_and_words_stay(typed: str) -> None:
    """What the trade needs is left alone."""
    assert REDACT(typed) == typed


def test_a_table_has_a_row_a_visit_and_no_names(store: ReviewStore, release: Release) -> None:
    """Headings, one row each, stand-ins for people; no cell that a spreadsheet would run."""
    text = b"".join(export.as_csv(store, Filter(), Names(release.knowledge))).decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert {row["visit"] for row in rows} == {visit.job for visit in store.visits(Filter(), 50)}
    assert {row["tech"] for row in rows} == {"Rui"}
    assert "Dana" not in text
    assert not any(cell.startswith(export.FORMULA) for row in rows for cell in row.values())


def test_json_lines_hold_everything_of_a_visit(store: ReviewStore, told: tuple[Path, Told]) -> None:
    """Talk, trace and labels; with names only if they are asked for."""
    visits = [json.loads(line) for line in export.as_json_lines(store, Filter())]
    belt = next(visit for visit in visits if visit["visit"] == told[1].belt)
    assert belt["talk"][0]["text"] == OPENING
    assert {step["what"] for step in belt["trace"]} >= {"understood", "belief", "weighed"}
    assert belt["labels"]
    hostile = next(visit for visit in visits if visit["visit"] == told[1].hostile)
    texts = [line["text"] for line in hostile["talk"]]
    assert MARKUP in texts and LONG.strip() in [text.strip() for text in texts]
    assert "Dana" not in json.dumps(visits) and "Marta" not in json.dumps([v for v in visits if v["tech"] != "Rui"])
    named = [json.loads(line) for line in export.as_json_lines(store, Filter(), redacted=False)]
    assert {visit["tech"] for visit in named} >= {"Rui", "Dana"}


def test_written_conversations_can_be_read_and_replayed(store: ReviewStore, told: tuple[Path, Told],
                                                        release: Release) -> None:
    """Each file follows the format of the written conversations, and the core can be led through it again."""
    files = dict(export.as_transcripts(store, Filter(), lambda _: Names(release.knowledge)))
    assert len(files) == len(store.visits(Filter(), 50))
    belt = read_transcript(next(text for name, text in files.items() if told[1].belt[:8] in name))
    assert belt.front.family == "top_load_washer" and belt.front.must.outcome == "not_fixed"
    assert belt.steps[0].line == f"**Rui:** {OPENING}"
    chat, steps = replay(belt, release)
    assert steps[0].reply == belt.steps[0].reply
    assert chat.jobs
    for text in files.values():
        read_transcript(text)
