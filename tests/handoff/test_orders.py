"""What a senior writes: an order, or talk that goes to the junior whole."""

import pytest

from bot.conversation.job import Handing


@pytest.fixture
def held(rui_and_marta):
    """Marta has Rui's dishwasher."""
    crew = rui_and_marta()
    crew.send("dishwasher wont drain")
    crew.send("senior")
    crew.press(1, who="marta")
    return crew


@pytest.mark.parametrize("words", [
    "it's not the drain pump", "its not a blocked drain pump, check the hose", "it's a blocked drain pump",
    "it's probably a blocked drain pump but check the hose first", "found blocked drain pump?",
    "found no blocked drain pump",
    "found a blocked drain pump maybe", "fault is the drain pump i think", "found nothing yet on the drain pump?",
    "found the drain pump ok", "found bad start relay", "done with it?", "carry on?",
    "pass the hose end to the customer",
    "end of the hose?", "pass ines the wrench"])
def test_talk_reaches_the_junior_whole(held, words):
    """A not, a doubt, a question or another sense: no finding, no end, no passing on, and not a word is lost."""
    held.send(words, who="marta")
    assert held.job.handed_to == "marta" and held.job.handoff.state is Handing.TAKEN
    assert held.heard["rui"][-1].text == f"Marta: {words}"
    assert not [r for r in held.records("verdict") if "fault" in r.data]


@pytest.mark.parametrize("words", ["found blocked drain pump", "fault is blocked drain pump",
                                   "the fault is a blocked drain pump", "found bad relay"])
def test_a_fault_said_flatly_is_the_finding(held, words):
    """Then the repair comes."""
    held.send(words, who="marta")
    assert held.records("verdict")[-1].data["fault"] == held.job.position.fault


@pytest.mark.parametrize("words", ["pass to bob", "pass it on to Bob", "give the case to bob", "pass", "pass it",
                                   "hand it over"])
def test_an_order_to_pass_without_a_name_of_the_crew_stays_here(held, words):
    """The senior hears whom there is; the junior is not asked to pass anything to anybody."""
    before = len(held.heard["rui"])
    held.send(words, who="marta")
    assert held.job.handed_to == "marta" and len(held.heard["rui"]) == before
    assert "to pass it to" in held.heard["marta"][-1].text  # there is nobody else in this crew
