"""What a tech found himself, how he found it, and that he put it right: kept, and proved."""

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.diagnosis.evidence import Decision, Option
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def results(chat: Chat) -> dict[str, str]:
    """Check -> result that stands."""
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


@pytest.mark.parametrize(("line", "check", "result"), [
    ("fridge not cold. freezer door gasket torn", "gasket_paper", "torn"),
    ("fridge warm, the door gasket is ripped at the hinge", "gasket_paper", "torn"),
    ("fridge not cooling good and the condenser fan is jammed with a mouse nest", "condenser_fan_spin", "jammed"),
    ("bottom freezer fridge, frost along the front, drawer rails bent", "drawer_slide_look", "crooked"),
    ("dryer takes forever, lint packed in the duct", "duct_look", "blocked"),
    ("top load washer wont start, lid strike snapped off", "lid_strike_look", "broken")])
def test_a_part_told_as_torn_or_jammed_in_the_first_line_is_its_look(chat_of, line, check, result):
    """Who says what he found is not sent to look for it."""
    chat = chat_of()
    chat.send(line)
    assert results(chat).get(check) == result


@pytest.mark.parametrize("line", [
    "front load washer shakes, filter cap cracked",
    "dishwasher wont latch, hinge arm cracked",
    "fridge warm, customer says the door gasket is torn",
    "fridge warm, is the gasket torn?"])
def test_what_was_not_seen_or_is_of_another_part_is_no_look(chat_of, line):
    """The cap of a filter, a hinge, hearsay and a question show nothing of that check."""
    chat = chat_of()
    chat.send(line)
    assert not {"filter_look", "arm_look", "gasket_paper"} & set(results(chat))


@pytest.mark.parametrize("line", [
    "top loader wont start, lid lock blinks. plug on the lid lock was half off, i pushed it in and it locks now",
    "dryer no heat, a wire was off the thermostat, i reconnected it and heats now",
    "dishwasher wont drain, plug was off the drain pump. plugged it back in, drains now"])
def test_found_and_put_right_in_the_first_line_goes_to_its_proof(chat_of, line):
    """Trouble, cause and cure in one breath: only the proof is left to ask."""
    chat = chat_of()
    chat.send(line)
    assert chat.job.phase is Phase.PROOF


def test_a_wire_put_back_that_was_burnt_off_is_not_run_for_a_proof(chat_of):
    """What burnt stays dead until it is made new, whatever works now."""
    chat = chat_of()
    chat.send("dryer no heat, wire burnt off the thermostat, i reconnected it and heats now")
    assert chat.job.phase is not Phase.PROOF


@pytest.mark.parametrize("line", ["plug on the lid lock was half off", "the connector is hanging half off the lid lock",
                                  "plug was not all the way on at the lid lock"])
def test_a_plug_half_off_is_off(chat_of, line):
    """Half off is found as much as off."""
    chat = chat_of()
    chat.send("top load washer wont start")
    chat.send(line)
    assert results(chat).get("harness_wiggle") == "bad" or "lock_plug_look" in results(chat)


def test_pushed_back_on_and_works_now_ends_the_questions(chat_of):
    """'Pushed it back on' says of what was just told that it is mended."""
    chat = chat_of()
    chat.send("top loader overfills, pressure hose is off at the tub")
    chat.send("pushed it back on, fills right now")
    assert chat.job.question is not None and chat.job.question.kind in {"cause", "proof"}


@pytest.mark.parametrize(("line", "found"), [
    ("was jammed, freed it w pliers", "jammed"), ("free now, was jammed", "jammed"),
    ("free now, took the wire out", "jammed"), ("free, never was jammed", "free"), ("free, nothing in there", "free")])
def test_what_was_freed_at_the_check_is_filed_as_it_was_found(release, line, found):
    """Jammed is the fault, though it is free now."""
    def asks(model, evidence, belief, situation, keep):
        look = Option("check", "wash_impeller_turn", 1.0, 0.0)
        return Decision(look, (look,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=asks)
    chat.send("dishwasher fills, no spray")
    assert chat.job.question.checks == ("wash_impeller_turn",)
    chat.send(line)
    assert results(chat)["wash_impeller_turn"] == found


@pytest.mark.parametrize(("line", "repair"), [
    ("front loader wont drain pump was jammed w a sock freed it", "clear_drain_pump"),
    ("toploader wont drain, sock in the pump got it out", "clear_drain_pump"),
    ("front loader wont start. plug half off the door lock pushed it on", "door_lock.connection_bad"),
    ("front loader walks on spin brand new. shipping bolts still in, took em out", "shipping_bolts.left_in")])
def test_what_was_found_and_set_right_before_anything_was_asked_is_proved(chat_of, line, repair):
    """Whether it works now was not said: that is asked, and nothing else."""
    chat = chat_of()
    chat.send(line)
    assert chat.job.phase is Phase.PROOF and chat.job.position.repair == repair


def test_it_is_proved_too_where_the_kind_of_washer_was_asked_first(chat_of):
    """What was told before the machine was named is not lost."""
    chat = chat_of()
    chat.send("washer wont drain pump was jammed w a sock freed it")
    chat.send("front")
    assert chat.job.phase is Phase.PROOF


def test_found_and_set_right_at_the_check_is_filed_as_found_and_proved(chat_of):
    """Asked for the screens: they were packed, and are clean now."""
    chat = chat_of()
    chat.send("top loader fills real slow on cold, hot is ok")
    chat.send("screen packed w grit cleaned it")
    assert results(chat)["screens_look"] == "packed" and chat.job.phase is Phase.PROOF
    chat.send("fills fine now")
    assert chat.job.phase is Phase.CLOSING


def test_set_right_and_the_same_is_a_repair_in_vain(chat_of):
    """'Straightened it, still slow': on with the checks."""
    chat = chat_of()
    chat.send("top loader wont drain, drain hose was kinked, straightened it still slow")
    assert [f.subject for f in chat.job.standing("repaired")] == ["clear_drain_hose"]


@pytest.mark.parametrize("line", [
    "front loader wont drain, cleaned the filter", "front loader wont drain, pump wasnt jammed, cleaned it anyway",
    "front loader wont drain, filter was clogged last week cleaned it",
    "front loader trips breaker, wire was loose at the heater pushed it on"])
def test_cleaned_and_nothing_found_is_no_cure(chat_of, line):
    """Nor what was done another day, nor a wire that came loose where it burns."""
    chat = chat_of()
    chat.send(line)
    assert chat.job.phase is not Phase.PROOF
