"""Refrigerators and dishwashers as they are told: what convicts itself, what stays dead, what is asked first."""

from __future__ import annotations

import pytest

from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import diagnose
from knowledge.loader import load
from tests.conversation.test_told_beside import facts, visit
from tests.conversation.test_wet_or_tripping import powered

PACKS = load().knowledge.packs
MODELS = {family: compile_pack(PACKS[family]) for family in ("refrigerator", "dishwasher")}


def said(chat) -> str:
    """All that the tech was shown."""
    return "\n".join(one.text for one in chat.heard["rui"])


def told(family: str, complaints: list[str], results: dict[str, str]) -> dict[str, object]:
    """What diagnosis makes of it."""
    return diagnose(MODELS[family], {"family": family, "complaints": complaints, "results": results})


def leads(family: str, complaints: list[str], results: dict[str, str]) -> str:
    """The leading fault."""
    return told(family, complaints, results)["faults"][0]["id"]


@pytest.mark.parametrize("seen", [
    "wire nut in the box is black and melted", "the splice in the junction box is cooked",
    "connection box is all scorched inside"])
def test_a_burnt_splice_is_the_finding_and_the_breaker_is_never_tried(release, seen):
    """Told unasked, it is what the look into the box shows, and no supply is restored after it."""
    chat = visit(release, "dishwasher dead, no lights", seen)
    assert facts(chat, "result")["box_look"] == "burnt"
    assert "Remake the burnt connection" in said(chat)
    assert "Restore the supply" not in said(chat) and powered(release, chat.job) == []


@pytest.mark.parametrize("smelt", ["burnt plastic smell by the junction box", "burnt electrical odor at the j box"])
def test_a_smell_at_the_box_is_no_look_into_it(release, smelt):
    """A nose is no eye: the box is still to be opened."""
    assert "box_look" not in facts(visit(release, "dishwasher dead", smelt), "result")


def test_a_dead_dishwasher_that_smelt_fishy_is_not_switched_on(release):
    """Hot connector plastic smells of fish; dishes that smell of it do not burn."""
    chat = visit(release, "dishwasher dead, they smelt something fishy last night")
    assert "burning_smell" in facts(chat, "complaint") and powered(release, chat.job) == []
    assert "burning_smell" not in facts(visit(release, "dishwasher, dishes smell fishy"), "complaint")


@pytest.mark.parametrize("opening", [
    "fridge light stays on when i shut the door", "fridge, light still on inside when the door is shut",
    "nevera, la luz se queda prendida con la puerta cerrada"])
def test_a_light_that_stays_on_is_no_light_that_is_out(release, opening):
    """The two are opposites; no bulb is put in, the switch is worked."""
    chat = visit(release, opening)
    assert "light_stays_on" in facts(chat, "complaint") and "light_out" not in facts(chat, "complaint")
    assert "lamp_swap" not in chat.job.question.checks


@pytest.mark.parametrize("opening", [
    "fridge light stays on, door shut. cover melted", "fridge bulb burns hot all the time and melted the cover",
    "refrigerator top shelf warm, the light cover is brown and melted"])
def test_a_melted_lamp_cover_has_the_plug_out_first(release, opening):
    """Plug out with the first word of it, and nothing that follows lights that lamp again."""
    chat = visit(release, opening)
    assert "Plug out now, and it stays out" in said(chat)
    for _ in range(4):
        if chat.job is None or chat.job.question is None or chat.job.question.kind != "check":
            break
        assert powered(release, chat.job) == []
        chat.send("skip")


def test_a_tingle_is_measured_with_the_plug_out(release):
    """Ground, leak and outlet come before frost, food and settings."""
    chat = visit(release, "fridge tingle off the handle", "dead and safe")
    asked = set()
    for _ in range(3):
        if chat.job.question is None or chat.job.question.kind != "check":
            break
        asked |= set(chat.job.question.checks)
        chat.send("skip")
    assert asked <= {"ground_bond", "outlet_tester", "pins_to_ground", "outlet_look", "cord_look", "smell_source"}
    assert asked & {"ground_bond", "outlet_tester", "pins_to_ground"}


def test_no_ground_does_not_end_it_before_the_machine_is_measured(release):
    """A missing ground lets a leak be felt and makes none: the pins are read before the electrician is called."""
    chat = visit(release, "fridge tingle off the handle", "dead and safe", "skip",
                 "tester says open ground, in the outlet")
    assert facts(chat, "result")["outlet_tester"] == "no_ground"
    assert "pins_to_ground" in chat.job.question.checks and "electrician's job" not in said(chat)


@pytest.mark.parametrize("found", [{"outlet_tester": "no_ground", "pins_to_ground": "leak"},
                                   {"ground_bond": "open", "pins_to_ground": "short"}])
def test_a_leak_beside_a_missing_ground_is_no_contradiction(found):
    """It takes both to be felt, so neither is doubted for the other."""
    assert told("refrigerator", ["electric_shock"], found)["misfit"] < 0.9


def test_shock_with_a_good_outlet_points_into_the_machine():
    """A wire rubbed through or a ground that is off is in the book."""
    sound = {"outlet_tester": "correct"}
    assert leads("refrigerator", ["electric_shock"], {**sound, "ground_bond": "open"}) == "ground_wire.off"
    assert leads("refrigerator", ["electric_shock"], {
        **sound, "ground_bond": "bonded", "pins_to_ground": "leak"}) == "wiring.rubbed_to_cabinet"
    assert leads("dishwasher", ["electric_shock"], {"ground_bond": "open"}) == "ground_wire.off"


@pytest.mark.parametrize("found", ["wire chewed by the hinge", "harness is gnawed bare where the door bends"])
def test_chewed_wires_find_their_end(release, found):
    """What is seen convicts itself: it is mended, and nothing else is asked first."""
    chat = visit(release, "dishwasher lights blink", found)
    assert "It gets no power until those wires are made new" in said(chat)
    assert "Mend the wire or connector" in said(chat)


def test_a_bad_wire_explains_a_warm_freezer():
    """Found on the harness, it leads whatever part of the cabinet is warm."""
    assert leads("refrigerator", ["freezer_warm"], {"harness_wiggle": "bad"}) == "wiring.open_or_corroded"


@pytest.mark.parametrize("opening", [
    "dishwasher takes three hours now and dishes are wet", "dishwasher dishes come out wet and the cycle takes forever",
    "lavavajillas no seca y el ciclo tarda mucho"])
def test_wet_dishes_after_a_long_cycle_are_a_matter_of_heat(release, opening):
    """A control that waits for hot water adds the time."""
    chat = visit(release, opening)
    assert facts(chat, "complaint").keys() >= {"no_dry", "long_cycle"}
    assert leads("dishwasher", ["no_dry", "long_cycle"], {}) == "heater.element_open"


def test_cold_air_from_an_open_vent_is_no_vent_that_sticks(release):
    """The flap does its work, the heat is missing: element before vent."""
    chat = visit(release, "dishwasher not drying")
    while "vent_look" not in chat.job.question.checks:
        chat.send("skip")
    chat.send("flap opens but the air is cold")
    assert facts(chat, "result")["vent_look"] == "cold"
    assert leads("dishwasher", ["no_dry"], {"vent_look": "cold"}) == "heater.element_open"


@pytest.mark.parametrize("back", ["hot and no air, fan back there is stopped", "hot, the lower fan isnt turning"])
def test_a_stopped_fan_at_a_hot_grille_is_turned_by_hand_next(release, back):
    """'Hot, no air' is the lower fan until it is proved otherwise; neither room nor frame is asked for."""
    chat = visit(release, "refrigerator not cold, both parts", back)
    assert facts(chat, "result")["condenser_fan_watch"] == "stands"
    assert leads("refrigerator", ["both_warm"], {"grille_breeze": "hot_still"}) == "condenser_fan.failed"
    assert leads("refrigerator", ["both_warm"], {"condenser_fan_watch": "stands"}) == "condenser_fan.failed"
    assert not {"hot_where", "place_ask", "settings_look", "light_press"} & set(chat.job.question.checks)


def test_a_torn_gasket_is_the_gasket():
    """Hardly any other machine has one torn."""
    first = told("refrigerator", ["frost_build_up", "door_sweats"], {"gasket_paper": "torn"})["faults"][0]
    assert first["id"] == "door_gasket.leaking" and first["p"] > 0.85


@pytest.mark.parametrize("opening", [
    "dishwasher fills up when i drain the sink", "dishwasher, food from the sink ends up in it"])
def test_sink_water_in_the_tub_sends_the_eyes_to_the_hose(release, opening):
    """Where the hose runs takes half a minute and no tool."""
    chat = visit(release, opening)
    assert "sink_water_in" in facts(chat, "complaint")
    assert leads("dishwasher", ["sink_water_in"], {}) == "high_loop.missing"
    assert told("dishwasher", ["sink_water_in"], {})["next"]["id"] == "loop_look"


def test_nobody_is_asked_what_fits_nothing():
    """No nose for a machine that does not smell, no keys on a dead panel, no wash of one that only drains."""
    checks = PACKS["dishwasher"].checks
    assert checks["smell_place"].presumes == ("bad_odour",)
    assert "keys_respond" in checks["any_life"].results["dead"].moots
    assert "wash_sound" in checks["pump_all_time"].results["runs"].moots
    assert {"history", "smell_place"} <= set(checks["under_look"].results["shaft"].moots)


def test_a_noise_that_is_usual_ends_as_nothing_wrong():
    """Pops and gurgles are what some call noise; that it is quiet just now is another answer."""
    usual = told("refrigerator", ["noisy"], {"noise_place": "usual"})["faults"][0]
    assert usual["id"] == "usage.normal" and usual["p"] > 0.5


def test_a_door_that_starts_only_when_leaned_on_is_heard_at_once(release):
    """The first line has answered the push with the hip."""
    chat = visit(release, "dishwasher wont start unless you lean on it")
    assert facts(chat, "result")["latch_push"] == "only_pushed"
