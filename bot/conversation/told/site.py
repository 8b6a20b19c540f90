"""An address or work order named in passing: kept for the brief and for knowing the place again."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.effects import SetTimer
from bot.conversation.ids import derive
from bot.conversation.turn import Turn

ARRIVAL: Final = "arrival"
_ADDRESS: Final = re.compile(
    r"\b(\d{1,5}[a-z]?\s+(?:(?!belt\b|direct\b)[a-záéíóúñ'-]+\s+){1,3}"
    r"(?:street|st|lane|ln|road|rd|avenue|ave|drive|dr|court|ct|way|place|close|terrace|blvd|boulevard))\b",
    re.IGNORECASE)
_ORDER: Final = re.compile(r"\b(?:wo|work order|order no\.?|job no\.?)\s*#?\s*(\d{3,8})\b", re.IGNORECASE)

_NO_PLACE: Final = re.compile(
    r"\b(wo|do|does|did|is|are|has|ca)n'?t\b|\b(still|wrong|again|same|leak\w*|broken|stuck|wait|noise|smell\w*)\b",
    re.IGNORECASE)
"""Said of a machine: no address without a number has such words."""


def could_be_place(text: str) -> bool:
    """Whether an answer to the question for the address can be one."""
    return any(c.isdigit() for c in text) or not _NO_PLACE.search(text)


def site_in(text: str) -> str | None:
    """'14 Hazel Lane' or 'work order 4711' in a message, or None."""
    if found := _ADDRESS.search(text):
        return " ".join(word.capitalize() if word.islower() else word for word in found[1].split())
    if found := _ORDER.search(text):
        return f"work order {found[1]}"
    return None


def without_site(text: str) -> str:
    """The message without an address in it: '14 Hazel Lane' is no reading, and 'ferry street' no leak."""
    return _ORDER.sub(" ", _ADDRESS.sub(" ", text))


def note_site(turn: Turn, text: str) -> None:
    """File a site that a message names, if none is known, and have the place looked up once this step is kept."""
    site = site_in(text) if not turn.job.standing("site") else None
    if site is None:
        return
    turn.fact("site", "typed", site)
    turn.effects.append(SetTimer(id=derive(turn.job.id, ARRIVAL), at=turn.context.now, name=ARRIVAL, job=turn.job.id,
                                 person=turn.job.tech, conversation=turn.job.conversation))


def noted_here(turn: Turn) -> bool:
    """Whether this very message named the site: a name or two beside it need no answer."""
    return any(fact.turn == turn.key for fact in turn.job.standing("site"))
