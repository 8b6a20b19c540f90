"""An answer to a meter, read as what was learned of such answers has it (`chosen.py`), where that is sure."""

from __future__ import annotations

from typing import Final

from bot.language.meaning import Asked, Heard
from bot.language.readings.chosen import Choice, chosen
from bot.language.readings.read import Range, offered, read, read_only
from bot.language.words.text import word_set

SURE: Final = 0.8
"""From here on what was learned goes before what the patterns read."""
SURER: Final = 0.9
"""From here on words are an open circuit that the patterns took for no ohms."""
BEYOND_DOUBT: Final = 0.95
"""From here on against a word of the meter's own: OL, a beep."""
FEW: Final = 2
"""Words of a line that may mean both: 'reads nothing'."""
SAME: Final = 0.01
"""Share by which two figures may differ and are one."""


def read_as_chosen(asked: Asked, question: str, text: str, plausible: Range | None = None) -> Heard:
    """The reading in an answer to `question`. Shapes and units as `read` has them."""
    heard = read(asked, text, plausible)
    items, amounts = offered(asked, text)
    roughly = any(items[amount.first].text in _ROUGH for amount in amounts)
    if roughly or heard.special == "cant_measure" or (not amounts and heard.special not in _METERED):
        return heard
    best = chosen(asked, items, amounts, question)[0]
    if best.p < _least(heard, best):
        return heard
    if best.kind == "number":
        only = read_only(asked, amounts[best.place], amounts, items, plausible)
        return heard if only.value is None or _holds(heard, only.value) else only
    if best.kind == "words":
        return Heard(special=heard.special if heard.special == "unsure" else None)
    known = heard.value is not None or heard.special is not None
    return Heard(special="open") if best.kind == "open" and known and len(items) > FEW else heard


_ROUGH: Final = word_set("couple few several handful pocos cuantos")
"""No figures: 'a couple of k'."""
_METERED: Final = frozenset({"zero", "open", "beeps"})


def _least(heard: Heard, best: Choice) -> float:
    """How sure it must be to go before what the patterns heard."""
    if "open" in (heard.multiple or ()) or (heard.special in _METERED and best.kind != "open"):
        return BEYOND_DOUBT
    return SURER if best.kind == "open" else SURE


def _holds(heard: Heard, value: float) -> bool:
    """Whether that is what was read, or lies between the ends of it."""
    if heard.value is None or heard.multiple:
        return False
    low, high = heard.low or heard.value, heard.high or heard.value
    return low - SAME * abs(low) <= value <= high + SAME * abs(high)
