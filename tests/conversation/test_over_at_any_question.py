"""A repair that is over is heard at the price, the part, the model number and the day: then comes its proof."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Outcome, Phase
from bot.conversation.wording.over import over_in
from bot.diagnosis.evidence import Decision, Option
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

TO_PRICE = ("got one",)
TO_PLATE = ("order it", "yes")
TO_DAY = (*TO_PLATE, "skip")


def named(release, *texts):
    """A visit at which a new belt was found to be needed, and these words typed after that."""

    def decided(model, evidence, belief, situation, keep):
        option = Option("repair", "replace_belt", 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send("belt drive top loader wont spin")
    while chat.job.question.kind == "check":
        chat.send("skip")
    assert chat.job.question.kind == "finding"
    for text in texts:
        chat.send(text)
    return chat


@pytest.mark.parametrize("at", [(), TO_PRICE, TO_PLATE, TO_DAY])
@pytest.mark.parametrize("said", ["done it. spins and washes now", "works", "new belt in, quiet now",
                                  "its in n runs great", "swapped the belt, she spins like new"])
def test_done_and_works_leads_to_the_proof(release, at, said):
    """Never to 'declined', nor to the same part again."""
    chat = named(release, *at, said)
    assert chat.job.phase is Phase.PROOF
    assert chat.job.position.repair == "replace_belt"


def test_the_price_is_brought_up_once_where_it_went_in_first(release):
    """It is to be said to the customer; then the proof, then the closing."""
    chat = named(release, *TO_PRICE, "done it, spins now")
    assert "before they said yes" in chat.latest[0].text
    said = chat.send("works")
    assert chat.job.phase is Phase.CLOSING
    assert "before they said yes" not in str(said)


def test_works_while_the_repair_is_waited_for_is_done(release):
    """Nobody has to write 'done' first."""
    assert named(release, *TO_PRICE, "yes", "works").job.phase is Phase.PROOF


def test_works_at_the_closing_list_is_no_riddle(release):
    """The list is asked for again, and that is all."""
    chat = named(release, *TO_PRICE, "yes", "done", "works")
    said = str(chat.send("works"))
    assert chat.job.phase is Phase.CLOSING and "follow" not in said


def test_the_customers_no_is_still_a_no(release):
    """Too dear is declined."""
    assert named(release, *TO_PRICE, "no, too much for them").job.outcome is Outcome.DECLINED


@pytest.mark.parametrize(("said", "over"), [
    ("works", "runs"), ("up and running", "runs"), ("listo, ya jala", "runs"), ("job done", "done"),
    ("works for them", None), ("she runs a daycare", None), ("works sometimes", None), ("it works but leaks", None),
    ("starts then stops", None), ("almost done", None), ("after work on it", None), ("good", None)])
def test_what_says_that_it_is_over(said, over):
    """A word on the price, and one that is taken back, says nothing of the kind."""
    assert over_in(said) == over


@pytest.mark.parametrize("said", ["cleaned the filter twice", "pump replaced", "works"])
def test_work_with_no_day_is_no_beginning(chat_of, said):
    """Since when it drains no more was not told."""
    chat = chat_of()
    chat.send(f"front load washer wont drain, {said}")
    assert not [fact for fact in chat.job.standing("result") if fact.subject == "history"]


def test_work_of_others_is_one(chat_of):
    """It has been so since somebody was in it."""
    chat = chat_of()
    chat.send("front load washer wont drain since they cleaned the filter")
    assert [fact.value for fact in chat.job.standing("result") if fact.subject == "history"] == ["worked_on"]


@pytest.mark.parametrize("said", ["turns, cold", "turns, stays cold", "it turns"])
def test_how_it_runs_with_its_trouble_is_no_cure(chat_of, said):
    """Asked something else, he tells what the run shows."""
    chat = chat_of()
    chat.send("electric dryer, timer dial, drum turns, no heat at all")
    assert chat.job.question.kind == "check"
    chat.send(said)
    assert chat.job.phase is Phase.CHECKS and chat.job.question.kind == "check"
