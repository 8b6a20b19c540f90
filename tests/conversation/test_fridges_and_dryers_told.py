"""Fridges and dryers told by the part: which part is good and which is not, at what cold it was read, who put it in,
and how the run at the proof went."""

from __future__ import annotations

import pytest

from bot.conversation.facts import evidence_of
from bot.conversation.job import BY_LAYMAN, Phase
from bot.conversation.release import Release
from bot.diagnosis.evidence import Repaired
from tests.conversation.test_told_beside import facts, visit

FROSTED = "fridge warm frz cold, frost on the back wall"
NEW_HEATER = (FROSTED, "heater OL", "got one", "done")
NEW_ELEMENT = ("electric dryer no heat", "element OL", "blower tight", "got one", "yes", "done")


@pytest.mark.parametrize(("text", "bad"), [
    ("rollers fine, idler feels rough", "idler"), ("rollers good idler rough", "idler"),
    ("idler ok, rollers wobble", "rollers"), ("idler spins nice, rollers are rough", "rollers"),
    ("roller ok, felt gone", "glides")])
def test_the_part_named_first_and_called_good_is_not_the_bad_one(release: Release, text: str, bad: str) -> None:
    """Whatever stands open: the sound, the drum turned by hand, or the look at all of them."""
    at_the_sound, at_the_drum = ("dryer squeals",), ("dryer thumps", "low down", "free")
    for before in (at_the_sound, at_the_drum, ("dryer squeals", "unplugged", "low down")):
        assert facts(visit(release, *before, text), "result")["drum_support"] == bad, before


@pytest.mark.parametrize("text", ["rollers, idler and bearing all good", "rollers fine idler fine"])
def test_all_of_them_good_is_none_of_them(release: Release, text: str) -> None:
    """A list is no contrast."""
    assert facts(visit(release, "dryer thumps", "low down", "free", text), "result")["drum_support"] == "sound"


@pytest.mark.parametrize("text", [
    "fuse good, element open", "fuse fine element reads OL", "element open fuse good", "fuse good element open"])
def test_the_state_of_one_part_is_not_said_of_the_other(release: Release, text: str) -> None:
    """'Fuse good, element open' came to an open fuse."""
    told = facts(visit(release, "dryer no heat", "electric", text), "result")
    assert told["element_ohms"] == "open" and told.get("thermal_fuse_ohms") != "open"


@pytest.mark.parametrize("text", [
    "no frost on back wall", "no frost on the back wall", "back wall no frost", "no ice on the floor"])
def test_a_denial_beside_the_words_of_a_choice_is_not_that_choice(release: Release, text: str) -> None:
    """Three letters tell the choice from its opposite."""
    chat = visit(release, "fridge warm, freezer ok", text)
    assert facts(chat, "result")["back_wall_look"] == "bare"
    assert "frost_build_up" not in facts(chat, "complaint")


@pytest.mark.parametrize("text", [
    "freezer warm fridge warm", "freezer soft fridge warm", "frz thawing, fridge not cold",
    "fridge not cold freezer melting"])
def test_both_parts_warm_however_they_are_told(release: Release, text: str) -> None:
    """No part holds."""
    assert set(facts(visit(release, text), "complaint")) == {"both_warm"}


@pytest.mark.parametrize(("text", "told"), [
    ("dryer runs no heat, vent clean, cutout reads open", {"duct_look": "good", "high_limit_ohms": "open"}),
    ("electric dryer slow, vent clean, filter clean", {"duct_look": "good", "lint_screen_look": "clear"}),
    ("gas dryer no heat, coils 1.3k and 570", {"coil_ohms": "good"}),
    ("electric dryer no heat, thermal fuse closed, element OL",
     {"thermal_fuse_ohms": "closed", "element_ohms": "open"}),
    ("dryer takes forever, hood clogged with lint", {"duct_look": "blocked"}),
    ("fridge warm freezer ok, vents clear, evap fan winding OL", {"vents_look": "free", "evap_fan_ohms": "open"}),
    (f"{FROSTED}, bimetal OL at 10F", {"defrost_thermostat_ohms": "open"})])
def test_each_fact_of_a_first_line_goes_to_its_own_check(release: Release, text: str, told: dict[str, str]) -> None:
    """What was looked at before anything was asked is not asked again."""
    assert told.items() <= facts(visit(release, text), "result").items()


@pytest.mark.parametrize("text", [
    "hood plugged w lint", "outside hood clogged with lint", "vent cap packed solid w lint"])
def test_a_plugged_hood_is_no_packed_filter(release: Release, text: str) -> None:
    """What a thing is full of names no other part."""
    told = facts(visit(release, "dryer slow", text), "result")
    assert told["duct_look"] == "blocked" and "lint_screen_look" not in told


@pytest.mark.parametrize("text", ["cleaned the duct", "cleaned the hood n duct"])
def test_what_was_set_right_is_not_how_it_was_found(release: Release, text: str) -> None:
    """The blocked duct stays on file: it is why the limit went."""
    chat = visit(release, "electric dryer no heat", "set", "duct full of lint", text)
    assert facts(chat, "result")["duct_look"] == "blocked"


@pytest.mark.parametrize(("text", "result"), [
    ("coils 1.2k n 1.4k", "good"), ("coil 1 reads 1200 coil 2 560", "good"), ("coils 1.3k n 560 cold", "good"),
    ("coils 1365 ohm and OL", "open"), ("boost coil OL, sec 560", "open"), ("split coil 15 ohms, other 1.3k", "open")])
def test_a_gas_valves_coils_are_read_one_by_one(release: Release, text: str, result: str) -> None:
    """Any of them out of its range is the one that counts."""
    assert facts(visit(release, "gas dryer no heat", text), "result")["coil_ohms"] == result


def test_coils_of_an_element_are_none_of_a_gas_valve(release: Release) -> None:
    """An electric dryer has no gas valve."""
    assert "coil_ohms" not in facts(visit(release, "electric dryer no heat", "coils 11 and 13 ohm"), "result")


@pytest.mark.parametrize(("text", "result"), [
    ("bimetal OL at 10 degrees", "open"), ("defrost thermostat OL at 10F", "open"),
    ("bimetal reads open n coil is at 8 F", "open"), ("bimetal closed at 5F", "closed"),
    ("defrost tstat 0.1 ohm at 5 degrees", "closed")])
def test_the_cold_at_which_it_was_read_is_no_reading(release: Release, text: str, result: str) -> None:
    """A thermostat read frozen, told with its degrees."""
    told = facts(visit(release, FROSTED, text), "result")
    assert told["defrost_thermostat_ohms"] == result and "defrost_plugs_look" not in told


@pytest.mark.parametrize("text", [
    "bimetal OL at 40F", "defrost thermostat OL at 50 degrees", "bimetal OL at room temp"])
def test_a_bimetal_read_warm_does_not_count(release: Release, text: str) -> None:
    """It is open by design; it is asked for again, frozen."""
    chat = visit(release, FROSTED, text)
    assert "defrost_thermostat_ohms" not in facts(chat, "result")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks == ("defrost_thermostat_ohms",)


@pytest.mark.parametrize(("lines", "repair"), [
    (("electric dryer no heat, her brother in law put a new element in last wk",), "heating_element.open"),
    (("electric dryer no heat", "her brother in law put a new element in"), "heating_element.open"),
    (("dryer dead, neighbor swapped the fuse",), "thermal_fuse.open"),
    (("dryer wont stop, landlord fitted a new timer",), "replace_timer"),
    (("fridge warm freezer ok, her son put a new evap fan in",), "evaporator_fan.failed"),
    (("dryer no heat, the element was changed by her nephew",), "heating_element.open")])
def test_a_part_that_somebody_put_in_is_kept_as_told(release: Release, lines: tuple[str, ...], repair: str) -> None:
    """No repair of ours, and no evidence: what a layman put in may be wrong or sit wrong."""
    chat = visit(release, *lines)
    job = chat.job
    assert job is not None and facts(chat, "done_before") == {repair: BY_LAYMAN}
    assert not job.standing("repaired") and job.phase in {Phase.INTAKE, Phase.CHECKS}
    assert not any(isinstance(fact, Repaired) for fact in evidence_of(job).history)


@pytest.mark.parametrize("text", [
    "electric dryer no heat, she wants me to put a new element in", "dryer no heat, neighbor has a new dryer",
    "electric dryer no heat, landlord should put a new element in"])
def test_what_was_not_put_in_is_not_kept(release: Release, text: str) -> None:
    """A wish is no history."""
    assert not facts(visit(release, text), "done_before")


@pytest.mark.parametrize("text", [
    "heater glows on forced defrost", "forced it, heater glows red", "sizzles n drips on forced defrost"])
def test_a_run_that_goes_as_it_should_proves_it(release: Release, text: str) -> None:
    """What the broken heater could not do."""
    chat = visit(release, *NEW_HEATER, text)
    assert chat.job is not None and chat.job.phase is Phase.CLOSING


@pytest.mark.parametrize(("lines", "text", "repair"), [
    (NEW_HEATER, "heater still cold on forced defrost", "defrost_heater.open"),
    (NEW_HEATER, "forced it, heater stays stone cold", "defrost_heater.open"),
    (NEW_ELEMENT, "air comes out cold", "heating_element.open"), (NEW_ELEMENT, "blowing cold", "heating_element.open")])
def test_a_run_that_goes_as_before_is_no_cure(release: Release, lines: tuple[str, ...], text: str, repair: str) -> None:
    """'Cold' is what a fridge should be, and no dryer or heater."""
    chat = visit(release, *lines, text)
    assert chat.job is not None and chat.job.phase is Phase.CHECKS and repair in facts(chat, "repaired")


@pytest.mark.parametrize("text", [
    "theres oil at the weld by the compressor", "oily joint at the process tube",
    "greasy film on the tubing at the back"])
def test_oil_at_a_joint_is_heard_unasked(release: Release, text: str) -> None:
    """Oil goes where the gas goes; the leak is licensed work."""
    chat = visit(release, "fridge and freezer warm, compressor runs all the time", text)
    assert facts(chat, "result")["oil_look"] == "oily"


@pytest.mark.parametrize(("text", "result"), [
    ("fridge and freezer warm, quit after the storm", "outage"),
    ("fridge warm freezer ok, nobody touched it just quit overnight", "nothing"),
    ("fridge warm freezer ok, all at once last night", "nothing"),
    ("fridge warm freezer ok, began when her son chipped the ice w a knife", "chipped"),
    ("fridge warm freezer ok, cust says power was out sunday then this", "outage")])
def test_how_a_fridges_trouble_began_is_asked_once(release: Release, text: str, result: str) -> None:
    """Told in other words than the choices' own."""
    assert facts(visit(release, text), "result")["what_changed"] == result


@pytest.mark.parametrize(("text", "result"), [
    ("been getting worse for months", "slowly"), ("one day it just stopped heating", "one_day"),
    ("took longer n longer over the last few months", "slowly")])
def test_how_a_dryers_trouble_began_is_heard_at_any_question(release: Release, text: str, result: str) -> None:
    """And noted there."""
    assert facts(visit(release, "dryer no heat", "electric", text), "result")["since_when"] == result
