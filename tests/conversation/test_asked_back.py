"""A question of the tech's is answered shortly, and the open one is put again; it is never taken for an answer."""

from __future__ import annotations

import pytest

from bot.conversation.facts import evidence_of
from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.wording.asks import apart, without_tag
from bot.diagnosis.evidence import Decision, Option
from bot.diagnosis.explain import moves
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def at(release, do, key, opening):
    """A visit at which this check is asked, or this repair found, whatever belief says."""

    def decided(model, evidence, belief, situation, keep):
        option = Option(do, key, 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send(opening)
    while do == "repair" and chat.job.question.kind in {"check", "variant"}:
        chat.send("skip")
    return chat


def element(release):
    """An electric dryer whose heating element was found open."""
    return at(release, "repair", release.knowledge.packs["dryer"].repair_of("heating_element.open")[0],
              "electric dryer runs, no heat")


def said(chat, text):
    """What is said to a line, all of it."""
    return " ".join(sent.text for sent in chat.send(text))


@pytest.mark.parametrize(("text", "wants", "told"), [
    ("got one, but why did it burn out, the vent is fine", "why", "got one, the vent is fine"),
    ("where is the reset", "where", ""), ("ok how do i get the cover off", "how", ""),
    ("all near zero. shouldnt i check the plug", "look", "all near zero."),
    ("order it. so not the bearings?", "chance", "order it."), ("tight. is this really needed", "needed", "tight."),
    ("i asked why it burned out", "why", ""), ("donde esta la bomba", "where", "")])
def test_what_asks_is_told_from_what_tells(text, wants, told):
    """A line is taken apart where it begins to ask."""
    asks, left = apart(text)
    assert [one.wants for one in asks] == [wants]
    assert left == told


@pytest.mark.parametrize("text", ["where it leaks is the back", "no power at the outlet", "5.2 ohm, good?", "not sure",
                                  "how it started they dont know", "i know why, the belt is off",
                                  "the where and how is clear"])
def test_what_only_sounds_like_a_question_is_left_whole(text):
    """A statement stays one, also with a nod asked for."""
    assert apart(text) == ([], text)


def test_a_nod_asked_for_is_no_doubt():
    """'Good?' at the end of a report."""
    assert without_tag("still running after 25 min, good?") == "still running after 25 min"


@pytest.mark.parametrize("text", ["why did it burn out", "but why did it fail", "what causes that"])
def test_what_brings_a_fault_on_is_told_and_nothing_is_put_in(release, text):
    """The pack knows what burns out an element; the finding stays open."""
    chat = element(release)
    cause = release.knowledge.packs["dryer"].faults["heating_element.open"].root_causes[0].why
    assert cause in said(chat, text)
    assert chat.job.question.kind == "finding"


def test_why_at_a_finding_tells_what_speaks_for_it_and_how_much(release):
    """Not 'it shows just like that' alone: the reading that settled it, with its odds; and while what brought it on is
    looked for, that reason, not six answers that all leave the element at nine in ten."""
    chat = Chat(release, Person("tech", "Rui"))
    for text in ("electric dryer no heat", "all set", "element reads OL"):
        chat.send(text)
    fault, pack = chat.job.position.fault, release.knowledge.packs["dryer"]
    assert fault == "heating_element.open"
    evidence = evidence_of(chat.job)
    odds = next(m.bans for m in moves(release.models["dryer"], evidence)
                if (m.evidence, m.fault) == ("check:element_ohms", fault))
    heard = said(chat, "why")
    assert f"For open heating element: element open ({10 ** odds:.0f} to 1)." in heard
    asked = [cause.why for cause in pack.faults[fault].root_causes if cause.check in chat.job.question.checks]
    assert asked
    assert all(reason in heard for reason in asked)
    assert heard.count("9 in 10") == 1


def test_an_answer_beside_the_question_counts(release):
    """'Got one, but why': the reason first, then the price."""
    chat = element(release)
    heard = said(chat, "got one, but why did it burn out, vent is fine i checked it")
    assert chat.job.phase is Phase.CONSENT
    assert release.knowledge.packs["dryer"].faults["heating_element.open"].root_causes[0].why in heard
    assert "before they said yes" not in heard


@pytest.mark.parametrize("text", ["how do i reset it", "where is the reset",
                                  "where do i find the reset button on this one"])
def test_asking_for_the_reset_resets_nothing(release, text):
    """Its place and how it is pressed; nothing gets power while a wire is off."""
    key = release.knowledge.packs["range"].repair_of("thermal_cutout.open")[0]
    chat = at(release, "repair", key, "electric range, oven dead since self clean")
    heard = said(chat, text)
    assert "press once when cool" in heard
    assert "then power" not in heard
    assert chat.job.phase is Phase.FINDING


def test_where_a_part_sits_is_said_of_that_part(release):
    """Behind which cover, with that cover's cautions; then the open question."""
    chat = at(release, "check", "tub_water", "top load washer wont drain")
    open_check = chat.job.question.checks
    heard = said(chat, "where is the pump on this one?")
    assert "sits behind" in heard
    assert "Unplug" in heard
    assert chat.job.question.checks == open_check
    assert not [f for f in chat.job.standing("result") if f.subject in open_check]


def test_how_another_part_comes_off_has_its_own_steps(release):
    """The filter's steps, asked while the pump is listened to."""
    chat = at(release, "check", "pump_sound", "front load washer wont drain")
    assert "tray" in said(chat, "how do i get the filter out on this?")
    assert chat.job.question.checks == ("pump_sound",)


def test_how_the_open_check_is_made_is_no_result_of_it(release):
    """'How do I run spin only' spins nothing."""
    chat = at(release, "check", "watch_spin", "top load washer clothes come out wet")
    said(chat, "how do i run spin only on this one?")
    assert chat.job.question.checks == ("watch_spin",)
    assert not chat.job.standing("result")


def test_a_look_that_the_tech_proposes_comes_next(chat_of):
    """The door switch costs him nothing to look at."""
    chat = chat_of()
    chat.send("electric dryer wont start")
    heard = said(chat, "can i just check the door switch")
    assert "That first" in heard
    assert any("door" in chat.release.knowledge.packs["dryer"].checks[key].name for key in chat.job.question.checks)


def test_a_part_asked_about_has_its_chance_said(release):
    """'So not the bearing?' is answered, and the order stands."""
    chat = element(release)
    assert "as it stands" in said(chat, "order it. so not the thermal fuse?")
    assert chat.job.phase is Phase.CONSENT


def test_a_danger_in_a_question_comes_before_its_answer(release):
    """Gas is smelt, whatever is asked with it."""
    chat = element(release)
    assert "Get out" in said(chat, "why does it smell of gas here all of a sudden")
    assert chat.job.phase is Phase.HAZARD


def test_what_is_never_done_is_not_explained(release):
    """Nobody is shown how a fuse is bridged."""
    assert "never bridged" in said(element(release), "how do i bypass the thermal fuse to try it")


@pytest.mark.parametrize("text", ["how sure are you", "are you sure", "how sure, could it be the element"])
def test_who_asks_how_sure_we_are_hears_it(chat_of, text):
    """The chances and what speaks for the finding, which stays; a question is no doubt, and no 'how'."""
    chat = chat_of()
    chat.send("glass top LF burner stuck on high any setting")
    said = "\n".join(one.text for one in chat.send(text))
    assert "As it stands: failed surface unit switch" in said
    assert chat.job.question.kind == "finding" and not chat.job.standing("declined")
