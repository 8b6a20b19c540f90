"""A firm's own folder lies on top of ours; templates lie underneath."""

from __future__ import annotations

from pathlib import Path

import pytest

from knowledge.loader import load
from knowledge.source import merge_entry
from tests.knowledge.kettle import CHECKS, FAULTS, changed, kettle, line_of, loaded, said, write


def common(folder: Path, text: str) -> Path:
    """Templates in the common folder."""
    (folder / "common").mkdir(parents=True, exist_ok=True)
    (folder / "common" / "own.yaml").write_text(text, encoding="utf-8")
    return folder


TEMPLATE = """\
templates:
  cord_pull:
    name: pull on the cord
    ask: "Pull on the cord of the {appliance}. Does it hold?"
    kind: feel
    power: off
    minutes: 1
    risk: 2
    results:
      holds: {label: Holds, says: holds}
      slips: {label: Slips, says: slips}
    likelihoods: {normal: {holds: always}}
  cord_pull_hard: {from: cord_pull, minutes: 2}
"""


def with_check(text: str) -> str:
    """The checks with one more entry."""
    return CHECKS + text


def test_the_firm_overrides_one_key(tmp_path: Path) -> None:
    """Minutes from the firm, everything else from us."""
    ours = kettle(tmp_path / "ours")
    firm = write(tmp_path / "firm", own="checks:\n  element_ohms: {minutes: 9}\n")
    check = loaded(ours, firm).knowledge.packs["kettle"].checks["element_ohms"]
    assert (check.minutes, check.name) == (9, "element resistance")


def test_the_firms_mistake_is_shown_in_the_firms_file(tmp_path: Path) -> None:
    """An error in an overridden key points at the overlay, not at our pack."""
    firm = write(tmp_path / "firm", own="checks:\n  element_ohms:\n    minutes: soon\n")
    (message,) = said(loaded(kettle(tmp_path / "ours"), firm))
    assert message.startswith("own.yaml:3:")


def test_an_id_with_a_slip_is_no_new_entry_that_lacks_its_keys(tmp_path: Path) -> None:
    """Whoever misspells an id is told the one that is there, in one line, and what a new one would need."""
    firm = write(tmp_path / "firm", own="checks:\n  elemnt_ohms: {minutes: 9}\n")
    (message,) = said(loaded(kettle(tmp_path / "ours"), firm))
    assert message.startswith("own.yaml:2: checks.elemnt_ohms: no 'elemnt_ohms' of ours to change: ")
    assert "nearest is 'element_ohms'" in message
    assert "A new one needs name" in message


def test_keys_of_a_shared_repair_are_written_where_it_stands(tmp_path: Path) -> None:
    """One line says where, and the fault keeps its repair; a whole one of its own is taken."""
    mine = tmp_path / "firm" / "top_load_washer"
    mine.mkdir(parents=True)
    (mine / "own.yaml").write_text("faults:\n  drive_belt.worn:\n    repair: {minutes: 40}\n")
    (error,) = load([tmp_path / "firm"], families=["top_load_washer"]).errors
    assert str(error).endswith("own.yaml:3: faults.drive_belt.worn.repair: that repair is shared: change it under "
                               "repairs, as 'replace_belt', or write one of its own with all of cautions, cost, "
                               "minutes, name, steps")
    (mine / "own.yaml").write_text("repairs:\n  replace_belt: {minutes: 40}\n")
    loaded_now = load([tmp_path / "firm"], families=["top_load_washer"])
    assert not loaded_now.errors
    assert loaded_now.knowledge.packs["top_load_washer"].repairs["replace_belt"].minutes == 40


def test_a_new_entry_hears_what_it_lacks(tmp_path: Path) -> None:
    """An id like none of ours is meant as a new one."""
    firm = write(tmp_path / "firm", own="checks:\n  spout_look: {minutes: 9}\n")
    messages = said(loaded(kettle(tmp_path / "ours"), firm))
    assert "own.yaml:2: checks.spout_look: 'name' is missing: add it" in messages


def test_a_folder_named_after_no_family_is_named_once(tmp_path: Path) -> None:
    """One line with the family that it looks like, and none about the keys of a whole family."""
    folder = tmp_path / "firm" / "dishwashr"
    folder.mkdir(parents=True)
    (folder / "own.yaml").write_text("faults:\n  drain_pump.blocked: {name: clogged pump}\n", encoding="utf-8")
    (error,) = load([tmp_path / "firm"], families=["dishwashr"]).errors
    assert "no family 'dishwashr': nearest is 'dishwasher'" in error.message


def test_files_that_are_not_read_are_named(tmp_path: Path) -> None:
    """Another ending, or beside the families' folders: it would be lost without a word."""
    firm = write(tmp_path / "firm", own="checks:\n  element_ohms: {minutes: 9}\n")
    (firm / "kettle" / "more.yml").write_text("checks: {}\n", encoding="utf-8")
    (firm / "loose.yaml").write_text("checks: {}\n", encoding="utf-8")
    errors = loaded(kettle(tmp_path / "ours"), firm).errors
    messages = [f"{e.spot.file.name}:{e.spot.line}: {e.message}" for e in errors]
    assert sorted(messages) == ["loose.yaml:1: not read: move it into the folder of the family that it is about",
                                "more.yml:1: not read: rename it to more.yaml"]


def test_null_takes_a_key_away(tmp_path: Path) -> None:
    """A firm that has no use for a caution's key removes it by null."""
    ours = kettle(tmp_path / "ours", checks=changed(CHECKS, "    minutes: 2\n", "    minutes: 2\n    risk: 4\n"))
    firm = write(tmp_path / "firm", own="checks:\n  watch_boil: {risk: null}\n")
    assert loaded(ours, firm).knowledge.packs["kettle"].checks["watch_boil"].risk == 0


def test_retiring_a_fault_leaves_no_reference_behind(tmp_path: Path) -> None:
    """The checks that told of it still load, without its rows."""
    firm = write(tmp_path / "firm", own="retire:\n  faults: [element.open]\n")
    result = loaded(kettle(tmp_path / "ours"), firm)
    assert said(result) == []
    pack = result.knowledge.packs["kettle"]
    assert "element.open" not in pack.faults
    assert all("element.open" not in check.likelihoods for check in pack.checks.values())


def test_retiring_a_complaint_and_a_check(tmp_path: Path) -> None:
    """Menus, `shows` and root causes let go of what is retired."""
    faults = changed(FAULTS, "    repair: swap_element\n  cutout",
                     "    repair: swap_element\n    root_causes: [{why: Lime., check: element_ohms}]\n  cutout")
    firm = write(tmp_path / "firm", own="retire: {complaints: [trips], checks: [element_ohms]}\n")
    result = loaded(kettle(tmp_path / "ours", faults=faults), firm)
    assert said(result) == []
    fault = result.knowledge.packs["kettle"].faults["element.grounded"]
    assert "trips" not in fault.shows and fault.root_causes == ()


def test_retiring_what_is_not_there_is_told(tmp_path: Path) -> None:
    """With the nearest id, and with the form when it is no list."""
    firm = write(tmp_path / "firm", own="retire:\n  faults: [element.opn]\n  checks: watch_boil\n")
    assert said(loaded(kettle(tmp_path / "ours"), firm)) == [
        "own.yaml:2: no 'element.opn' to retire in faults: nearest is 'element.open'",
        "own.yaml:3: write a list: checks: [watch_boil]",
    ]


def test_a_template_gives_what_an_entry_leaves_out(tmp_path: Path) -> None:
    """Own keys win, null removes, `{appliance}` is the family's name, and templates may build on templates."""
    text = with_check("  cord: {from: cord_pull_hard, name: cord grip, risk: null}\n")
    result = loaded(common(kettle(tmp_path, checks=text), TEMPLATE))
    assert said(result) == []
    check = result.knowledge.packs["kettle"].checks["cord"]
    assert check.ask == "Pull on the cord of the kettle. Does it hold?"
    assert (check.name, check.minutes, check.risk) == ("cord grip", 2, 0)


def test_an_overlay_may_remove_a_key_of_a_template(tmp_path: Path) -> None:
    """Null in the firm's folder reaches through our entry into the template that it builds on."""
    ours = common(kettle(tmp_path / "ours", checks=with_check("  cord: {from: cord_pull}\n")), TEMPLATE)
    firm = write(tmp_path / "firm", own="checks:\n  cord: {risk: null}\n")
    assert loaded(ours, firm).knowledge.packs["kettle"].checks["cord"].risk == 0


def test_a_mistake_in_a_template_is_shown_there(tmp_path: Path) -> None:
    """The line is the template's, not that of the entry that uses it."""
    template = changed(TEMPLATE, "    risk: 2\n", "    risk: dear\n")
    folder = common(kettle(tmp_path, checks=with_check("  cord: {from: cord_pull}\n")), template)
    errors = [e for e in loaded(folder).errors if "own.yaml" in str(e.spot)]
    assert [e.spot.line for e in errors] == [line_of(template, "risk: dear")]


def test_a_template_that_is_not_there(tmp_path: Path) -> None:
    """The entry's line, and the nearest template."""
    folder = common(kettle(tmp_path, checks=with_check("  cord: {from: cord_pul}\n")), TEMPLATE)
    assert any("no template 'cord_pul': nearest is 'cord_pull'" in m for m in said(loaded(folder)))


def test_a_template_made_from_itself(tmp_path: Path) -> None:
    """A circle is named, not followed for ever."""
    circle = "templates:\n  a: {from: b}\n  b: {from: a}\n"
    folder = common(kettle(tmp_path, checks=with_check("  cord: {from: a}\n")), circle)
    assert any("is made from itself: a -> b -> a" in e.message for e in loaded(folder).errors)


def test_a_wrong_tool_costs_only_that_tool(tmp_path: Path) -> None:
    """One bad entry in the common files is named; the other tools stay, and so do the families."""
    folder = common(kettle(tmp_path), "tools:\n  hammer: {nam: a hammer}\n  tongs: {name: tongs}\n")
    result = loaded(folder)
    assert "kettle" in result.knowledge.packs
    assert "tongs" in result.knowledge.common.tools and "hammer" not in result.knowledge.common.tools
    assert {"meter"} <= set(result.knowledge.common.tools)


@pytest.mark.parametrize(("base", "own", "whole"), [
    ({"en": ["a"]}, {"en": {"add": ["b"]}}, {"en": ["a", "b"]}),
    ({"en": ["a"]}, {"es": {"add": ["b"]}}, {"en": ["a"], "es": ["b"]}),
    (None, {"en": {"add": ["b"]}}, {"en": ["b"]}),
    ({"en": ["a"]}, {"en": ["b"]}, {"en": ["b"]}),
    ({"en": {"add": 1}}, {"en": {"add": 2}}, {"en": {"add": 2}}),
])
def test_an_overlay_may_add_to_a_list(base: object, own: object, whole: object) -> None:
    """`add: [...]` goes after what is there; a plain list still replaces it; 'add' as a key of an entry stays one."""
    assert merge_entry(base, own) == whole
