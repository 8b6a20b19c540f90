"""A junior asks for a senior in his own words, or by name."""

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

MARTA = Person("marta", "Marta Ruiz", "senior", signoffs=frozenset({"live", "gas", "refrigerant", "lifting"}))
DANA = Person("dana", "Dana", "junior")


@pytest.fixture
def rui(release):
    """Rui at a washer that does not spin, with a check open."""
    crew = Chat(release, Person("rui", "Rui"), FIRM, crew=(MARTA, DANA))
    crew.send("top loader belt drive wont spin")
    return crew


@pytest.mark.parametrize("words", ["senior pls", "can i get a senior please", "call marta", "get Marta on this pls",
                                   "can you ask marta"])
def test_whoever_asks_for_a_senior_gets_one(rui, words):
    """A please or a name in place of the word changes nothing."""
    rui.send(words)
    assert rui.job.phase is Phase.HANDED_OFF and "A junior needs you" in rui.heard["marta"][-1].text


@pytest.mark.parametrize("words", ["call dana", "get the belt", "call the customer", "i have a lead"])
def test_other_people_and_things_are_no_senior(rui, words):
    """Another junior's name, a part, a customer, a lead of the meter."""
    rui.send(words)
    assert rui.job.phase is not Phase.HANDED_OFF
