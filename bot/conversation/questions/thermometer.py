"""A temperature that was asked for: bare degrees are of the firm's scale, and '50 degrees low' is none."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from bot.conversation.turn import Turn
from bot.language.answers.bands import plausible_range
from bot.language.answers.measured import is_difference
from bot.language.meaning import Answer
from bot.language.readings.read import read
from knowledge.schema import Check

_DEGREES: Final = re.compile(r"\d[\d.,]*\s*(?:deg\w*|°|grados)?\s*(?:[cf]\b)?", re.IGNORECASE)


def reads_degrees(check: Check) -> bool:
    """Whether a check asks for a temperature."""
    return check.reading is not None and check.reading.quantity == "celsius"


def in_degrees(turn: Turn, check: Check, text: str, heard: Callable[[str], Answer]) -> Answer:
    """What words say as an answer to a check that asks for a temperature; `heard` takes a bare number as Celsius.

    Packs keep Celsius. Where the firm speaks Fahrenheit, so does its thermometer, unless that makes no sense.
    """
    if is_difference(text):
        return heard(_DEGREES.sub(" ", text))
    found = heard(text)
    if turn.context.firm.temperature != "F" or found.heard is None or check.reading is None:
        return found
    here = read("fahrenheit", text, plausible_range(check.reading))
    if found.heard.multiple and here.multiple:
        return replace(found, heard=here)
    if found.heard.value is None or here.value is None or (found.heard.plausible and not here.plausible):
        return found
    return replace(found, heard=here, p=0.95 if here.plausible else 0.5)
