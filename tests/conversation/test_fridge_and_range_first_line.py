"""Refrigerators and ranges: what the first line has answered is not asked, and what it has not is."""

from __future__ import annotations

import pytest

from tests.conversation.test_told_beside import facts, visit


@pytest.mark.parametrize(("line", "seen"), [
    ("fridge ff warm, back of freezer frosted solid", "wall"),
    ("water under the crispers n ice on frzr floor of the fridge, frost too", "floor"),
    ("fridge, frost all round the freezer door opening", "door")])
def test_where_the_frost_sits_is_told_once(release, line, seen):
    """The look into the freezer is answered before it is asked."""
    chat = visit(release, line)
    assert facts(chat, "result")["back_wall_look"] == seen
    assert chat.job.question is None or "back_wall_look" not in chat.job.question.checks


@pytest.mark.parametrize(("line", "seen"), [
    ("fridge ice maker makes tiny hollow cubes", "small"),
    ("fridge ice maker overflows, bin is one lump", "flooded"),
    ("fridge, no ice, mold is bone dry", "empty"),
    ("fridge ice maker wont dump, cubes stuck in the mold", "stuck")])
def test_what_the_cubes_look_like_is_told_once(release, line, seen):
    chat = visit(release, line)
    assert facts(chat, "result")["mold_look"] == seen


@pytest.mark.parametrize("line", [
    "fridge ice maker quit", "fridge ice maker not working", "no ice in the fridge", "fridge ice maker jammed",
    "fridge ice maker stopped after a filter change"])
def test_an_ice_maker_that_quit_says_nothing_of_its_mold(release, line):
    assert "mold_look" not in facts(visit(release, line), "result")


@pytest.mark.parametrize("line", [
    "fridge door gasket torn at the bottom corner, door sweats", "fridge gasket ripped lower corner n it sweats there"])
def test_a_gasket_told_torn_is_not_tried_with_paper(release, line):
    chat = visit(release, line)
    assert facts(chat, "result")["gasket_paper"] == "torn"


@pytest.mark.parametrize("line", [
    "coil range rear rt burner dead, comes on if u wiggle it",
    "coil range, left front dead, works if you push it down"])
def test_a_coil_that_works_when_wiggled_is_told_so_in_the_complaint(release, line):
    """The socket is looked at; nobody swaps coils or counts dead ones first."""
    chat = visit(release, line)
    assert facts(chat, "result")["coil_moved"] == "comes"
    assert chat.job.question is not None and chat.job.question.checks == ("coil_socket_look",)


def test_a_dead_coil_has_not_been_wiggled(release):
    assert "coil_moved" not in facts(visit(release, "coil range burner dead rear right"), "result")


def test_a_door_that_does_not_close_is_not_locked(release):
    assert list(facts(visit(release, "oven door wont close all the way"), "complaint")) == ["part_broken"]


@pytest.mark.parametrize(("line", "shown"), [
    ("gas oven no heat ignitor glows but never lites. top burners fine", "glow_no_flame"),
    ("gas range bake dont work glow bar comes on orange but no fire", "glow_no_flame"),
    ("igniter glows but oven wont light", "glow_no_flame"),
    ("oven no heat, igniter never glows, burners ok gas", "no_glow"),
    ("gas oven wont heat ignitor doesnt glow", "no_glow")])
def test_what_the_glow_bar_does_is_told_with_the_cold_oven(release, line, shown):
    """Nobody watches it once more."""
    chat = visit(release, line)
    assert facts(chat, "result")["oven_light_up"] == shown
    assert chat.job.question is None or "oven_light_up" not in chat.job.question.checks


@pytest.mark.parametrize("line", [
    "gas oven wont light, igniter bad i think", "gas oven wont heat, replaced the igniter last month",
    "gas oven wont light, just clicks"])
def test_an_igniter_that_is_only_named_glows_in_no_way(release, line):
    assert "oven_light_up" not in facts(visit(release, line), "result")


def test_a_coil_or_a_glow_bar_that_is_red_is_no_glass_top(release):
    """Everything that heats by wire glows red."""
    assert "surface" not in facts(visit(release, "gas oven wont lite, igniter glows red no flame"), "variant")


@pytest.mark.parametrize("line", [
    "elec oven wont bake, broil fine. see a blister in the bake element",
    "elec oven wont bake, broil works, bottom element is split", "elec oven wont bake, blister on the lower element"])
def test_a_hurt_element_is_seen_beside_what_works(release, line):
    assert facts(visit(release, line), "result")["bake_look"] == "broken"


@pytest.mark.parametrize(("line", "shown"), [
    ("glass top rt rear wont get hot others ok", "one"), ("coil lf dead rest good", "one"),
    ("glass cooktop, both front ones dead", "pair"), ("electric stove none of the burners heat", "all")])
def test_which_units_are_dead_is_told_with_it(release, line, shown):
    chat = visit(release, line)
    assert facts(chat, "result")["which_units"] == shown


def test_none_of_the_burners_denies_no_build(release):
    """'Electric stove none of ...' is electric all the same."""
    assert facts(visit(release, "electric stove none of the burners heat"), "variant")["fuel"] == "electric"


@pytest.mark.parametrize("line", [
    "elec range clock works but nothin heats, oven or top", "range lights up fine but burners and oven stay cold"])
def test_neither_top_nor_oven_is_no_bake_element(release, line):
    """Both halves of the breaker come before a look at one element."""
    chat = visit(release, line)
    assert facts(chat, "result")["watch_all"] == "lit_no_heat"
    assert "bake_look" not in chat.job.question.checks


def test_a_clock_that_is_fine_tells_nothing_of_the_top(release):
    assert "watch_all" not in facts(visit(release, "elec oven no heat clock is fine"), "result")


@pytest.mark.parametrize(("line", "shown"), [
    ("gas range keeps clickin", None), ("gas range burner keeps clicking after its lit", "after_lit"),
    ("gas range keeps clicking when everything is off", "knobs_off"),
    ("gas stove wont stop clicking even lit", "after_lit")])
def test_when_it_clicks_is_told_where_it_is_said(release, line, shown):
    """'Keeps clicking' is the complaint and no more."""
    assert facts(visit(release, line), "result").get("click_when") == shown


@pytest.mark.parametrize("line", ["buttons", "push buttons n a clock", "touch pad", "keys"])
def test_an_ovens_control_in_plain_words_complains_of_nothing(release, line):
    chat = visit(release, "elec oven runs like 60 hot, everything burns", line)
    assert facts(chat, "variant")["control"] == "board"
    assert set(facts(chat, "complaint")) == {"oven_temperature_wrong"}


def test_a_thermostats_bulb_is_looked_at_before_one_is_bought(release):
    chat = visit(release, "elec oven runs like 60 hot, everything burns", "its a dial")
    assert chat.job.question.checks == ("bulb_look",)
    chat.send("bulb is hangin down")
    assert chat.job.position.fault == "oven_thermostat.bulb_off"


@pytest.mark.parametrize("line", [
    "turned the timer w a screwdriver n everything kicked on", "advanced the timer and it ran"])
def test_what_the_defrost_timer_did_by_hand_is_heard_unasked(release, line):
    chat = visit(release, "top freezer, freezer 28 fridge 60, comp not running n no fan either. light works", line)
    assert facts(chat, "result")["timer_turn"] == "starts"


@pytest.mark.parametrize("line", ["glow igniter", "glow bar type"])
def test_the_name_of_an_igniter_is_how_it_is_built(release, line):
    """It says nothing of a flame; what it does is asked."""
    chat = visit(release, "gas stove oven takes forever to preheat", line)
    assert facts(chat, "variant")["ignition"] == "hot_surface"
    assert chat.job.question.checks == ("oven_light_up",)
