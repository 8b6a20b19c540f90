"""What is never done: asked or announced, and answered no with the safe way, whatever is open."""

from __future__ import annotations

import pytest

from bot.conversation.safety.never import never

FRIDGE = "fridge warm freezer ok"
DISHWASHER = "dishwasher trips the rcd"


@pytest.mark.parametrize(("family", "text", "key"), [
    ("refrigerator", "can i use a heat gun on the ice", "never.hot_air"),
    ("refrigerator", "gonna melt it with a propane torch", "never.hot_air"),
    ("refrigerator", "hair dryer ok to thaw the coil?", "never.hot_air"),
    ("refrigerator", "puedo usar una secadora de pelo", "never.hot_air"),
    ("refrigerator", "ill knock the ice off with a screwdriver", "never.chip"),
    ("refrigerator", "should i scrape the frost off", "never.chip"),
    ("dishwasher", "ill run it on an extension without the rcd", "never.past_the_trip"),
    ("front_load_washer", "can i plug it in a regular outlet? gfci. regular outlet ok?", "never.past_the_trip"),
    ("dishwasher", "we bypassed the gfci and it ran", "never.past_the_trip"),
    ("top_load_washer", "could i cut off the ground pin", "never.no_ground"),
    ("dishwasher", "let me tilt it with the plug in", "never.tipped_live"),
    ("dishwasher", "can i tip it to drain the tray", "never.tipped_live"),
    ("dryer", "can i check for the leak with a lighter", "never.flame_at_gas"),
    ("refrigerator", "can i discharge the cap with a screwdriver", "never.bare_blade"),
    ("dryer", "can i run it without the thermal fuse just to test", "never.bridge"),
    ("top_load_washer", "ill zip tie the lid lock", "never.bridge")])
def test_what_hurts_is_known_however_it_is_said(family, text, key):
    """A question, an intention, or what he has just done."""
    assert never(text, family) == key


@pytest.mark.parametrize(("family", "text"), [
    ("refrigerator", "they used a hair dryer on it twice, so what now?"), ("refrigerator", "no heat gun here"),
    ("refrigerator", "ill use warm water, no blade"), ("refrigerator", "ill get a torch and look"),
    ("refrigerator", "can i pry the grille open with a putty knife"),
    ("refrigerator", "no air? hot air at the grille"),
    ("dishwasher", "trips the rcd, should i reset it?"),
    ("dishwasher", "should it not trip the gfci when empty?"),
    ("dryer", "can i use a hair dryer to dry the plug"), ("top_load_washer", "ok ill tilt it and look at the belt"),
    ("front_load_washer", "wool jumper went small. is it the sensor?"),
    ("range", "i light it with a match. no gas smell?")])
def test_a_story_or_a_safe_way_is_no_danger(family, text):
    """What others did, what is done as told, and words that only sound like it."""
    assert never(text, family) is None


@pytest.mark.parametrize(("opening", "text", "words"), [
    (FRIDGE, "heat gun ok to thaw the coil?", "steam or warm water"),
    (FRIDGE, "ill chip the ice off with a screwdriver", "Nothing sharp"),
    (DISHWASHER, "i bypassed the rcd with an extension, it ran fine", "meter finds the leak"),
    ("drain pump on dishwasher runs all the time, water in the base",
     "can i just tip it to drain the tray and lift the float",
     "Plug out")])
def test_it_is_answered_and_nothing_of_it_is_filed(chat_of, opening, text, words):
    """The safe way comes with the no, and the words are no reading: a float that he would lift hangs no more for it."""
    chat = chat_of()
    chat.send(opening)
    before, phase = list(chat.job.standing("result")), chat.job.phase
    says = "\n".join(p for say in chat.send(text) for p in say.paragraphs)
    assert words in says and "don't follow" not in says
    assert list(chat.job.standing("result")) == before and chat.job.phase is phase


def test_the_first_message_may_ask_it(chat_of):
    """The no comes first, and the complaint beside it is not lost."""
    chat = chat_of()
    heard = chat.send("can i use a heat gun on the ice, fridge warm freezer ok")
    says = "\n".join(p for say in heard for p in say.paragraphs)
    assert "No flame" in says
    assert any(fact.subject == "fresh_food_warm" for fact in chat.job.standing("complaint"))
