"""What fridge and range techs type on the phone: the compressor, the fan, the swap already made, the match."""

from __future__ import annotations

import pytest

from tests.conversation.test_told_beside import facts


@pytest.mark.parametrize(("text", "shown"), [
    ("fridge both warm, comp runs", "runs"), ("fridge and freezer warm, compressor is running", "runs"),
    ("fridge both warm, cmpr wont start", "silent"), ("fridge warm freezer warm, no compressor", "silent"),
    ("fridge not cooling, compressor wont kick on, no click", "silent")])
def test_what_the_compressor_does_is_heard_with_the_complaint(chat_of, text, shown):
    """Nobody asks for it again, and 'no click' is no compressor that runs."""
    chat = chat_of()
    chat.send(text)
    assert facts(chat, "result")["compressor_hum"] == shown
    assert "clicks_wont_run" not in facts(chat, "denied")
    assert "compressor_hum" not in chat.job.question.checks


def test_a_warm_fridge_is_asked_for_its_compressor_before_a_cover_comes_off(chat_of):
    """It costs a minute and halves the list."""
    chat = chat_of()
    chat.send("fridge not cold at all")
    assert chat.job.question.checks == ("compressor_hum",)


@pytest.mark.parametrize("text", [
    "fridge warm, frost on back wall, fan quiet", "frost on the back wall of the fridge, cant hear the fan",
    "fridge warm, the fan in the freezer is silent"])
def test_a_quiet_fan_stands(chat_of, text):
    """It says nothing of noises of the machine."""
    chat = chat_of()
    chat.send(text)
    assert facts(chat, "result")["fan_listen"] == "silent"
    assert "noisy" not in facts(chat, "denied")


@pytest.mark.parametrize("text", [
    "fridge warm, condenser fan quiet", "fridge noisy, fan is quiet when the door is open"])
def test_another_fan_or_a_noise_that_goes_is_no_inside_fan_that_stands(chat_of, text):
    """The lower fan has its own check, and a noise that stops with the door is a place of it."""
    chat = chat_of()
    chat.send(text)
    assert "fan_listen" not in facts(chat, "result")


def test_one_dry_place_does_not_dry_the_floor(chat_of):
    """'No leak from the line' says where it does not come from."""
    chat = chat_of()
    chat.send("fridge puddle under crisper drawers n some on floor, no leak from the line")
    assert "water_on_floor" not in facts(chat, "denied")


@pytest.mark.parametrize("text", ["fridge compressor screaming hot", "fridge side wall is roaring hot"])
def test_screaming_hot_is_hot(chat_of, text):
    """How hot, in words of noise."""
    chat = chat_of()
    chat.send(text)
    assert set(facts(chat, "complaint")) == {"hot_to_touch"}


@pytest.mark.parametrize(("text", "repair"), [
    ("fridge clicks, comp wont start. i put new relay on already", "replace_start_parts"),
    ("fridge clicks every 3 min, swapped the relay no change", "replace_start_parts"),
    ("fridge icing up, put in a new defrost heater already", "defrost_heater.open")])
def test_what_the_tech_tried_before_he_wrote_is_no_cure(chat_of, text, repair):
    """It is evidence like a repair that failed, and not ordered twice."""
    chat = chat_of()
    assert "Tried already" in str(chat.send(text))
    assert repair in facts(chat, "done_before")


def test_what_was_asked_in_one_go_is_heard_late(chat_of):
    """The coil is asked once more, and the drain beside it is answered."""
    chat = chat_of()
    for line in ("fridge puddle under the crisper drawers", "no hole there"):
        chat.send(line)
    assert set(chat.job.question.checks) == {"frost_pattern", "drain_pour"}
    for line in ("sheet of ice on the freezer floor", "backs up"):
        chat.send(line)
    assert facts(chat, "result")["drain_pour"] == "stands"


def test_a_bare_one_for_a_look_and_a_reading_is_asked_back(chat_of):
    """It may be the first answer of the look as well as one ohm of a heater."""
    chat = chat_of()
    chat.send("fridge warm, frost on back wall")
    if chat.job.question.checks == ("forced_defrost",):
        chat.send("skip")
    asked = chat.job.question.checks
    assert {"frost_pattern", "defrost_heater_ohms"} <= set(asked)
    assert "which one do you mean" in str(chat.send("1"))
    assert not set(asked) & set(facts(chat, "result"))


@pytest.mark.parametrize("text", [
    "gas oven wont light, i held a match to it n it whooshed", "gas oven wont light. ill try a match",
    "can i light the oven with a match", "oven burner lit with a lighter"])
def test_never_a_match_into_an_oven(chat_of, text):
    """Asked, announced or done: it is not done again."""
    assert "Never a match" in str(chat_of().send(text))


@pytest.mark.parametrize("text", [
    "gas range burner wont light, lit it with a match", "gas oven doesnt match the dial, started last week"])
def test_a_match_on_top_and_a_dial_that_does_not_match_are_no_match_in_an_oven(chat_of, text):
    """On top a long lighter is a check of ours."""
    assert "Never a match" not in str(chat_of().send(text))


def test_an_oven_that_puffs_is_not_lit_again_to_see_it(chat_of):
    """Where it lights late is asked, with nothing lit."""
    chat = chat_of()
    chat.send("gas oven wont light right, whooshes when it does")
    assert "oven_light_up" not in chat.job.question.checks


@pytest.mark.parametrize("text", ["cleaned em and it lights", "cleaned it works now"])
def test_ports_that_were_cleaned_are_no_pilot(chat_of, text):
    """The repair on the table is meant, and its proof comes next."""
    chat = chat_of()
    for line in ("gas cooktop burner clicks no flame others light fine", "ports full of crud"):
        chat.send(line)
    chat.send(text)
    assert chat.job.question.kind == "proof" and not chat.job.handoff


@pytest.mark.parametrize(("text", "check", "shown"), [
    ("coil top, rr burner dead, swapped with the other one n still dead", "swap_coil", "with_place"),
    ("gas range left front clicks but no flame, cap off center", "cap_look", "crooked"),
    ("fridge runs all day both sides warm, coils underneath furry", "coil_look", "felted"),
    ("frzr chirps, stops when u open freezer door", "noise_place", "freezer_fan")])
def test_a_look_told_in_the_first_line_is_not_asked_again(chat_of, text, check, shown):
    """A 'no' before a comma does not reach behind it."""
    chat = chat_of()
    chat.send(text)
    assert facts(chat, "result")[check] == shown


def test_a_dead_top_is_no_coil_that_stays_dead(chat_of):
    """Its complaint tells nothing of how a coil lies."""
    chat = chat_of()
    chat.send("elec range cooktop dead")
    assert "coil_moved" not in facts(chat, "result")


@pytest.mark.parametrize(("text", "fuel"), [
    ("broil no heat bake ok electric", "electric"), ("burner wont light gas", "gas")])
def test_a_line_that_ends_in_its_fuel_tells_it(chat_of, text, fuel):
    """Nobody asks an electric one how its gas lights."""
    chat = chat_of()
    chat.send(text)
    assert facts(chat, "variant")["fuel"] == fuel


def test_a_smell_of_gas_is_no_build(chat_of):
    """It is a danger, whatever stands last."""
    chat = chat_of()
    chat.send("range smell gas")
    assert facts(chat, "danger") and "fuel" not in facts(chat, "variant")


@pytest.mark.parametrize("text", ["breaker was tripped", "breaker was tripped, one half"])
def test_a_breaker_found_tripped_is_no_beginning(chat_of, text):
    """Asked how it began, the tech tells how the breaker stood."""
    chat = chat_of()
    for line in ("display dead on range, nothing on", "dead"):
        chat.send(line)
    assert chat.job.question.checks == ("since_when",)
    chat.send(text)
    told = facts(chat, "result")
    assert told["panel_look"] == "tripped" and "since_when" not in told


@pytest.mark.parametrize("lines", [("range knob broke", "only the knob"), ("fridge shelf broke", "just the shelf")])
def test_a_broken_part_is_looked_at_and_named(chat_of, lines):
    """Two lines, and no paper in the door."""
    chat = chat_of()
    for line in lines:
        chat.send(line)
    assert chat.job.position.fault == "cabinet_part.broken"
