"""What juniors tell of fridges and dryers in passing: a part in its place, where a machine stands, what a thaw did, who
put a part in, volts at a part, and that a repair is begun or did it."""

from __future__ import annotations

import pytest

from bot.conversation.job import BY_LAYMAN, Phase
from bot.conversation.release import Release
from tests.conversation.test_told_beside import facts, visit

HUMS = "dryer makes a hum when you push start but the drum doesnt go round"
SLOW = ("dryer slow", "weak both", "crushed")
WARM = "fridge warm freezer ok"


@pytest.mark.parametrize(("text", "result"), [
    ("no it drags like always, belts on it", "steady"), ("normal drag, belt is on", "steady"),
    ("drags like always, belt is fine", "steady"), ("spins free no drag, belt is off", "free")])
def test_a_belt_in_its_place_is_not_lost(release: Release, text: str, result: str) -> None:
    """Nor is one that is off there."""
    assert facts(visit(release, HUMS, text), "result")["drum_by_hand"] == result


@pytest.mark.parametrize("text", ["drags like always, the belt's on", "drags the way it should, belt is in place"])
def test_a_belt_in_its_place_is_asked_about_at_worst(release: Release, text: str) -> None:
    """It is never a drum with no belt."""
    chat = visit(release, HUMS, text)
    assert facts(chat, "result").get("drum_by_hand") != "free"
    assert chat.job is not None and chat.job.question is not None and "drum_by_hand" in chat.job.question.checks


@pytest.mark.parametrize("text", ["belt is on i said", "belt is on", "no the belt is on and whole"])
def test_a_belt_in_its_place_tells_nothing_of_the_motor(release: Release, text: str) -> None:
    """Asked what a start does, after it hummed."""
    told = facts(visit(release, HUMS, "drags like always", text), "result")
    assert told.get("watch_run") != "runs_no_tumble" and told.get("belt_look") != "broken"


@pytest.mark.parametrize("text", ["its clean", "looks clean", "clean", "i just told you its clean"])
def test_words_that_name_nothing_are_on_what_is_asked(release: Release, text: str) -> None:
    """The filter was asked, not the plug or the board."""
    told = facts(visit(release, *SLOW, text), "result")
    assert told["lint_screen_look"] == "clear" and not {"outlet_look", "board_look"} & set(told)


@pytest.mark.parametrize("text", [
    "filter is good n water runs thru. hood outside tho, flap doesnt move at all",
    "filter good, outside flap dont move", "water runs right thru it, hood flap doesnt move at all"])
def test_a_flap_that_stands_is_no_timer(release: Release, text: str) -> None:
    """It is what the hood's own check asks for."""
    told = facts(visit(release, "electric dryer no heat", "breaker all set", "fuse open, element 8.6", text), "result")
    assert told["hood_flap"] == "none" and told["lint_screen_look"] == "clear" and "timer_moves" not in told


def test_a_dial_that_stands_is_the_timer(release: Release) -> None:
    """Its own words are still heard."""
    told = facts(visit(release, "dryer slow", "dial doesnt move at all on auto"), "result")
    assert told["timer_moves"] == "neither"


@pytest.mark.parametrize("text", [
    "has a dial like i said, doesnt creep tho cause it dont run", "got a dial, it doesnt creep because it wont start",
    "dial, wont creep since it doesnt run"])
def test_what_stands_since_nothing_runs_tells_no_build(release: Release, text: str) -> None:
    """A dial that cannot creep is still a dial."""
    told = facts(visit(release, "dryer wont start", "lamp lit wont start", "clicks fine", text), "variant")
    assert told.get("control") != "board"


@pytest.mark.parametrize("text", ["dryer wont start, dial type", "dryer dead, timer kind", "dial model dryer no heat"])
def test_a_build_named_by_its_type(release: Release, text: str) -> None:
    """In a first line."""
    assert facts(visit(release, text), "variant")["control"] == "timer"


@pytest.mark.parametrize("text", [
    "old top mount w the dial, both boxes warm, never shuts off", "fridge both sections are warm n never shuts off"])
def test_never_shuts_off_is_no_control_that_was_turned(release: Release, text: str) -> None:
    """A trouble's own words tell no check by hand; and both parts are warm."""
    chat = visit(release, text)
    assert {"both_warm", "runs_constantly"} <= set(facts(chat, "complaint"))
    assert "cold_control_turn" not in facts(chat, "result")


@pytest.mark.parametrize("text", [
    "coil only has frost on the first two turns, heater is 19 ohm, and all the rest of it is bare",
    "heater is 19 ohm n the coil only has frost on the first two turns, rest bare"])
def test_an_answer_takes_no_trouble_back_that_stands(release: Release, text: str) -> None:
    """'Rest bare' is no machine that rests."""
    opening = ("old top mount w the dial, both boxes warm, never shuts off n theres a patch of frost on the back wall "
               "of frzr. coil underneath is caked w fuzz")
    chat = visit(release, opening, text)
    assert facts(chat, "result")["frost_pattern"] == "first_turns"
    assert "runs_constantly" in facts(chat, "complaint")


@pytest.mark.parametrize(("text", "check", "result"), [
    ("fridge leaks water inside, drain froze up", "drain_pour", "stands"),
    ("frig wet floor under the crispers, drain is froze solid", "drain_pour", "stands"),
    ("fridge warm frzr ok, coil underneath is caked w fuzz", "coil_look", "felted"),
    ("dryer takes forever, vent hood flap stuck shut w lint", "hood_flap", "none"),
    ("dryer slow, outside flap is glued shut w lint", "hood_flap", "none"),
    ("fridge both warm, compressor just sits there", "compressor_hum", "silent")])
def test_how_a_part_was_found_in_a_first_line(release: Release, text: str, check: str, result: str) -> None:
    """Frozen, caked, stuck shut, sitting there."""
    assert facts(visit(release, text), "result")[check] == result


@pytest.mark.parametrize("text", [
    "freezer door froze shut", "dishwasher wont drain, hose froze up outside",
    "front load washer drawer caked in soap"])
def test_what_is_frozen_or_caked_elsewhere_is_no_drain(release: Release, text: str) -> None:
    """Only the part that is named."""
    told = facts(visit(release, text), "result")
    assert not {"drain_pour", "coil_look", "frost_pattern"} & set(told)


@pytest.mark.parametrize("texts", [
    ("top freezer fridge out in their garage, freezer keeps hard as a rock but milk goes off in the bottom",),
    ("garage fridge warm, freezer ok",), ("fridge warm, its out on the porch",),
    ("top freezer fridge warm below, freezer holds", "walls are clean, no frost. its real cold in that garage")])
def test_where_it_stands_is_heard_by_the_way(release: Release, texts: tuple[str, ...]) -> None:
    """And asked no more."""
    told = facts(visit(release, *texts), "result")
    assert told["place_ask"] == "unheated" and "shown_vs_real" not in told


@pytest.mark.parametrize("text", [
    "fridge warm, breaker in the garage is fine", "fridge not cold, moved it from the garage to the kitchen",
    "fridge warm, the other fridge is in the garage"])
def test_a_garage_may_be_another_things_place(release: Release, text: str) -> None:
    """A breaker's, another fridge's, or where it stood before."""
    assert "place_ask" not in facts(visit(release, text), "result")


@pytest.mark.parametrize(("text", "result"), [
    ("fridge both warm, thawed it all out last week, no better", "no_better"),
    ("fridge both warm. we defrosted it for a day, didnt help", "no_better"),
    ("fridge warm. customer thawed it, was fine two weeks then warm again", "week"),
    ("fridge both warm, she defrosted it and it was back the next day", "soon")])
def test_what_a_thaw_did_is_heard_by_the_way(release: Release, text: str, result: str) -> None:
    """Whoever thawed it."""
    assert facts(visit(release, text), "result")["after_thaw"] == result


@pytest.mark.parametrize("text", [
    "fridge warm, gonna thaw it, no better idea", "fridge both warm, never been thawed, no better",
    "fridge both warm, thawed it"])
def test_a_thaw_that_is_planned_or_ends_open_tells_nothing(release: Release, text: str) -> None:
    """What it did is still to be asked."""
    assert facts(visit(release, text), "result").get("after_thaw") in {None, "not_tried"}


@pytest.mark.parametrize(("text", "repair"), [
    ("fridge no ice, water at the door works. They had a neighbour swap the inlet valve already, did nothing",
     "replace_water_valve"),
    ("electric dryer no heat, she had her son put in a new element", "heating_element.open"),
    ("top load washer wont drain, she had her son change the pump already", "replace_drain_pump")])
def test_who_had_somebody_swap_a_part(release: Release, text: str, repair: str) -> None:
    """It is told as what that man did."""
    assert facts(visit(release, text), "done_before")[repair] == BY_LAYMAN


def test_a_man_of_the_trade_whom_somebody_had_in(release: Release) -> None:
    """His part counts as one that did not cure."""
    chat = visit(release, "electric dryer no heat, had a tech replace the element last week")
    assert facts(chat, "done_before") == {"heating_element.open": ""}


@pytest.mark.parametrize("text", ["fridge no ice, had to replace the valve", "dryer no heat, she has a son"])
def test_no_part_that_nobody_put_in(release: Release, text: str) -> None:
    """Planned, or told of somebody who did nothing."""
    assert not facts(visit(release, text), "done_before")


@pytest.mark.parametrize("text", [
    "dryer dead. electrician put a new outlet in", "dryer dead after electrician swapped the outlet"])
def test_an_electrician_at_the_outlet_dates_a_trouble(release: Release, text: str) -> None:
    """As one at the panel does; what he says of it does not."""
    assert facts(visit(release, text), "result")["since_when"] == "wiring_work"
    said = visit(release, "dryer dead, the electrician says the outlet is ok")
    assert "since_when" not in facts(said, "result")


@pytest.mark.parametrize("text", ["got 120 at the fan", "120 at the fan"])
def test_volts_at_one_of_two_fans_are_asked_about(release: Release, text: str) -> None:
    """While the outlet is looked at."""
    chat = visit(release, "fridge dead quiet, light on", text)
    assert chat.job is not None and chat.job.question is not None and chat.job.question.kind == "which_check"
    chat.send("the one inside")
    assert facts(chat, "result")["fan_volts"] == "there"


@pytest.mark.parametrize(("texts", "check", "result"), [
    ((WARM, "bare", "cond fan gets 120"), "condenser_fan_volts", "there"),
    (("dryer no heat", "got 240 at the heater"), "volts_at_heater", "full"),
    (("dryer no heat", "240 at the outlet"), "leg_volts", "both")])
def test_volts_go_to_the_part_that_is_named(release: Release, texts: tuple[str, ...], check: str, result: str) -> None:
    """No fan is turned by hand by them, and the outlet in the wall is no heater."""
    told = facts(visit(release, *texts), "result")
    assert told[check] == result and not {"condenser_fan_spin", "grille_breeze"} & set(told)
    assert check == "volts_at_heater" or "volts_at_heater" not in told


REPAIR = (*SLOW, "filter clear", "got one", "yes")


@pytest.mark.parametrize("text", [
    "all new pipe, drys in 40 min now, flap flies open", "new duct on, full load dry in 45 now",
    "its on. drying in half an hour now"])
def test_how_long_a_load_takes_now_ends_a_repair(release: Release, text: str) -> None:
    """Then it is proved."""
    chat = visit(release, *REPAIR, text)
    assert chat.job is not None and chat.job.phase is Phase.PROOF


@pytest.mark.parametrize("text", ["still takes 90 min now", "takes 40 min now", "not done, dries in 2 hours now"])
def test_a_slow_load_ends_none(release: Release, text: str) -> None:
    """Or one of which nobody can tell."""
    chat = visit(release, *REPAIR, text)
    assert chat.job is not None and chat.job.phase is not Phase.PROOF


@pytest.mark.parametrize(("text", "phase"), [
    ("thats alright w them", Phase.REPAIR), ("she's all right by it", Phase.REPAIR),
    ("not alright with them", Phase.CONSENT)])
def test_alright_with_the_price(release: Release, text: str, phase: Phase) -> None:
    """Unless it is not."""
    chat = visit(release, *SLOW, "filter clear", "got one", text)
    assert chat.job is not None and chat.job.phase is phase


COLD_ROOM = ("top freezer fridge out in their garage, freezer keeps hard as a rock but milk goes off in the bottom",
             "walls are clean, no frost", "yeah theres a good blow of air in there", "no air and its not warm",
             "dial is right", "about 2 celsius")


@pytest.mark.parametrize(("text", "phase"), [
    ("ok moving it to the kitchen w the owners son", Phase.REPAIR), ("moving it now", Phase.REPAIR),
    ("ok ill move it", Phase.REPAIR), ("not moving that", Phase.FINDING), ("theyre gonna move it", Phase.FINDING),
    ("customer will move it saturday", Phase.FINDING)])
def test_who_sets_about_what_the_repair_asks_for(release: Release, text: str, phase: Phase) -> None:
    """'Moving it' is a yes where moving is the repair."""
    chat = visit(release, *COLD_ROOM, text)
    assert chat.job is not None and chat.job.phase is phase


def test_that_did_it_after_a_repair_that_seemed_to_fail(release: Release) -> None:
    """At a later check: to the proof of that repair, and no price again."""
    chat = visit(release, "fridge side 55, freezer 2, sides r real hot", "hot there but nothing moves",
                 "blade spins easy, reads OL", "solid fluff", "got one", "yep go ahead",
                 "its in. blows warm, still kinda loud", "warm breeze now", "yea that did it")
    assert chat.job is not None and chat.job.phase is Phase.PROOF
    assert chat.job.position.repair == "condenser_fan.failed"


@pytest.mark.parametrize("texts", [
    ("dryer takes ages, filter packed", "cleaned the filter"),
    ("fridge warm, coil underneath packed w fuzz", "vacuumed the coil")])
def test_a_part_cleaned_after_it_was_seen_packed(release: Release, texts: tuple[str, ...]) -> None:
    """It stays on file as it was found, and what is asked is asked again."""
    chat = visit(release, *texts)
    assert chat.job is not None and chat.job.question is not None and chat.job.position.misses == 0
    assert {"packed", "felted"} & set(facts(chat, "result").values())


@pytest.mark.parametrize("text", ["light comes on inside, start does zip", "light comes on, start does squat"])
def test_a_start_that_does_zip(release: Release, text: str) -> None:
    """That is one that does nothing."""
    assert facts(visit(release, "dryer wont start", text), "result")["any_life"] == "alive_no_start"


@pytest.mark.parametrize("text", [
    "clean, no ice nowhere. temps in the fridge comin down, 41 now", "bare. gasket looks new"])
def test_a_line_that_begins_with_the_answer(release: Release, text: str) -> None:
    """And goes on about something else."""
    assert facts(visit(release, WARM, text), "result")["back_wall_look"] == "bare"
