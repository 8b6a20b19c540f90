"""Short answers to a choice: number, label, a common way to say it, a typo of it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.questions.choosing import choose

VALUES = ("got_part", "order", "doubt")
LABELS = {"got_part": "Got one", "order": "Order it", "doubt": "Not convinced"}


@pytest.mark.parametrize(("text", "value"), [
    ("1", "got_part"), ("2.", "order"), ("#3", "doubt"), ("two", "order"), ("the first", "got_part"), ("last", "doubt"),
    ("got one", "got_part"), ("Got one.", "got_part"), ("on the truck", "got_part"), ("order it", "order"),
    ("oder it", "order"), ("not convinced", "doubt"), ("not convinved", "doubt"), ("I don't think so", "doubt")])
def test_an_answer_is_heard(text, value):
    """By number or by word, with a thumb's typo."""
    assert choose(text, VALUES, LABELS) == value


@pytest.mark.parametrize(("text", "value"), [
    ("not safe to work, the floor is wet", "not_safe"), ("no access, nobody home", "no_access"),
    ("declined, too dear for them", "declined"), ("not fixed but they want it running", None)])
def test_a_choice_with_its_reason_behind_it(text, value):
    """The choice stands first, the why after it; a contrast takes it back."""
    labels = {"not_safe": "Not safe to work", "no_access": "No access", "declined": "Declined",
              "not_fixed": "Not fixed"}
    assert choose(text, tuple(labels), labels) == value


@pytest.mark.parametrize(("text", "value"), [
    ("a knob", "timer"), ("the timer one", "timer"), ("keys", "keys"), ("not the knob", None), ("knob and keys", None)])
def test_one_word_of_a_choice_is_enough_when_no_other_has_it(text, value):
    """'A knob' for 'Timer knob'; said of two, or with a no, it stays open."""
    labels = {"timer": "Timer knob", "keys": "Keys and lamps"}
    assert choose(text, tuple(labels), labels) == value


@pytest.mark.parametrize("text", ["free n clicks", "free & clicks", "free and click"])
def test_an_n_is_an_and(text):
    """By its letters it is nearer to the no of the other choice."""
    labels = {"clicks": "Free and clicks", "no_click": "Free, no click", "hangs": "Hangs"}
    assert choose(text, tuple(labels), labels) == "clicks"


@pytest.mark.parametrize(("text", "value"), [("nope, too dear", "no"), ("yes, go ahead", "yes"), ("no", "no")])
def test_a_yes_or_no_before_a_comma_answers(text, value):
    """What follows only says why."""
    labels = {"yes": "Yes", "no": "No", "later": "Later"}
    assert choose(text, tuple(labels), labels) == value


@pytest.mark.parametrize("text", ["4", "0", "", "!!", "the belt looks new though", "12"])
def test_anything_else_is_left_to_the_rest_of_the_talk(text):
    """A number that no choice has, or a sentence, is no choice."""
    assert choose(text, VALUES, LABELS) is None


@given(st.text(max_size=200))
def test_any_text_is_answered_without_trouble(text):
    """Whatever is typed, the answer is one of the values or none."""
    assert choose(text, VALUES, LABELS) in {*VALUES, None}
