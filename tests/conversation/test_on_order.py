"""A part is ordered, and the tech says in his own words how it stands with it."""

import pytest

from bot.conversation.job import Outcome, Phase


@pytest.fixture
def ordering(chat_of):
    """A torn gasket, the customer agreed, the plate is asked for."""
    chat = chat_of()
    for words in ("front loader leaks from the door gasket", "torn", "order it", "she says ok"):
        chat.send(words)
    assert chat.job.question.kind == "plate"
    return chat


@pytest.fixture
def waiting(ordering):
    """It comes on Thursday; today is Monday, the second of March."""
    ordering.send("skip")
    ordering.send("thurs")
    assert ordering.job.question.kind == "waiting"
    return ordering


@pytest.mark.parametrize("words", ["dunno labels gone", "cant read it", "label torn off", "no sticker on it",
                                   "its rubbed off"])
def test_a_plate_nobody_can_read_is_passed_over(ordering, words):
    """It is no trouble of the machine's, and nothing is asked twice."""
    before = len(ordering.job.standing("complaint", "result"))
    ordering.send(words)
    assert ordering.job.question.kind == "due" and len(ordering.job.standing("complaint", "result")) == before


def test_the_day_told_before_it_is_asked(ordering):
    """'Thurs' at the plate is the day."""
    said = ordering.send("thurs")
    assert "Noted: Thursday." in said[0].text and ordering.job.question.kind == "waiting"


@pytest.mark.parametrize("words", ["backordered", "they dont know", "supplier will ring me", "n/a", "no eta"])
def test_a_day_nobody_knows(ordering, words):
    """The visit waits, and no morning is set."""
    ordering.send("skip")
    ordering.send(words)
    assert ordering.job.question.kind == "waiting" and "part_due" not in {t.name for t in ordering.timers.values()}


@pytest.mark.parametrize("words", ["they say friday now", "pushed back to friday", "now its friday i think",
                                   "moved to fri"])
def test_a_new_day_is_no_arrival(waiting, words):
    """The morning moves along."""
    said = waiting.send(words)
    assert "Noted: Friday." in said[0].text and waiting.job.phase is Phase.WAITING
    assert [t.at.day for t in waiting.timers.values() if t.name == "part_due"] == [6]


@pytest.mark.parametrize("words", ["supplier has it now", "part shipped", "its not here", "is it here yet?",
                                   "still on backorder", "got it but im at another job", "its at the shop",
                                   "part is late", "forgot the part", "they lost the part"])
def test_what_is_not_at_the_machine_is_waited_for(waiting, words):
    """Nobody is sent to take the machine apart."""
    waiting.send(words)
    assert waiting.job.phase is Phase.WAITING and waiting.job.question.kind == "waiting"


@pytest.mark.parametrize("words", ["where is my part", "any news on the part", "what about my part",
                                   "so whats happening with the part", "did the part come", "is my part here yet?"])
def test_who_asks_for_the_part_has_not_got_it(waiting, words):
    """News of it comes from him; he is not sent to fit what he asks for."""
    said = waiting.send(words)
    assert "I hear that from you." in said[0].text and waiting.job.question.kind == "waiting"


@pytest.mark.parametrize("words", ["part costs double", "the part is blue", "box for the part is big"])
def test_a_part_that_is_spoken_of_is_not_here_yet(waiting, words):
    """The word alone is no choice."""
    waiting.send(words)
    assert waiting.job.phase is Phase.WAITING


def test_here_and_fitted_another_day(waiting):
    """The morning of that day he is asked."""
    waiting.send("part came but cant go til monday")
    assert waiting.job.phase is Phase.WAITING
    assert [t.at.day for t in waiting.timers.values() if t.name == "part_due"] == [9]


@pytest.mark.parametrize("words", ["wrong part came", "they sent the wrong one", "came in but its broken",
                                   "order was cancelled by supplier"])
def test_what_cannot_be_fitted_is_ordered_again(waiting, words):
    """The visit stays open, and the day is asked anew."""
    waiting.send(words)
    assert waiting.job.phase is Phase.WAITING and waiting.job.question.kind == "due"


def test_a_customer_who_calls_it_off_ends_it(waiting):
    """That is theirs to say."""
    waiting.send("customer cancelled")
    assert waiting.job.outcome is Outcome.NOT_FIXED


@pytest.mark.parametrize("words", ["its in", "arrived", "part is here now"])
def test_here_goes_on(waiting, words):
    """With the repair, and its cautions first: in the house is not in the machine."""
    waiting.send(words)
    assert waiting.job.phase is Phase.REPAIR
