"""`chargehand simulate` and `diagnose` with a firm's folder on top, as a user calls them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bot.simulation.report import figures
from tests.adapters.command import chargehand, refused, rows
from tests.knowledge.kettle import kettle


@pytest.mark.parametrize(("said", "told"), [
    (("--family", "dryr"), "no family 'dryr': nearest is 'dryer'"),
    (("--family", "dryer", "--noise", "nan"), "'--noise': nan is not in the range"),
    (("--family", "dryer", "--noise", "1e9"), "'--noise': 1000000000.0 is not in the range"),
    (("--family", "dryer", "--outside", "1.5"), "'--outside': 1.5 is not in the range"),
])
def test_a_slip_is_told_in_one_line(said: tuple[str, ...], told: str) -> None:
    """And nothing is simulated."""
    assert told in refused(chargehand("simulate", *said, "--jobs", "1"))


def test_machines_outside_the_book_are_counted_and_so_is_who_noticed() -> None:
    """All of them, when asked for; a run without a progress bar where nobody watches; the same for the same seed."""
    runs = [chargehand("simulate", "--family", "dryer", "--jobs", "2", "--seed", "3", "--outside", "1", "--json",
                       env={"PYTHONHASHSEED": seed}) for seed in ("1", "2")]
    first, second = ({k: v for k, v in rows(run)[0].items() if not k.endswith("_ms")} for run in runs)
    assert first == second
    assert [run.stderr for run in runs] == ["", ""]
    assert (first["outside_the_book"], first["fixed"]) == (2, 0)
    assert 0 <= first["outside_noticed"] <= 1
    assert first["minutes_to_fix"] is None


def test_no_figure_is_told_that_was_not_measured() -> None:
    """No visit, no share: not a perfect score of nought."""
    found = figures([])
    assert found["jobs"] == 0
    assert {found[key] for key in ("brier", "calibration_error", "finding_right", "minutes_to_fix", "handed_off",
                                   "opening_understood", "answers_heard", "outside_noticed")} == {None}


def test_a_firm_s_own_family_is_diagnosed_from_its_folder(tmp_path: Path) -> None:
    """A kettle, which no pack of ours has: known with the folder, unknown without; nobody speaks of it in the bank."""
    folder, line = str(kettle(tmp_path)), json.dumps({"family": "kettle", "complaints": ["no_heat"]})
    answer = rows(chargehand("diagnose", "--jsonl", "-", "--pack", folder, given=line))[0]
    assert {fault["id"] for fault in answer["faults"]} == {"element.open", "element.grounded", "cutout.tripped",
                                                            "unknown"}
    assert "no family 'kettle'" in refused(chargehand("diagnose", "--jsonl", "-", given=line))
    assert "how people speak of a kettle" in refused(
        chargehand("simulate", "--family", "kettle", "--jobs", "1", "--pack", folder))
