"""A part that another man put in before the visit."""

from dataclasses import replace

import pytest

from bot.conversation.facts import evidence_of
from bot.diagnosis.belief import believe


def chance(model, evidence):
    """That the oven sensor drifted."""
    return dict(believe(model, evidence).faults).get("oven_sensor.drifted", 0.0)


@pytest.mark.parametrize("lines", [
    ("refrigerator fridge warm freezer ok", "last man put a new evap fan in"),
    ("refrigerator fridge warm freezer ok, the other guy swapped the evaporator fan last week",)])
def test_what_the_last_man_fitted_is_evidence_and_no_bill(chat_of, lines):
    """Nobody asks for a price or a proof; the fan is what it is again only if the new one is bad."""
    chat = chat_of()
    said = [str(chat.send(line)) for line in lines][-1]
    assert "Done before you came: replace the evaporator fan motor" in said
    assert "said yes" not in said and "How did it go" not in said
    assert [f.subject for f in chat.job.standing("done_before")] == ["evaporator_fan.failed"]
    assert not chat.job.standing("repaired") and chat.job.question.kind == "check"


def test_a_sensor_that_was_changed_already_is_not_named_again(chat_of):
    """Though the oven runs as hot as with a bad one: to be believed so of a new one, more must speak for it."""
    chat = chat_of()
    chat.send("cakes burn in this electric oven. last man already changed the sensor and it's the same")
    assert [f.subject for f in chat.job.standing("done_before")] == ["replace_oven_sensor"]
    told = evidence_of(chat.job)
    model = chat.release.models["range"]
    assert chance(model, told) < 0.5 * chance(model, replace(told, history=()))
    assert "Done already" in str(chat.send("senior"))


@pytest.mark.parametrize("text", [
    "dryer no heat, element was replaced 3 years ago", "dryer no heat, they should have replaced the element",
    "dryer no heat, i put a new element in", "dryer no heat, customer wants a new element put in",
    "dishwasher doesnt drain since they put a new disposer in"])
def test_long_ago_only_planned_or_our_own_is_no_repair_of_others(chat_of, text):
    """It tells nothing of today's part."""
    chat = chat_of()
    chat.send(text)
    assert not chat.job.standing("done_before")
