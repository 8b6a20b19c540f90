"""Corrections of the latest answer, in the tech's own short words; words that steer unless they answer."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.questions.choosing import choose
from bot.conversation.steering.words import senior_because
from bot.diagnosis.evidence import Decision, Option
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def asked_in_turn(release, opening, *checks):
    """A visit at which these checks are asked one after the other."""

    def decided(model, evidence, belief, situation, keep):
        seen = {seen.check for seen in evidence.history if hasattr(seen, "check")}
        option = Option("check", next((key for key in checks if key not in seen), checks[-1]), 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send(opening)
    return chat


def result(chat, check):
    return next((fact.value for fact in chat.job.standing("result") if fact.subject == check), None)


@pytest.mark.parametrize("said", ["no wait its on filling", "no wait i mean filling", "not washing, filling",
                                  "no its filling",
                                  "sorry, i meant while filling", "its not washing, its filling",
                                  "scratch that, filling"])
def test_another_choice_of_the_last_question_replaces_the_first(release, said):
    """However it is announced; the check that is open stays open, and is not given up."""
    chat = asked_in_turn(release, "front load washer leaks at the front", "leak_step", "gasket_look")
    chat.send("washing")
    assert result(chat, "leak_step") == "washing"
    chat.send(said)
    assert result(chat, "leak_step") == "filling"
    assert not chat.job.standing("cannot", "declined")
    assert {f.subject for f in chat.job.standing("complaint")} == {"leaks"}


def test_another_complaint_replaces_the_first(release):
    """It does not leak, it overflows: no check was answered by that."""
    chat = asked_in_turn(release, "top load washer leaks", "drip_place")
    chat.send("no wait it doesnt leak it overflows")
    assert "leaks" not in {f.subject for f in chat.job.standing("complaint")}
    assert chat.job.standing("complaint")
    assert result(chat, "drip_place") is None


def test_back_is_a_place_where_places_are_asked(release):
    """The choice goes before the word that takes an answer back; elsewhere it still does."""
    chat = asked_in_turn(release, "dryer noisy", "noise_place", "since_when")
    where = chat.job.question.checks[0]
    chat.send("back")
    assert result(chat, where) is not None
    chat.send("back")
    assert result(chat, where) is None
    assert chat.job.family == "dryer"


@pytest.mark.parametrize("said", ["senior, i think its the building fan", "get me a senior, neighbors have it too",
                                  "the neighbors above have the same, senior please",
                                  "need a senior because its the shaft"])
def test_a_senior_is_asked_for_with_the_reason(chat_of, said):
    """The reason goes along in the last words."""
    chat = chat_of()
    chat.send("dryer dries slow, electric")
    chat.send(said)
    assert chat.job.phase is Phase.HANDED_OFF


@pytest.mark.parametrize("said", ["my senior said its the belt", "the senior model", "senior discount, they said"])
def test_a_senior_spoken_of_is_not_asked_for(said):
    """Talk about one brings none."""
    assert senior_because(said) is None


@pytest.mark.parametrize(("said", "value"), [("4, oven fine", "d"), ("2. just that one", "b"), ("3) i think", "c"),
                                             ("1, 2 or 3", None), ("2, 4 ohm", None), ("4 burners dead", None),
                                             ("2, no the other", None)])
def test_a_number_with_a_word_on_it_is_the_choice(said, value):
    """Unless the words take it back or count something."""
    values = ("a", "b", "c", "d")
    assert choose(said, values, dict(zip(values, ("Red", "Green", "Blue", "Yellow"), strict=True))) == value
