"""Refrigerators and ranges as they are typed with a thumb: no false alarm, nothing heard the wrong way round."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.language.readings.read import read
from tests.conversation.test_told_beside import facts, visit


@pytest.mark.parametrize("line", [
    "lf coil dead rest good socket burnt", "range right front unit dead, receptacle burnt up",
    "electric stove one burner out, the plug in block is melted"])
def test_a_coils_own_socket_found_burnt_is_no_fire(release, line):
    """It is the socket, with its own instruction, and nobody told of a smell."""
    chat = visit(release, line)
    assert chat.job.phase is not Phase.HAZARD
    assert facts(chat, "result")["coil_socket_look"] == "burnt"
    assert "burning_smell" not in facts(chat, "complaint")


@pytest.mark.parametrize("line", [
    "range lf coil dead socket burnt n it smells", "coil range, burner socket is smoking"])
def test_a_coils_socket_that_smells_or_smokes_is_a_fire(release, line):
    assert visit(release, line).job.phase is Phase.HAZARD


def test_the_outlet_in_the_wall_is_none_of_a_coil(release):
    assert facts(visit(release, "coil range one dead, wall outlet is burnt"), "result")["outlet_look"] == "burnt"


@pytest.mark.parametrize("line", [
    "gas range all 4 ticking and sparking with knobs off",
    "stove clicks nonstop n sparks at every burner even when off", "range keeps clickin, sparkin w everything off"])
def test_an_igniter_that_ticks_on_is_no_arc(release, line):
    """How it ticks is told, so it is neither watched at a burner nor asked."""
    chat = visit(release, line)
    assert chat.job.phase is not Phase.HAZARD
    assert set(facts(chat, "complaint")) == {"burner_keeps_clicking"}
    assert chat.job.question is None or not {"burner_watch", "click_when"} & set(chat.job.question.checks)


@pytest.mark.parametrize("line", [
    "range clicks and sparks at the outlet", "range sparks n buzzes behind the panel, clicks"])
def test_sparks_where_no_igniter_is_stay_a_danger(release, line):
    assert visit(release, line).job.phase is Phase.HAZARD


@pytest.mark.parametrize("line", [
    "gas range front right burner no gas others fine", "gas stove, burner gets no gas, rest are ok"])
def test_a_burner_without_gas_denies_no_smell(release, line):
    chat = visit(release, line)
    assert "gas_smell" not in facts(chat, "denied")
    assert facts(chat, "result")["other_burners"] == "catch"


def test_who_smells_no_gas_says_so(release):
    assert "gas_smell" in facts(visit(release, "gas range burner wont light, no gas smell"), "denied")


@pytest.mark.parametrize(("lines", "result"), [
    (("fridge both sides warm comp hot", "cond fan aint spinning n coil is packed w dog hair"),
     {"condenser_fan_watch": "stands", "coil_look": "felted"}),
    (("fridge warm both sides", "lower fan dont turn at all"), {"condenser_fan_watch": "stands"}),
    (("fridge warm both sides", "cond fan runs fine"), {"condenser_fan_watch": "spins"}),
    (("fridge warm both sides clicks, relay rattles when i shake it",), {"start_shake": "bad"}),
    (("fridge warm both sides, comp runs, frost only on first 4in of evap",), {"frost_pattern": "first_turns"}),
    (("elec oven bake dead broil ok element got a split",), {"bake_look": "broken"}),
    (("gas range burners wont quit clickin even off, wife mopped the stovetop yesterday",),
     {"click_when": "knobs_off", "since_when": "spill"})])
def test_what_was_seen_is_filed_as_it_was(release, lines, result):
    """A fan that does not spin is none that turns free by hand."""
    found = facts(visit(release, *lines), "result")
    assert {key: found.get(key) for key in result} == result
    assert "condenser_fan_spin" not in found


@pytest.mark.parametrize(("line", "warm", "well"), [
    ("frz warm ff ok ice solid on back wall", "freezer_warm", "fresh_food_warm"),
    ("sxs ff fine freezer warm n icing", "freezer_warm", "fresh_food_warm"),
    ("fridge side warm freezer side ok", "fresh_food_warm", "freezer_warm")])
def test_which_part_is_warm_is_heard_with_no_comma(release, line, warm, well):
    chat = visit(release, line)
    assert warm in facts(chat, "complaint")
    assert well in facts(chat, "denied")


def test_a_warm_freezer_told_beside_an_answer_is_a_trouble(release):
    """An ice maker is looked for, and it is the cold that lacks."""
    chat = visit(release, "no ice from the ice maker", "empty and dry", "water ok but no ice. frz is at 24f by the way")
    assert "freezer_warm" in facts(chat, "complaint")
    assert facts(chat, "result")["ice_and_water"] == "water_only"


def test_degrees_in_water_are_no_ohms_of_a_sensor(release):
    chat = visit(release, "lettuce freezing in ff, set at 37", "electronic w display", "set right",
                 "display 37 but it reads 29 in water")
    assert "sensor_ice_water" not in facts(chat, "result")


@pytest.mark.parametrize(("reading", "result"), [
    ("two wires, its OL", "open"), ("its a 3 wire fan", "electronic"), ("four wires", "electronic"),
    ("two wires 180 ohm", "good"), ("2 ohms", "low")])
def test_how_many_wires_a_fan_has_is_no_reading(release, reading, result):
    chat = visit(release, "frz -18 fridge 12, dont hear no fan inside", "spins free, coil thin n even frost")
    assert chat.job.question.checks == ("evap_fan_ohms",)
    chat.send(reading)
    assert facts(chat, "result")["evap_fan_ohms"] == result


def test_ohms_with_no_part_named_are_of_the_part_that_is_looked_at(release):
    """The new element was in, and it still does not bake."""
    chat = visit(release, "elec oven bake dead broil ok element got a split", "got one", "yes", "done", "still no bake",
                 "looks new, 2500w 23 ohm")
    assert facts(chat, "result")["element_ohms"] == "good"


@pytest.mark.parametrize("text", ["not needed, just dryin em out", "dont need any parts", "just drying it"])
def test_a_finding_goes_on_without_a_part(release, text):
    """What is dried or cleaned needs none, and says nothing of flames."""
    chat = visit(release, "gas range burners wont quit clickin even off, wife mopped stovetop yesterday",
                 "ports clean caps on right")
    assert chat.job.question.kind == "finding"
    before = facts(chat, "result")
    chat.send(text)
    assert chat.job.phase is Phase.REPAIR
    assert facts(chat, "result") == before


@pytest.mark.parametrize("text", ["quit tickin", "it stopped clicking", "ticking stopped"])
def test_a_trouble_that_quit_is_cured(release, text):
    chat = visit(release, "gas range burners wont quit clickin even off, wife mopped stovetop yesterday",
                 "ports clean caps on right", "just drying it", "done", text)
    assert chat.job.phase is Phase.CLOSING


@pytest.mark.parametrize("text", ["300 at 350", "reads 300 set to 350", "set 350 reads 300", "300 w the dial at 350"])
def test_what_an_oven_was_set_to_is_no_reading(text):
    """Before its reading or behind it."""
    assert read("fahrenheit", text).value == pytest.approx(148.9, abs=0.1)


def test_a_display_as_the_kind_of_control_shows_no_code(release):
    chat = visit(release, "electric oven runs 50 low", "display w keys")
    assert set(facts(chat, "complaint")) == {"oven_temperature_wrong"}
    assert facts(chat, "variant")["control"] == "board"
