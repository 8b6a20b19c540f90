"""A senior names a fault or a check by part of its name, by a number, or without the order's word."""

import pytest

from bot.conversation.job import Handing


@pytest.fixture
def belt_washer(rui_and_marta):
    """Marta has Rui's belt-driven washer that does not spin."""
    crew = rui_and_marta()
    crew.send("top loader belt drive wont spin")
    crew.send("senior")
    crew.press(1, who="marta")
    return crew


def verdicts(crew):
    return [r.data["fault"] for r in crew.records("verdict") if "fault" in r.data]


@pytest.mark.parametrize("words", ["found pump", "found bad pump", "found the motor", "found dead motor",
                                   "fault: shift actuator", "found its the clutch"])
def test_part_of_several_names_is_asked_back(belt_washer, words):
    """A part that several faults are called by makes none of them the finding, and the junior hears nothing yet."""
    before = len(belt_washer.heard["rui"])
    said = belt_washer.send(words, who="marta")
    assert said[-1].text.startswith("Several go by that: ")
    assert not verdicts(belt_washer) and belt_washer.job.handed_to == "marta"
    assert len(belt_washer.heard["rui"]) == before


@pytest.mark.parametrize(("words", "fault"), [
    ("found worn belt", "drive_belt.worn"), ("found that the belt is worn", "drive_belt.worn"),
    ("found belt off", "drive_belt.broken_or_off"), ("found drve belt worn", "drive_belt.worn"),
    ("i found a blocked drain pump", "drain_pump.blocked")])
def test_part_of_one_name_is_the_finding(belt_washer, words, fault):
    """What only one fault is called by needs no whole name."""
    belt_washer.send(words, who="marta")
    assert verdicts(belt_washer) == [fault]


def test_what_is_known_tells_which_of_two_is_meant(belt_washer):
    """A belt that was seen whole and slipping is the worn one."""
    belt_washer.send("ask belt grip", who="marta")
    belt_washer.send("no grip, dry")
    belt_washer.send("found belt", who="marta")
    assert verdicts(belt_washer) == ["drive_belt.worn"]


def test_part_of_several_checks_is_asked_back(belt_washer):
    """Nor is the junior sent to the first of them."""
    question = belt_washer.job.question
    said = belt_washer.send("ask him lid switch", who="marta")
    assert said[-1].text.startswith("Several go by that: ") and belt_washer.job.question == question


def test_the_junior_named_in_the_order_is_no_part_of_the_check(belt_washer):
    """'Ask rui belt grip' asks Rui."""
    belt_washer.send("ask rui belt grip", who="marta")
    assert belt_washer.job.question.checks == ("belt_grip",)


@pytest.mark.parametrize("words", ["its the worn drive belt", "fond worn belt", "that's a worn drive belt"])
def test_a_finding_without_its_word_is_talk_and_the_senior_hears_how(belt_washer, words):
    """It goes to the junior as it stands; a finding is made by `found`."""
    said = belt_washer.send(words, who="marta")
    assert belt_washer.heard["rui"][-1].text == f"Marta: {words}" and not verdicts(belt_washer)
    assert said[-1].text == "Passed on as you wrote it. Is it your finding? Then found worn drive belt."


@pytest.mark.parametrize("words", ["1", "2", " 2 ", "yes", "ok", "no", "later"])
def test_what_answers_the_junior_reaches_the_junior(belt_washer, words):
    """A number or a yes after the junior wrote is the answer to that, and no choice of ours."""
    belt_washer.send("got 2 black wires here, which one, 1 or 2")
    belt_washer.send(words, who="marta")
    assert belt_washer.heard["rui"][-1].text == f"Marta: {words}"
    assert belt_washer.job.handoff.state is Handing.TAKEN and not belt_washer.job.handoff.calling


def test_a_number_before_the_junior_wrote_is_the_choice(belt_washer):
    """Right after taking, 1 gives it back, as the choices say."""
    belt_washer.send("1", who="marta")
    assert belt_washer.job.handoff.state is Handing.GIVEN_BACK


@pytest.mark.parametrize("words", ["close it", "give it to the customer", "pass the tape to her"])
def test_words_about_a_thing_are_no_order(belt_washer, words):
    """A lid is closed, a thing handed over: the case stays where it is."""
    belt_washer.send(words, who="marta")
    assert belt_washer.heard["rui"][-1].text == f"Marta: {words}" and belt_washer.job.handed_to == "marta"


@pytest.mark.parametrize("words", ["carry on pls", "give it back to the bot", "ok carry on then"])
def test_it_is_given_back_in_other_words_too(belt_washer, words):
    """A please does not make talk of it."""
    belt_washer.send(words, who="marta")
    assert belt_washer.job.handoff.state is Handing.GIVEN_BACK


@pytest.mark.parametrize("words", ["yes", "ok", "sure", "Yes please."])
def test_a_yes_is_no_note(belt_washer, words):
    """Whoever wants a note is asked for its words; the yes is kept nowhere."""
    belt_washer.send("found worn drive belt", who="marta")
    said = belt_washer.send(words, who="marta")
    assert said[-1].text == "What should it say? Type it, or no."
    said = belt_washer.send("check the pulley, it cracks", who="marta")
    assert said[-1].text.startswith("Kept.") and "check the pulley" in belt_washer.heard["rui"][-1].text
