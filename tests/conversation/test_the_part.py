"""The part: it comes early, it is the wrong one, it is wanted before the cause is known; and what is no address."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Job, Outcome, Phase
from bot.conversation.questions.choosing import choose
from bot.conversation.release import Release
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

NAMED = ("electric dryer, timer, runs no heat", "OL", "strong", "tight and clear")
"""A burnt-out element is named at the end of these."""


def after(release: Release, *texts: str) -> tuple[Chat, Job]:
    """A visit with these words typed one after the other, and its job; the element is metered, then named."""
    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=_metered)
    for text in texts:
        chat.send(text)
    assert chat.job is not None
    return chat, chat.job


def _metered(model: Model, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
    told = any(getattr(fact, "check", "") == "element_ohms" for fact in evidence.history)
    repair, _ = model.pack.repair_of("heating_element.open")
    option = Option("repair", repair, 0.0, 0.0) if told else Option("check", "element_ohms", 0.0, 0.0)
    return Decision(option, (option,))


def question_of(job: Job) -> str:
    """The kind of the open question."""
    return job.question.kind if job.question is not None else ""


def test_a_part_that_came_while_they_think_needs_their_word_first(release):
    """Nothing goes in before the price is agreed to, and that is said."""
    chat, job = after(release, *NAMED, "order it", "they want to think about it", "the new part is here")
    assert question_of(job) == "consent"
    assert "Before it goes in" in chat.latest[0].text


@pytest.mark.parametrize("said", ["the new part is here, customer says go ahead", "part came in, they approved it"])
def test_a_part_that_came_with_their_word_goes_in(release, said):
    """Both in one line settle both."""
    _, job = after(release, *NAMED, "order it", "later", said)
    assert job.phase is Phase.REPAIR and job.position.agreed


@pytest.mark.parametrize("asked", [(), ("skip",)])
def test_a_part_that_is_here_is_asked_neither_plate_nor_day(release, asked):
    """What is asked about an order has no use any more."""
    _, job = after(release, *NAMED, "order it", "yes", *asked, "the part is here already")
    assert job.phase is Phase.REPAIR
    assert not job.standing("plate")


def test_the_wrong_part_stays_out_and_the_right_one_goes_on_order(release):
    """No senior is needed for that, and the price is not asked again."""
    chat, job = after(release, *NAMED, "got one", "yes", "wrong part, doesnt fit")
    assert job.phase is Phase.WAITING and job.position.agreed
    assert not chat.offers()


def test_an_order_while_the_cause_is_looked_for_waits_for_it(release):
    """The check stays, and nobody is told that he was not followed."""
    chat, job = after(release, *NAMED[:2], "order it")
    assert job.question is not None and job.question.checks == ("blower_look",)
    assert "follow" not in chat.latest[0].text


def test_they_said_ok_is_no_no():
    """Near by its letters to 'they said no', and the opposite."""
    labels = {"yes": "Yes", "no": "No", "later": "Later", "covered": "Not their bill"}
    assert choose("they said ok", tuple(labels), labels) != "no"
    assert choose("they said noo", tuple(labels), labels) == "no"


def test_all_in_is_no_proof():
    """A load that is in has not dried yet."""
    labels = {"holds": "Works", "same": "Still the same", "other": "Something else"}
    assert choose("all in", tuple(labels), labels) is None


@pytest.mark.parametrize(("said", "ended"), [
    ("wrong part, doesnt fit", False), ("still smells a bit", False), ("14 hazel lane", True),
    ("the lady with the red door", True)])
def test_words_about_the_machine_are_no_address(release, said, ended):
    """They do not end the visit as fixed."""
    _, job = after(release, *NAMED, "got one", "yes", "done", "works", "all done", said)
    assert (job.outcome is Outcome.FIXED) is ended


def test_what_only_wants_cleaning_has_no_part_priced(chat_of):
    """A repair that cleans or replaces may go without a part: no price, no order."""
    chat = chat_of()
    for text in ("dishwasher electronic, grit on the glasses, upper rack mostly", "docked and whole", "well loaded",
                 "holes plugged with labels", "filter is clean"):
        chat.send(text)
    assert "Cleaning will do" in chat.latest[-1].choices
    chat.send("dont need a part i can just clean it")
    assert chat.job.phase is Phase.REPAIR
    assert "Price before parts" not in "\n".join(said.text for said in chat.latest)
