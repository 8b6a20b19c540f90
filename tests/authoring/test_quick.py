"""What the checker says of a pack at once: words, cautions, likelihoods, and what a complaint has answered already."""

from __future__ import annotations

from pathlib import Path

from bot.authoring.review import review
from tests.authoring.remarked import kettle_with, remarks, told
from tests.knowledge.kettle import CHECKS, FAMILY, FAULTS, changed, line_of

KINDS = ("wording", "caution", "likelihood", "contradiction", "presumes", "collision")


def test_a_sound_kettle_is_let_be(tmp_path: Path) -> None:
    """Nothing is remarked on where nothing is weak."""
    assert told(kettle_with(tmp_path), *KINDS) == []


def test_a_question_has_to_end_as_one(tmp_path: Path) -> None:
    """With the file and line of the question, and what to do."""
    checks = changed(CHECKS, "what do the two pins read?", "read the two pins.")
    loaded = kettle_with(tmp_path, checks=checks)
    (remark,) = remarks(loaded, "wording")
    finding = remark.finding(loaded.trees["kettle"])
    assert (finding.spot.file.name, finding.spot.line) == ("checks.yaml", line_of(checks, "read the two"))
    assert not finding.error and "question mark" in finding.message


def test_a_card_must_be_read_on_a_phone(tmp_path: Path) -> None:
    """Longer than 220 characters it is scrolled past."""
    family = changed(FAMILY, '"Let it cool."', f'"{"Let it cool, then wait. " * 12}"')
    (message,) = told(kettle_with(tmp_path, family=family), "wording")
    assert message.startswith("family.safety_card: the safety card has")


def test_a_question_does_not_repeat_its_caution(tmp_path: Path) -> None:
    """Cautions come first by themselves."""
    checks = changed(CHECKS, '"Unplugged: what', '"Unplugged, plug in sight. What')
    checks = changed(checks, "[Unplugged, plug in sight.]", '["Unplugged, plug in sight."]')
    assert "repeats a caution" in told(kettle_with(tmp_path, checks=checks), "wording")[0]


def test_live_work_speaks_of_live_parts(tmp_path: Path) -> None:
    """A caution about something else is none for a live measurement."""
    checks = changed(CHECKS, "power: off", "power: live")
    checks = changed(checks, "cautions: [Unplugged, plug in sight.]", "cautions: [Water is hot.]")
    assert told(kettle_with(tmp_path, checks=checks), "caution") == [
        "checks.element_ohms: a live measurement whose cautions do not speak of live parts"]


def test_a_heavy_step_needs_its_caution_and_a_cover_may_bring_it(tmp_path: Path) -> None:
    """The caution of the cover that is opened for the step counts too."""
    checks = changed(CHECKS, "    minutes: 3\n", '    minutes: 3\n    steps: ["Tilt the machine back."]\n')
    assert told(kettle_with(tmp_path / "a", checks=checks), "caution") == [
        "checks.element_ohms: something heavy is moved ('Tilt the'), and no caution says so"]
    family = changed(FAMILY, "how: Three screws from below.", "how: Three screws., cautions: [Prop it well.]")
    assert told(kettle_with(tmp_path / "b", checks=checks, family=family), "caution") == []


def test_a_result_that_nothing_shows_is_noticed(tmp_path: Path) -> None:
    """A result without likelihoods is a choice that leads nowhere."""
    checks = changed(CHECKS, "      warms: {label: Warms up, says: warms up}\n",
                     "      warms: {label: Warms up, says: warms up}\n      sings: {label: Sings, says: sings}\n")
    assert told(kettle_with(tmp_path, checks=checks), "likelihood") == [
        "checks.watch_boil.results.sings: no row makes 'sings' likely (at most 2%)"]


def test_words_that_quarrel_are_noticed(tmp_path: Path) -> None:
    """Two results cannot both be there most of the time."""
    checks = changed(CHECKS, "element.open: {silent: always}", "element.open: {silent: always, warms: often}")
    assert "add up to 1.57" in told(kettle_with(tmp_path, checks=checks), "likelihood")[0]


def test_a_row_that_leaves_the_usual_result_unsaid_is_noticed(tmp_path: Path) -> None:
    """What it leaves would be shared by 'warms up' and a result that hardly any machine gives."""
    results = "      warms: {label: Warms up, says: warms up}\n      sings: {label: Sings, says: sings}\n"
    checks = changed(CHECKS, "      warms: {label: Warms up, says: warms up}\n", results)
    checks = changed(checks, "normal: {warms: always}",
                     "normal: {warms: 0.97}\n      element.grounded: {sings: often, warms: sometimes}")
    assert told(kettle_with(tmp_path / "a", checks=checks), "likelihood") == []
    unsaid = changed(checks, "element.open: {silent: always}", "element.open: {silent: sometimes}")
    assert told(kettle_with(tmp_path / "b", checks=unsaid), "likelihood") == [
        "checks.watch_boil.likelihoods.element.open: what the row of 'element.open' leaves unsaid makes 'sings' likely"
        " (35%)"]
    whole = changed(unsaid, "{silent: sometimes}", "{silent: sometimes, warms: usually}")
    assert told(kettle_with(tmp_path / "c", checks=whole), "likelihood") == []


def test_an_open_part_does_not_read_good(tmp_path: Path) -> None:
    """What the fault is called contradicts the band that its row names."""
    checks = changed(CHECKS, "element.open: {open: always}", "element.open: {good: always}")
    assert told(kettle_with(tmp_path, checks=checks), "likelihood") == [
        "checks.element_ohms.likelihoods.element.open: 'element.open' is said to read 'As it should be'"]


def test_a_row_for_a_machine_that_does_not_exist_is_noticed(tmp_path: Path) -> None:
    """A check for bare coils has no row for a fault of hidden plates."""
    checks = changed(CHECKS, "    name: element resistance\n", "    name: element resistance\n    only: {heat: coil}\n")
    faults = changed(FAULTS, "    name: open element\n", "    name: open element\n    only: {heat: plate}\n")
    assert "no machine has both" in told(kettle_with(tmp_path, checks=checks, faults=faults), "likelihood")[0]


def test_a_result_that_counts_as_a_complaint_is_held_against_the_faults(tmp_path: Path) -> None:
    """'Silent' counts as no heat, yet a tripped cutout, which gives no heat, is not said to be silent."""
    checks = changed(CHECKS, "silent: {label: Nothing, says: does nothing}",
                     "silent: {label: Nothing, says: does nothing, complaints: [no_heat]}")
    (message,) = told(kettle_with(tmp_path, checks=checks), "contradiction")
    assert "'silent' counts as 'no_heat'" in message and "cutout.tripped" in message


def test_a_result_that_counts_as_a_complaint_not_shown_is_a_contradiction(tmp_path: Path) -> None:
    """And `unless` with what the fault does show settles it."""
    checks = changed(CHECKS, "silent: {label: Nothing, says: does nothing}",
                     "silent: {label: Nothing, says: does nothing, complaints: [trips]}")
    checks = changed(checks, "element.open: {silent: always}",
                     "element.open: {silent: always}\n      element.grounded: {silent: always}")
    (message,) = told(kettle_with(tmp_path / "a", checks=checks), "contradiction")
    assert "element.open give 'silent', which counts as 'trips', without showing it" in message
    checks = changed(checks, "    name: one boil\n", "    name: one boil\n    unless: [no_heat]\n")
    assert told(kettle_with(tmp_path / "b", checks=checks), "contradiction") == []


def test_a_function_check_has_rows_for_what_stops_it_or_an_unless(tmp_path: Path) -> None:
    """Asked of a dead kettle, a boil that nobody gave a row for would say that all is well."""
    family = changed(FAMILY, "  trips:\n    label: Trips",
                     "  dead:\n    label: Dead\n    says: dead\n    works: has power\n"
                     "    phrases: {en: [dead, no power, nothing at all, no lamp, wont go on]}\n    proof: Boil.\n"
                     "  trips:\n    label: Trips")
    faults = FAULTS.replace("shows: {no_heat: usually, trips: 0.02}", "shows: {dead: always}").replace(
        "shows: {trips: always, no_heat: sometimes}", "shows: {trips: always, dead: often}")
    messages = told(kettle_with(tmp_path / "a", family=family, faults=faults), "presumes")
    assert messages == ["checks.watch_boil: with 'dead' the answer is known, yet cutout.tripped, element.grounded have"
                        " no row here"]
    checks = changed(CHECKS, "    name: one boil\n", "    name: one boil\n    unless: [dead]\n")
    assert told(kettle_with(tmp_path / "b", family=family, faults=faults, checks=checks), "presumes") == []


def test_one_phrase_under_two_results_is_a_collision(tmp_path: Path) -> None:
    """The bot could not tell which was meant."""
    checks = changed(CHECKS, "{label: Nothing, says: does nothing}",
                     "{label: Nothing, says: does nothing, phrases: {en: [hums]}}")
    checks = changed(checks, "{label: Warms up, says: warms up}",
                     "{label: Warms up, says: warms up, phrases: {en: [hums]}}")
    assert told(kettle_with(tmp_path, checks=checks), "collision") == [
        "checks.watch_boil.results.warms.phrases: 'hums' stands under 'silent' too"]


def test_a_note_explains_what_stays(tmp_path: Path) -> None:
    """`Kept (<kind>): reason` in the note of the entry; the remark is then counted, not shown."""
    checks = changed(CHECKS, "what do the two pins read?", "read the two pins.")
    checks = changed(checks, "    minutes: 3\n", '    minutes: 3\n    note: "Kept (wording): said so at the bench."\n')
    found = review(kettle_with(tmp_path, checks=checks), families=["kettle"])
    assert [r for r in found.open if r.kind == "wording"] == []
    assert [r.place for r in found.explained] == [("checks", "element_ohms", "ask")]


def test_a_kept_kind_must_exist_and_have_a_reason(tmp_path: Path) -> None:
    """A slip of the pen explains nothing, and is told."""
    checks = changed(CHECKS, "    minutes: 3\n", '    minutes: 3\n    note: "Kept (wordings): said so."\n')
    assert "keeps 'wordings', which is no kind" in told(kettle_with(tmp_path / "a", checks=checks), "wording")[0]
    checks = changed(changed(CHECKS, "what do the two pins read?", "read the two pins."), "    minutes: 3\n",
                     '    minutes: 3\n    note: "Kept (wording): "\n')
    assert len(told(kettle_with(tmp_path / "b", checks=checks), "wording")) == 1
