"""What a message tells of the rating plate or a stamp: watts and volts, for a heater's ohms; model and serial."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.turn import Turn

_WATTS: Final = re.compile(
    r"\b(\d{2,5}|\d{1,2}[.,]\d{1,2}|\d{1,2})\s*-?\s*(kw|kilowatts?|w|watts?|vatios)\b", re.IGNORECASE)
LEAST, MOST = 100.0, 10_000.0
"""Household heating elements lie between these, in watts."""

_VOLTS: Final = re.compile(r"\b(1[0-2]\d|2[0-4]\d)\s*-?\s*(?:v|volts?|voltios)\b", re.IGNORECASE)
BESIDE: Final = 12
"""Characters between the watts and volts of one stamp. Volts further off were measured somewhere."""


def volts_in(text: str) -> float | None:
    """The volts that stand beside the watts ('240 volt 2000 watt', '2000W 208V'), or None: alone they are a reading."""
    watts = _WATTS.search(text)
    if watts is None:
        return None
    near = text[max(0, watts.start() - BESIDE):watts.end() + BESIDE]
    found = _VOLTS.search(near)
    return float(found[1]) if found is not None else None


def watts_in(text: str) -> float | None:
    """The watts a message names ('5400w', '2.1 kW'), or None. Only what a heating element can be."""
    found = _WATTS.search(text)
    if found is None:
        return None
    value = float(found[1].replace(",", ".")) * (1000 if found[2].lower().startswith("k") else 1)
    return value if LEAST <= value <= MOST else None


_MODEL: Final = re.compile(
    r"\W*(?:(?:off the plate|the|its|it is|plate says|tag says)\W+)*"
    r"(?:(?:model|mod|serial|ser|m/n|s/n|sn|mn)\b\W*(?:(?:no|number|num|nr|is)\b\W*)*[a-z0-9./-]*\d[a-z0-9./-]*\W*"
    r"(?:and\W+)?){1,2}", re.IGNORECASE)


def is_model(text: str) -> bool:
    """Whether a line is model or serial off the plate, and nothing else."""
    return _MODEL.fullmatch(text) is not None


def takes_model(turn: Turn, text: str) -> bool:
    """Keep model and serial that are told before a part is on order, for the day one is. True if they were told."""
    question = turn.job.question
    if (question is not None and question.kind == "plate") or not is_model(text):
        return False
    turn.withdraw(turn.job.standing("plate"))
    turn.fact("plate", "typed", text.strip()[:200])
    turn.note("plate.kept")
    return True


def note_plate(turn: Turn, text: str) -> bool:
    """File what the message tells of the plate; a newer value replaces an older one. True if it told any."""
    told = False
    for subject, value in (("watts", watts_in(text)), ("volts", volts_in(text))):
        known = [f for f in turn.job.standing("given") if f.subject == subject]
        told |= value is not None
        if value is not None and all(f.number != value for f in known):
            turn.withdraw(known)
            turn.fact("given", subject, number=value)
    return told
