"""`chargehand knowledge check` beyond structure: JSON, the deep part, explained remarks, our own packs."""

from __future__ import annotations

import json
from pathlib import Path

from bot.authoring.remarks import KINDS
from bot.authoring.review import review
from knowledge.loader import load
from tests.adapters.command import chargehand, refused
from tests.knowledge.kettle import CHECKS, changed, kettle

NO_QUESTION = changed(CHECKS, "what do the two pins read?", "read the two pins.")


def test_our_own_packs_have_nothing_open_at_a_glance() -> None:
    """No error and no quick warning; what is odd and stays is explained in a note."""
    loaded = load()
    assert loaded.findings == ()
    found = review(loaded)
    assert [f"{r.family}: {r.message}" for r in found.open] == []
    assert found.explained


def test_a_warning_has_file_line_and_proposal_and_no_bad_exit(tmp_path: Path) -> None:
    """Weak is not wrong."""
    kettle(tmp_path, checks=NO_QUESTION)
    done = chargehand("knowledge", "check", "--pack", ".", "--family", "kettle", cwd=tmp_path)
    assert done.returncode == 0
    (line,) = done.stdout.splitlines()
    assert line.startswith("kettle/checks.yaml:") and ": warning: the question does not end as one: end it with" in line
    assert "0 errors, 1 warning" in done.stderr


def test_json_tells_kind_entry_and_proposal_apart(tmp_path: Path) -> None:
    """For programs that sort or count."""
    kettle(tmp_path, checks=NO_QUESTION)
    done = chargehand("knowledge", "check", "--pack", ".", "--family", "kettle", "--json", cwd=tmp_path)
    (found,) = json.loads(done.stdout)["findings"]
    assert found["level"] == "warning" and found["kind"] in KINDS
    assert (found["family"], found["entry"]) == ("kettle", "checks.element_ohms.ask")
    assert found["line"] > 0 and found["proposal"].startswith("end it with")


def test_an_error_in_json_exits_1(tmp_path: Path) -> None:
    """The loader's findings stand in the same list."""
    kettle(tmp_path, checks=changed(CHECKS, "    power: off", "    power: of"))
    done = chargehand("knowledge", "check", "--pack", ".", "--json", cwd=tmp_path)
    assert done.returncode == 1
    errors = [f for f in json.loads(done.stdout)["findings"] if f["level"] == "error"]
    assert [e["kind"] for e in errors] == ["structure"]


def test_what_is_explained_is_counted_and_shown_on_request(tmp_path: Path) -> None:
    """`--explained` lists it with the rest."""
    kettle(tmp_path, checks=changed(NO_QUESTION, "    minutes: 3\n",
                                    '    minutes: 3\n    note: "Kept (wording): said so at the bench."\n'))
    asked = ("knowledge", "check", "--pack", ".", "--family", "kettle")
    quiet = chargehand(*asked, cwd=tmp_path)
    assert quiet.stdout == "" and "1 more explained in notes" in quiet.stderr
    assert "does not end as one" in chargehand(*asked, "--explained", cwd=tmp_path).stdout


def test_deep_looks_further(tmp_path: Path) -> None:
    """A phrase under both complaints is found by hearing it."""
    folder = kettle(tmp_path)
    family = folder / "kettle" / "family.yaml"
    family.write_text(family.read_text().replace("[trips the breaker,", "[wont boil, trips the breaker,"))
    asked = ("knowledge", "check", "--pack", ".", "--family", "kettle", "--json")
    kinds = [f["kind"] for f in json.loads(chargehand(*asked, "--deep", cwd=tmp_path).stdout)["findings"]]
    assert "collision" in kinds
    assert json.loads(chargehand(*asked, cwd=tmp_path).stdout)["findings"] == []


def test_an_unknown_family_is_told() -> None:
    """With the nearest name."""
    assert "nearest is 'dryer'" in refused(chargehand("knowledge", "check", "--family", "drier"))
