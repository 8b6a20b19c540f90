"""What technicians told in other words than they were expected to, on whole visits."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.conversation.wording.ways import way_of
from bot.simulation.chat import Chat


def after(chat_of, *lines: str) -> Chat:
    """A visit so far, by somebody signed off for live work."""
    chat = chat_of("live")
    for line in lines:
        chat.send(line)
    return chat


def results(chat: Chat) -> dict[str, str]:
    """Check -> result that stands."""
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


@pytest.mark.parametrize(("opening", "text", "hazard"), [
    ("fridge frost on back wall", "knife slipped, hissin now", "refrigerant"),
    ("fridge both warm", "screwdriver slipped, its hissing", "refrigerant"),
    ("top loader no spin", "customer got a shock last month", "shock"),
    ("top loader no spin", "he said the cabinet zapped him last month", "shock"),
    ("dryer dead", "the cabinet has voltage", "shock"), ("dryer dead", "theres current on the frame", "shock"),
    ("top loader leaks", "got cut by the panel", "injury"),
    ("dryer no heat", "electric, big fat plug, something crackling in the outlet", "fire"),
    ("dryer dead", "got power but something crackling in the outlet", "fire")])
def test_a_danger_in_the_words_of_the_field(chat_of, opening, text, hazard):
    """It comes before everything else."""
    chat = after(chat_of, opening, text)
    assert chat.job.phase is Phase.HAZARD
    assert chat.job.question.data["hazard"] == hazard


@pytest.mark.parametrize(("opening", "text"), [
    ("top loader leaks", "hose got cut by the cabinet edge"), ("top loader leaks", "a sharp edge cut the hose"),
    ("top load trips the breaker", "ground pin to cabinet 0.1"),
    ("top load trips the breaker", "cabinet to ground pin .1"),
    ("dryer dead", "gets volts at the block"), ("dishwasher wont drain", "gets volts on the pump"),
    ("top loader no spin", "she got zapped once last year, they rewired it")])
def test_what_only_sounds_like_one(chat_of, opening, text):
    """Parts that are cut, a ground that is as it should be, volts where they belong."""
    chat = after(chat_of, opening, text)
    assert chat.job.phase is not Phase.HAZARD
    assert "electric_shock" not in {fact.subject for fact in chat.job.standing("complaint")}


def test_water_at_the_outlet_is_dry_again(chat_of):
    """'Its dry now, plug out' is what was asked for."""
    chat = after(chat_of, "front loader washes cold", "water running to the outlet", "its dry now, plug out")
    assert chat.job.phase is not Phase.HAZARD


def test_a_block_found_burnt_is_no_fire(chat_of):
    """It has an instruction of its own."""
    chat = after(chat_of, "elec range nothing heats, 240 at the outlet, block burnt at L2")
    assert chat.job.phase is not Phase.HAZARD
    assert results(chat)["terminal_block_look"] == "burnt"


@pytest.mark.parametrize("text", [
    "switch got 240 in 0 out", "got 240 in n nothin out", "switch got power in but 0 out"])
def test_volts_in_and_out_are_no_part_put_in(chat_of, text):
    """'Got ... out' is what is cleared."""
    chat = after(chat_of, "elec range LR burner dead, coil top", "stays with the spot", "socket black", text)
    assert chat.job.phase is not Phase.PROOF


@pytest.mark.parametrize("text", ["fitted it", "fitted", "idler fitted"])
def test_what_was_fitted_is_no_gas_fitting(chat_of, text):
    """Whatever it was, nobody is sent out of the house."""
    chat = after(chat_of, "dryer squeals", text)
    assert "leak" not in chat.heard["rui"][-1].text.lower()
    assert chat.job.phase is not Phase.HANDED_OFF


@pytest.mark.parametrize("text", ["board, heater OL", "board. heater is open"])
def test_a_reading_behind_the_build_that_was_asked_for(chat_of, text):
    """Is not lost."""
    chat = after(chat_of, "fridge warm both sides, snow all over the back wall in frzr", text)
    assert results(chat)["defrost_heater_ohms"] == "open"


@pytest.mark.parametrize(("lines", "check", "result"), [
    (("toploader wont fill", "taps r open"), "tap_look", "open"),
    (("front load drum dont turn", "still silent", "brush motor", "brushes are short"), "brushes_look", "worn"),
    (("dishwasher wont start", "lights on nothing happens"), "any_life", "alive_no_start"),
    (("elec range LR burner dead, coil top", "the dead coil heats up in another spot"), "swap_coil", "with_place")])
def test_an_answer_in_the_words_of_the_field(chat_of, lines, check, result):
    """Filed as it was meant."""
    assert results(after(chat_of, *lines))[check] == result


def test_what_somebody_swapped_last_week_is_no_repair_of_ours(chat_of):
    """However short the week is written."""
    chat = after(chat_of, "top loader no spin", "customer says mate swapped the lock last wk")
    assert chat.job.phase is not Phase.PROOF


def test_ohms_of_windings_start_nothing(chat_of):
    """'Run 6 start 4' where a start is tried; a capacitor's own reading is none of a winding."""
    chat = after(chat_of, "fridge both warm, comp hums 5 sec n clicks off", "fan at back runs fine, warm air",
                 "relay rattles when i shook it", "it reads OL", "windings run 6 start 4 both 10")
    assert "trial_start" not in results(chat)
    chat = after(chat_of, "dryer just hums drum wont turn", "normal drag", "motor free, both pairs right",
                 "cap reads 1.2 supposed to be 8")
    assert "motor_run_ohms" not in results(chat)


@pytest.mark.parametrize("text", ["boss should look at this", "let senior decide"])
def test_who_wants_a_senior_to_look_gets_one(chat_of, text):
    """In whatever words."""
    chat = after(chat_of, "top loader no spin", text)
    assert chat.offers() or chat.job.phase is Phase.HANDED_OFF


@pytest.mark.parametrize(("kind", "text", "way"), [
    ("finding", "ok doin it", "got_part"), ("finding", "yep swap it", "got_part"),
    ("finding", "ill swap em", "got_part"), ("finding", "cust not doing it", None),
    ("finding", "why swap it", None), ("finding", "order it", "order"),
    ("repair", "belt on, agitates n spins", "done"), ("repair", "new belt in n it runs", "done"),
    ("proof", "lights in 30 sec no whoomp", "holds"), ("proof", "no whoomp", "holds"),
    ("proof", "no boom but slow", None), ("proof", "wont light, no whoomp", None),
    ("proof", "no whoosh just clicks", None),
    ("proof", "still goes whoomp", "same"), ("repair", "puttin it on", "not_yet"),
    ("repair", "not on, cant reach", "stuck")])
def test_how_a_repair_is_taken_up_and_done(kind, text, way):
    """In a few words."""
    assert way_of(kind, text) == way
