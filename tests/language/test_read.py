"""Readings and short answers."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.language import Index, read, read_json
from bot.language.meaning import Asked, Heard

ALL: list[Asked] = ["ohm", "volt_ac", "volt_dc", "microfarad", "amp", "celsius", "fahrenheit", "continuity", "yes_no",
                    "minutes", "rpm"]


@pytest.mark.parametrize(("asked", "text", "value"), [
    ("ohm", "1k2", 1200.0), ("ohm", "1.2 k", 1200.0), ("ohm", "4r7", 4.7), ("ohm", "half an ohm", 0.5),
    ("ohm", "8,4 ohm", 8.4), ("ohm", "twelve hundred", 1200.0), ("ohm", "2 megs", 2e6), ("ohm", "about 10.9", 10.9),
    ("ohm", "10 \u03a9", 10.0), ("ohm", "treinta y cinco", 35.0), ("volt_ac", "120ish", 120.0),
    ("volt_ac", "two forty", 240.0), ("volt_ac", "one twenty one", 121.0), ("volt_dc", "3v3", 3.3),
    ("microfarad", "45 mfd", 45e-6),
    ("amp", "350 mA", 0.35), ("celsius", "140 F", 60.0), ("fahrenheit", "32", 0.0), ("celsius", "18 below", -18.0),
    ("minutes", "hour and a half", 5400.0), ("minutes", "45 sec", 45.0), ("minutes", "1 hr 15", 4500.0),
    ("rpm", "1,400", 1400.0),
    ("ohm", "12 no sorry 21", 21.0), ("ohm", "5.1 across the two outside pins", 5.1),
    ("rpm", "supposed to be 1000 getting 400", 400.0),
])
def test_numbers_as_technicians_write_them(asked: Asked, text: str, value: float) -> None:
    """All come out in SI units."""
    heard = read(asked, text)
    assert heard.value == pytest.approx(value)
    assert heard.plausible and not heard.unit_mismatch


@pytest.mark.parametrize(("asked", "text", "special"), [
    ("ohm", "OL", "open"), ("ohm", "o.l.", "open"), ("ohm", "no continuity", "open"), ("ohm", "dead short", "zero"),
    ("ohm", "meter's dead", "cant_measure"), ("continuity", "no beep", "no_beep"), ("continuity", "it beeps", "beeps"),
    ("volt_ac", "nothing", "zero"), ("yes_no", "yup", "yes"), ("yes_no", "not really", "no"),
    ("yes_no", "dunno", "unsure"),
    ("yes_no", "yes i mean no", "no"), ("celsius", "no thermometer", "cant_measure"),
    ("yes_no", "cant see it from here", "cant_measure"),
])
def test_words_in_place_of_a_number(asked: Asked, text: str, special: str) -> None:
    """OL, dead short, no beep, can't, not sure."""
    assert read(asked, text).special == special


def test_a_range_keeps_its_ends() -> None:
    """The middle counts, the ends are kept."""
    heard = read("ohm", "10 to 12")
    assert (heard.low, heard.high, heard.value) == (10.0, 12.0, 11.0)


def test_several_readings_are_asked_about() -> None:
    """Which one was it? No value is guessed."""
    heard = read("ohm", "12 on one side OL on the other")
    assert (heard.value, heard.multiple) == (None, (12.0, "open"))


def test_a_unit_of_another_quantity_is_no_answer() -> None:
    """Volts are no ohms."""
    heard = read("ohm", "120v")
    assert (heard.unit_mismatch, heard.unit, heard.value) == (True, "volt", 120.0)


@pytest.mark.parametrize(("asked", "text"), [("ohm", "minus 20 ohms"), ("volt_ac", "2400"), ("celsius", "-300")])
def test_the_impossible_is_questioned(asked: Asked, text: str) -> None:
    """A reading that cannot be is asked about again."""
    assert not read(asked, text).plausible


def test_what_is_plausible_can_be_narrowed() -> None:
    """The check's own range counts."""
    assert not read("ohm", "9000", (1.0, 200.0)).plausible


@given(asked=st.sampled_from(ALL), text=st.text(max_size=300))
def test_any_answer_is_read(asked: Asked, text: str) -> None:
    """No text breaks reading, and no number that is none comes out."""
    heard = read(asked, text)
    assert heard.value is None or math.isfinite(heard.value)


@given(value=st.floats(0.01, 9e5), unit=st.sampled_from(["", " ohm", " ohms", "\u03a9"]))
def test_plain_numbers_come_back(value: float, unit: str) -> None:
    """What was typed with a point is what is read."""
    assert read("ohm", f"{value:.3f}{unit}").value == pytest.approx(float(f"{value:.3f}"))


@pytest.mark.parametrize("line", [{}, {"text": "5"}, {"text": "5", "asked": "parsecs"}, {"asked": "ohm"},
                                  {"text": "5", "asked": "ohm", "given": 3}])
def test_bad_lines_are_told_why(line: dict[str, object]) -> None:
    """A wrong line says what is wrong with it."""
    with pytest.raises(ValueError, match=r"text|asked|given"):
        read_json(line)


def test_nine_thousand_ohms_are_no_dryer_element(index: Index) -> None:
    """5,400 W at 240 V is about 11 ohm: 14 may be, 9,000 is asked about again, OL stays OL."""
    def asked(text: str, check: str) -> dict[str, Any]:
        return read_json({"asked": "ohm", "text": text, "check": check, "given": {"watts": 5400, "volts": 240}}, index)

    assert asked("14", "element_ohms")["plausible"] and not asked("9000 ohm", "element_ohms")["plausible"]
    assert asked("OL", "element_ohms")["special"] == "open"
    assert asked("9000 ohm", "element_to_case")["plausible"]


@pytest.mark.parametrize(("text", "low", "high"), [("high 30s", 37, 39), ("low forties", 40, 43), ("the 50s", 50, 59)])
def test_spoken_tens_are_ranges(text: str, low: float, high: float) -> None:
    """'High 30s' is a range, not thirty."""
    heard = read("ohm", text)
    assert (heard.low, heard.high) == (low, high)


@pytest.mark.parametrize("text", ["12 no 21", "12, no, 21", "12 no sorry 21", "started at 12 now 21"])
def test_the_last_word_counts(text: str) -> None:
    """What a correction takes back is not read."""
    assert read("ohm", text).value == 21


@pytest.mark.parametrize(("asked", "text", "value"), [
    ("volt_ac", "123.4 volts on pins 1 & 3", 123.4), ("volt_ac", "120 between 4 and 5 on the connector", 120),
    ("ohm", "5.2 (spec says 5 to 6)", 5.2), ("ohm", "at 2:30 it was reading 14.2", 14.2),
    ("amp", "15 amp breaker, drawing 11.8", 11.8), ("fahrenheit", "set at 212, it got to 32", 0),
    ("ohm", "leads touching is .4, across the coil its 980", 980), ("rpm", "one rev a second so 60", 60),
    ("volt_dc", "thirteen two", 13.2), ("ohm", "hundred and twenty", 120), ("minutes", "an hour and ten", 4200),
])
def test_numbers_beside_the_reading_are_left_out(asked: Asked, text: str, value: float) -> None:
    """Pins, ratings, settings, the time of day and the leads alone are no readings."""
    assert read(asked, text).value == pytest.approx(value)


@pytest.mark.parametrize(("asked", "text", "special"), [
    ("volt_ac", "my meter only does ohms", "cant_measure"),
    ("continuity", "theres no beep mode on this one", "cant_measure"),
    ("fahrenheit", "my ir gun is dead", "cant_measure"), ("ohm", "forgot my meter", "cant_measure"),
    ("ohm", "reads the same as with the leads in the air", "open"), ("ohm", "just a 1 on the far left", "open"),
    ("ohm", "says OL even on the 20 meg scale", "open"), ("amp", "not pulling any current", "zero"),
    ("continuity", "it dont not beep, it beeps", "beeps"), ("continuity", "yea it does", "beeps"),
    ("yes_no", "wouldnt know, never seen one", "unsure"),
])
def test_talk_of_the_meter_is_understood(asked: Asked, text: str, special: str) -> None:
    """A meter that lacks the function is no reading of nothing."""
    assert read(asked, text).special == special


@pytest.mark.parametrize(("text", "sounds"), [
    ("beeps w the door shut, nothing w it open", ("beeps", "no_beep")), ("one beeps one dont", ("beeps", "no_beep")),
    ("no beep w lid open, beeps closed", ("no_beep", "beeps")),
])
def test_two_contacts_two_sounds(text: str, sounds: tuple[str, str]) -> None:
    """Each part of the answer is heard; which one was meant is asked."""
    assert read("continuity", text).multiple == sounds


def test_the_hundred_is_meant_for_both_ends() -> None:
    """'4 to 5 hundred' is 400 to 500, and 'btwn 8 n 10' a range."""
    heard, other = read("rpm", "4 to 5 hundred"), read("ohm", "btwn 8 n 10")
    assert (heard.low, heard.high, other.low, other.high) == (400, 500, 8, 10)


def test_equal_readings_on_several_pins_are_all_kept() -> None:
    """'5.0' before 'pin 2' is a reading, no count of pins."""
    assert read("volt_dc", "pin 1 5.0 pin 2 0.3 pin 3 5.0").multiple == (5.0, 0.3, 5.0)


@pytest.mark.parametrize("text", ["slowly she says, last couple months", "two weeks ago it began",
                                  "nothing special, came on slowly over a few months"])
def test_how_it_began_is_no_reading(text: str) -> None:
    """Asked for ohms, told of the past: no number, no zero."""
    assert read("ohm", text) == Heard()


@pytest.mark.parametrize("text", ["all at once", "right away"])
def test_at_once_is_no_minutes_and_no_reading_of_anything_else(text: str) -> None:
    """How it began is no zero of a meter."""
    assert read("minutes", text).special == "zero"
    assert read("ohm", text).special is None and read("volt_ac", text).special is None
