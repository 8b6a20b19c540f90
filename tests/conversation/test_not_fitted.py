"""What a machine was never built with, told once: none of its checks is made, and 'none fitted' is no repair."""

from __future__ import annotations

import pytest

from bot.conversation.wording.mended import told_of_repair

ICE = {"arm_look", "mold_look", "fill_tube_look", "ice_and_water", "ice_try"}
DISPENSER = {"dispenser_try", "paddle_feel", "paddle_ohms"}


def passed_over(chat) -> set[str]:
    """Checks that will not be made."""
    return {fact.subject for fact in chat.job.standing("declined")}


@pytest.mark.parametrize("text", ["no ice maker on this one", "there isnt an ice maker", "it doesnt have an ice maker",
                                  "theres none, no ice maker on this", "no icemaker"])
def test_no_ice_maker_settles_every_check_of_it(chat_of, text):
    """And it is no reading: nothing is filed as switched on, or as dry."""
    chat = chat_of()
    chat.send("fridge makes a loud noise")
    says = "\n".join(p for say in chat.send(text) for p in say.paragraphs)
    assert passed_over(chat) >= ICE and not passed_over(chat) & DISPENSER
    assert not chat.job.standing("result") and "don't follow" not in says


def test_neither_ice_maker_nor_dispenser(chat_of):
    """Two things in one breath."""
    chat = chat_of()
    chat.send("fridge makes a loud noise")
    chat.send("theres no ice maker or dispenser")
    assert passed_over(chat) >= ICE | DISPENSER and not chat.job.standing("result")


def test_it_is_heard_with_the_first_message(chat_of):
    """Before it is known which family it is."""
    chat = chat_of()
    chat.send("fridge water under the salad drawers, no ice maker on this one")
    assert passed_over(chat) >= ICE


def test_none_is_of_what_is_asked(chat_of):
    """'There isn't one' needs no name at the question of it, and the next question is of something else."""
    chat = chat_of()
    chat.send("fridge no water at the door")
    while chat.job.question.checks[0] not in DISPENSER:
        chat.send("skip")
    asked = chat.job.question.checks
    chat.send("there isnt one")
    assert passed_over(chat) >= DISPENSER and chat.job.question.checks != asked


@pytest.mark.parametrize("text", ["the ice maker makes no noise", "no ice maker noise", "no, ice maker is on"])
def test_how_it_is_does_not_say_that_it_is_not_there(chat_of, text):
    """A thing that is silent, or on, is there."""
    chat = chat_of()
    chat.send("fridge makes a loud noise")
    chat.send(text)
    assert not passed_over(chat) & ICE


@pytest.mark.parametrize("text", ["8 ohm, no cap fitted", "start device 8 ohm, none fitted",
                                  "no capacitor installed", "it has a cap fitted",
                                  "isnt one fitted", "nothing replaced", "fitted with a run cap"])
def test_none_fitted_is_no_repair(text):
    """How the machine is built, or what was not done."""
    assert told_of_repair(text, asked_for=False) is None


@pytest.mark.parametrize("text", ["new belt fitted", "fitted a new belt, no change", "got a new relay fitted",
                                  "no spin, belt fitted"])
def test_a_part_that_went_in_is_one(text):
    """A 'no' beside it is of how it went."""
    told = told_of_repair(text, asked_for=False)
    assert told is not None and told.fitted


def test_no_capacitor_ends_no_diagnosis(chat_of):
    """The reading is filed, nothing is billed, and the machine stays open."""
    chat = chat_of()
    for line in ("fridge dead warm both compartments, compressor hums then click", "breeze, not warm",
                 "fixed-speed compressor"):
        chat.send(line)
    says = "\n".join(p for say in chat.send("8 ohm, no cap fitted") for p in say.paragraphs)
    assert "went in" not in says and not chat.job.standing("repaired")
