"""`understand`, `read` and `diagnose` as other programs call them: JSON lines in, JSON lines out, one clear refusal."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.adapters.command import chargehand, refused, rows

GOOD = {
    "understand": {"text": "drains fine but wont spin", "family": "top_load_washer"},
    "read": {"asked": "ohm", "text": "1.2 k"},
    "diagnose": {"family": "top_load_washer", "complaints": ["no_spin"]},
}
KEYS = {
    "understand": {"family", "family_p", "complaints", "denied", "variant", "results", "confident", "handoff_only",
                   "hazard"},
    "read": {"value", "low", "high", "special", "unit_mismatch", "unit", "multiple", "plausible"},
    "diagnose": {"faults", "variants", "misfit", "next"},
}
BAD = [
    ("not json", "not JSON"),
    ("[1, 2]", "write one JSON object a line"),
    ("3", "write one JSON object a line"),
    ('{"text": ', "not JSON"),
    ("[" * 20000, "nested too deeply"),
    ('{"text": 5, "asked": "ohm", "family": 5}', ""),
    ('{"family": "dryer", "text": "hums", "text": "quiet"}', "'text' stands twice in one object: leave one"),
    ("{}", ""),
    ('{"text": "x", "asked": "parsec", "family": "spaceship"}', ""),
]


@pytest.mark.parametrize("command", GOOD)
def test_each_line_is_answered_in_order(command: str) -> None:
    """Two good lines with a blank one between give two objects with the keys of the contract."""
    line = json.dumps(GOOD[command])
    answers = rows(chargehand(command, "--jsonl", "-", given=f"{line}\n\n{line}"))
    assert len(answers) == 2 and answers[0] == answers[1]
    assert set(answers[0]) >= KEYS[command]


@pytest.mark.parametrize(("line", "told"), BAD)
@pytest.mark.parametrize("command", GOOD)
def test_a_bad_line_is_named_and_ends_the_run(command: str, line: str, told: str) -> None:
    """The lines before it are answered; it is named with its number; nothing is printed after."""
    good = json.dumps(GOOD[command])
    done = chargehand(command, "--jsonl", "-", given=f"{good}\n{line}\n{good}\n")
    message = refused(done)
    assert message.startswith("standard input, line 2: ") and told in message
    assert len(done.stdout.splitlines()) == 1


@pytest.mark.parametrize("command", GOOD)
def test_bytes_that_are_no_text_are_refused(command: str) -> None:
    """Not UTF-8: said so, with the line."""
    assert "line 1: not UTF-8" in refused(chargehand(command, "--jsonl", "-", given=b'{"text": "\xff"}\n'))


def test_a_file_may_be_given(tmp_path: Path) -> None:
    """With a byte order mark, as some editors write it; the file is named when a line is bad."""
    file = tmp_path / "lines.jsonl"
    file.write_bytes(b"\xef\xbb\xbf" + json.dumps(GOOD["read"]).encode() + b"\n")
    assert rows(chargehand("read", "--jsonl", str(file)))[0]["value"] == 1200
    file.write_text("{}\n")
    assert "lines.jsonl, line 1: " in refused(chargehand("read", "--jsonl", str(file)))
    assert "No such file" in refused(chargehand("read", "--jsonl", str(tmp_path / "none.jsonl")))


def test_odd_text_is_understood_or_not_but_never_breaks() -> None:
    """Empty, emoji only, right to left, half a character, NUL, ten thousand characters: an object for each."""
    texts = ["", "🔧🔧", "הכביסה לא מסתובבת", "\ud800 wont spin", "wont\x00 spin", "spin " * 2000]
    lines = "\n".join(json.dumps({"text": text, "family": None}) for text in texts)
    assert len(rows(chargehand("understand", "--jsonl", "-", given=lines))) == len(texts)
    lines = "\n".join(json.dumps({"text": text, "asked": "ohm"}) for text in texts)
    assert len(rows(chargehand("read", "--jsonl", "-", given=lines))) == len(texts)


def test_understand_tells_a_person_which_words_it_took() -> None:
    """With or without quotes around the text."""
    for arguments in (["top loader wont drain"], ["top", "loader", "wont", "drain"]):
        done = chargehand("understand", *arguments)
        assert done.returncode == 0 and "no_drain" in done.stdout and '"' in done.stdout


def test_understand_refuses_what_makes_no_sense() -> None:
    """No text, text and lines at once, a family that is none."""
    for nothing in ((), ("",), ("  ", "\t")):
        assert "Missing argument 'TEXT'" in refused(chargehand("understand", *nothing))
    assert "with --jsonl" in refused(chargehand("understand", "--jsonl", "-", "wont spin"))
    assert "no family 'washr'" in refused(chargehand("understand", "--family", "washr", "wont spin"))


def test_diagnose_names_the_nearest_id() -> None:
    """A misspelt family, complaint or check is refused with what was probably meant."""
    asked = {**GOOD["diagnose"], "complaints": ["no_spinn"]}
    assert "nearest is 'no_spin'" in refused(chargehand("diagnose", "--jsonl", "-", given=json.dumps(asked)))
    asked = {"family": "top_load_washr"}
    assert "nearest is 'top_load_washer'" in refused(chargehand("diagnose", "--jsonl", "-", given=json.dumps(asked)))


def test_diagnose_sums_to_one_and_says_what_next() -> None:
    """All entries with `unknown` sum to 1, best first, and the next action has its reason."""
    (answer,) = rows(chargehand("diagnose", "--jsonl", "-", given=json.dumps(GOOD["diagnose"])))
    shares = [fault["p"] for fault in answer["faults"]]
    assert sum(shares) == pytest.approx(1, abs=1e-6)
    known = [fault["p"] for fault in answer["faults"] if fault["id"] != "unknown"]
    assert known == sorted(known, reverse=True) and "unknown" in {fault["id"] for fault in answer["faults"]}
    assert answer["next"]["do"] in {"check", "repair", "handoff", "stop"} and answer["next"]["why"]
