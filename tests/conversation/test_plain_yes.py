"""A plain yes or no answers a check's question as it was put; where it could be either, one is asked for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM
from tests.conversation.test_burners_joints_and_doubts import results

RUI = Person("rui", "Rui")


def at(release: Release, family: str, check: str, *, complaint: str, asked: int = 1) -> Chat:
    """A visit at which that check is open."""
    pack, chat = release.knowledge.packs[family], Chat(release, RUI, FIRM)
    chat.send(f"{pack.family.names['en'][0]}, {pack.complaints[complaint].phrases['en'][0]}")
    job = chat.job
    assert job is not None
    assert job.question is not None
    values = tuple(f"result:{check}/{result}" for result in pack.checks[check].results)
    question = replace(job.question, kind="check", checks=(check,), values=values, asked=asked, data={})
    chat.jobs[job.id] = replace(job, position=replace(job.position, phase=Phase.CHECKS, question=question))
    return chat


@pytest.mark.parametrize(("family", "check", "complaint", "text", "found"), [
    ("top_load_washer", "rock_test", "shakes", "yes", "rocks"),
    ("top_load_washer", "rock_test", "shakes", "yeah the front left one taps", "rocks"),
    ("top_load_washer", "rock_test", "shakes", "no sir", "firm"),
    ("top_load_washer", "rock_test", "shakes", "it doesnt", "firm"),
    ("top_load_washer", "belt_grip", "no_spin", "yep", "oily"),
    ("front_load_washer", "glass_look", "no_drain", "yup", "water"),
    ("front_load_washer", "glass_look", "no_drain", "not a drop", "dry"),
    ("dishwasher", "reset", "wont_start", "nope", "same"),
    ("refrigerator", "oil_look", "both_warm", "no sign of it", "dry"),
    ("refrigerator", "oil_look", "both_warm", "yep by the drier", "oily"),
    ("refrigerator", "oil_look", "both_warm", "nope, dry as a bone", "dry"),
    ("dryer", "harness_wiggle", "wont_start", "nah", "sound"),
    ("range", "tip_look", "oven_no_heat", "si", "held")])
def test_a_yes_or_no_means_what_the_question_asks(release, family, check, complaint, text, found):
    chat = at(release, family, check, complaint=complaint)
    chat.send(text)
    assert results(chat)[check] == found


@pytest.mark.parametrize("text", ["yes", "yep a bit", "yeah all the time"])
def test_a_yes_to_the_smell_of_gas_sends_everybody_out(release, text):
    chat = at(release, "range", "gas_smell_now", complaint="oven_no_heat")
    chat.send(text)
    assert chat.job.phase is Phase.HAZARD
    assert any("Get out now" in said.text for said in chat.latest)


@pytest.mark.parametrize("text", ["ok", "sure", "ok will do", "on it", "not yet", "done", "hold on",
                                  "yes its unplugged"])
def test_a_nod_is_no_yes(release, text):
    chat = at(release, "top_load_washer", "rock_test", complaint="shakes")
    chat.send(text)
    assert "rock_test" not in results(chat)
    assert chat.job.question.checks == ("rock_test",)


def test_a_no_that_could_be_two_results_is_asked_about(release):
    """'Oil on it?' 'No' tells nothing of whether the belt is on."""
    chat = at(release, "top_load_washer", "belt_grip", complaint="no_spin")
    said = chat.send("no")
    assert "belt_grip" not in results(chat)
    assert "could be either" in said[0].text
    assert chat.job.question.checks == ("belt_grip",)


def test_choices_put_the_second_time_are_not_answered_by_yes(release):
    """'Firm, or does a foot tap?'"""
    chat = at(release, "top_load_washer", "rock_test", complaint="shakes", asked=2)
    chat.send("yes")
    assert "rock_test" not in results(chat)


@pytest.mark.parametrize("text", ["no power at the outlet", "it doesnt spin", "never spins", "no noise at all from it"])
def test_what_is_lacking_is_no_no(release, text):
    chat = at(release, "top_load_washer", "rock_test", complaint="shakes")
    chat.send(text)
    assert "rock_test" not in results(chat)


def test_a_part_told_beside_it_goes_to_its_own_check(release):
    chat = at(release, "top_load_washer", "rock_test", complaint="shakes")
    chat.send("no, the suspension rods are off")
    assert results(chat)["rock_test"] == "firm"
    assert len(results(chat)) == 2


def test_nothing_more_is_asked_of_a_no_with_another_part_behind_it(release):
    chat = at(release, "top_load_washer", "tub_bounce", complaint="shakes")
    said = chat.send("no, the suspension rods are off")
    assert "rod_look" in results(chat)
    assert not any("could be either" in one.text for one in said)
