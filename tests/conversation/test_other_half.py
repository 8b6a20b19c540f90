"""Two checks asked in one go: what is answered is filed, and the other half is asked again, alone."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.diagnosis.evidence import Decision, Option
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

NEXT = "smell_where"


def asked(release, *checks):
    """A top loader that does not spin, and the question for these checks; another one is wanted after them."""
    wanted = [checks]

    def decided(model, evidence, belief, situation, keep):
        first = wanted[0] if not {seen.check for seen in evidence.history} & set(checks) else (NEXT,)
        option = Option("check", first[0], 1.0, 1.0)
        return Decision(option, (option,), together=first[1:])

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send("belt drive top loader wont spin, washes and drains")
    while chat.job.question.kind == "variant":
        chat.send("dont know")
    assert chat.job.question.checks == checks
    return chat


def filed(chat):
    """Check -> result as told."""
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


def test_the_other_half_is_asked_alone(release):
    """And not what the plan would have next."""
    chat = asked(release, "belt_grip", "basket_by_hand")
    said = str(chat.send("belt grips fine"))
    assert filed(chat) == {"belt_grip": "grips"}
    assert chat.job.question.checks == ("basket_by_hand",)
    assert "And the other" in said


def test_then_the_plan_goes_on(release):
    """It is asked once."""
    chat = asked(release, "belt_grip", "basket_by_hand")
    chat.send("belt grips fine")
    chat.send("1")
    assert set(filed(chat)) == {"belt_grip", "basket_by_hand"}
    assert chat.job.question.checks == (NEXT,)


@pytest.mark.parametrize("said", ["belt grips fine no oil", "it grips, no oil"])
def test_no_oil_is_no_word_on_the_grip(release, said):
    """Oil is asked for in passing; the belt holds."""
    chat = asked(release, "belt_grip")
    chat.send(said)
    assert filed(chat)["belt_grip"] == "grips"


def test_a_reading_beside_the_answer_is_filed(release):
    """'Belt grips i told you. actuator reads open' tells two things."""
    chat = asked(release, "belt_grip")
    chat.send("belt grips i told you. shift actuator reads open")
    assert filed(chat) == {"belt_grip": "grips", "shifter_ohms": "open"}


@pytest.mark.parametrize(("check", "said"), [("watch_spin", "no code"), ("noise_when", "reads normal")])
def test_words_on_something_else_are_no_answer(release, check, said):
    """Nothing is filed; the question stays."""
    chat = asked(release, check)
    chat.send(said)
    assert check not in filed(chat)
    assert chat.job.question.checks == (check,)
