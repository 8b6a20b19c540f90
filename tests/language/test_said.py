"""How values, places, settings and times are said beside each other in one answer."""

from __future__ import annotations

import pytest

from bot.language import read
from bot.language.meaning import Asked


@pytest.mark.parametrize(("text", "minutes"), [
    ("it shut off at 11:05, id put it on at 10:45", 20), ("started 12:50 quit at 1:10", 20), ("9:15 to 9:50", 35),
    ("from ten past one til half past", 20), ("on at ten past four, clicked off quarter to five", 35),
    ("from 9 to 9:25", 25), ("2:30", 2.5), ("hour 45", 105), ("2 days", 2880)])
def test_two_times_of_day_tell_how_long(text: str, minutes: float) -> None:
    """The short way round the clock; one such time alone is minutes and seconds."""
    assert read("minutes", text).value == pytest.approx(minutes * 60, rel=1e-3)


@pytest.mark.parametrize(("text", "rpm"), [
    ("one rev every 2 seconds", 30), ("counted 12 turns in 15 sec", 48), ("twice a second", 120),
    ("turns over every 3 seconds", 20), ("one rev a second so 60", 60)])
def test_turns_are_counted_against_the_clock(text: str, rpm: float) -> None:
    """Unless what it comes to is said."""
    assert read("rpm", text).value == pytest.approx(rpm)


@pytest.mark.parametrize(("asked", "text", "value"), [
    ("ohm", "point eight of a k", 800), ("ohm", "three quarters of a meg", 750e3), ("amp", "six tenths", 0.6),
    ("amp", "a tenth of an amp", 0.1), ("volt_ac", "a buck eighteen", 118), ("volt_dc", "fivish", 5),
    ("amp", "220 milli amps", 0.22), ("ohm", "twnety two point six", 22.6)])
def test_parts_and_slang_of_numbers(asked: Asked, text: str, value: float) -> None:
    """'Of a k' multiplies; slips of the keyboard are mended in number words."""
    assert read(asked, text).value == pytest.approx(value)


@pytest.mark.parametrize(("asked", "text", "value"), [
    ("volt_dc", "had it on 20 dcv, 11.97", 11.97), ("rpm", "display shows 1000 but my tach shows 640", 640),
    ("volt_ac", "117 V 60 Hz", 117), ("volt_ac", "about 20 less than it should, 98", 98),
    ("microfarad", "thirty-eight of forty", 38e-6), ("microfarad", "3.3, label reads 4", 3.3e-6),
    ("volt_dc", "5 V rail good at 5.06", 5.06), ("amp", "twelve and a half amps, breakers a 15", 12.5),
    ("ohm", "hold on let me zero the leads... ok 6.4", 6.4), ("celsius", "140F/60C", 60),
    ("volt_dc", "red probe on 3 black on 1, 11.6", 11.6)])
def test_what_was_set_printed_or_compared_is_no_reading(asked: Asked, text: str, value: float) -> None:
    """Nor is another quantity, nor where the leads were held."""
    heard = read(asked, text)
    assert heard.value == pytest.approx(value) and heard.multiple is None


@pytest.mark.parametrize("text", ["119 going in, nothing out", "before the fuse 119 after the fuse zilch",
                                  "i get 119 on L1 and nothin on L2"])
def test_nothing_at_a_place_is_a_reading_of_its_own(text: str) -> None:
    """The bot asks which."""
    assert read("volt_ac", text).multiple == (119.0, "zero")


@pytest.mark.parametrize("text", ["119 at the motor, nothing wrong there", "119 with nothing on it"])
def test_nothing_that_is_no_reading_is_left_out(text: str) -> None:
    """One reading is told, and it is the answer."""
    assert read("volt_ac", text).value == 119.0


@pytest.mark.parametrize(("asked", "text", "special"), [
    ("ohm", "no marca nada, abierto", "open"), ("continuity", "buzzer doesnt go", "no_beep"),
    ("volt_ac", "not one volt", "zero"), ("volt_ac", "zero volts", "zero"), ("yes_no", "absolutley", "yes"),
    ("yes_no", "ys", "yes"), ("yes_no", "1 blink then nothin so yeah", "yes"), ("yes_no", "yes and no", "unsure"),
    ("yes_no", "it did yesterday. today no", "no"),
    ("celsius", "thermometer in the truck, 2 blocks away", "cant_measure"),
    ("amp", "i have nothing here to measure with", "cant_measure")])
def test_words_that_settle_it(asked: Asked, text: str, special: str) -> None:
    """A denial ends at its comma; what follows 'so' or 'today' counts."""
    assert read(asked, text).special == special


def test_an_excuse_corrects_nothing() -> None:
    """'Sorry' takes back what was said only when something else is told after it."""
    assert read("fahrenheit", "4 C sorry euro thermometer").value == pytest.approx(4)
    assert read("ohm", "12 sorry 21").value == 21


def test_temperatures_in_tens_yield_to_what_is_finer() -> None:
    """'low forties, 42 say' is 42."""
    assert read("celsius", "low forties, 42 say").value == 42
    assert read("celsius", "low forties").high == 43


@pytest.mark.parametrize(("text", "values"), [
    ("had 120 at the plug and 118 at the motor", (120, 118)), ("118 at the breaker 0 at the outlet", (118, 0)),
    ("240 supply side 0 load side", (240, 0)),
    ("heater 1 120, heater 2 118", (120, 118))])
def test_no_reading_is_dropped_for_the_name_of_its_place(text: str, values: tuple[float, ...]) -> None:
    """A breaker, a supply, a display may be where it was read: then all are kept and asked about."""
    assert read("volt_ac", text).multiple == values
