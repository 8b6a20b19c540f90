"""Which check the words of a reading are on: by the part that they name, and by the quantity."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import in_one_word, pack_word
from bot.language.answers.measured import at_supply, like_mains, quantity_of, read_live
from bot.language.answers.to_ground import sides_of
from bot.language.machine.variants import name_words
from bot.language.readings.quantities import measures
from bot.language.words.text import word_set
from knowledge.schema import Check

_WORD: Final = re.compile(r"[a-záéíóúñ]{4,}|\bfans?\b")
_IDLE: Final = frozenset({"reads", "reading", "ohms", "ohmed", "volts", "amps", "across", "meter", "measured", "with",
                          "from", "unplugged", "checked", "tested", "shows", "says", "about", "there", "this", "that",
                          "open", "closed", "infinite", "continuity", "dead", "looks", "shown",
                          "beep", "beeps", "beeped", "beeping"})
BARE: Final = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.]*\w)")
"""A number by itself."""
_VOLTS: Final = re.compile(r"\bvolts?\b", re.IGNORECASE)
_ASKED: Final = {"seconds": "minutes"}


def names_a_part(turn: Turn, words: set[str]) -> bool:
    """Whether words name anything that a check of this machine is named by."""
    return any(words & words_in(check.name) for check in turn.pack.checks.values())


def only_to_metal(check: Check) -> bool:
    """Whether a check reads from a part to bare metal and nothing else: the ohms of a winding are none of its."""
    sides = sides_of(check)
    return sides is not None and not sides.rest


def spoken_of(turn: Turn, words: set[str], fits: Callable[[Check], bool]) -> list[tuple[int, str]]:
    """The checks of this machine that fit, by how much the words speak of each; none where no one of them is meant."""
    ranked = sorted(((weight, key) for key, weight in spoken_weights(turn, words, fits).items()), reverse=True)
    one = bool(ranked) and ranked[0][0] > 0 and (len(ranked) == 1 or ranked[0][0] != ranked[1][0])
    return ranked if one else []


def spoken_weights(turn: Turn, words: set[str], fits: Callable[[Check], bool]) -> dict[str, int]:
    """Check -> how much the words speak of it, of those of this machine that fit, in the order of the pack."""
    evidence = evidence_of(turn.job)
    return {key: _overlap(words, check) for key, check in turn.pack.checks.items()
            if holds_as_told(check, evidence) and fits(check)}


def names_another(turn: Turn, words: set[str], key: str) -> bool:
    """'Pressure switch reads OL' names a check that has no figure, and no lid switch."""
    mine = len(words & words_in(turn.pack.checks[key].name))
    evidence = evidence_of(turn.job)
    return any(len(words & words_in(f"{other.replace('_', ' ')} {entry.name}")) > mine and "meter" in entry.tools
               for other, entry in turn.pack.checks.items()
               if entry.reading is None and holds_as_told(entry, evidence))


def quantity_told(text: str) -> str | None:
    """What the number is of: by its unit or words; a bare 118 at the outlet in the wall can only be volts."""
    told = quantity_of(text)
    if told is None and (at_supply(text) or read_live(text)) and any(like_mains(float(n)) for n in BARE.findall(text)):
        return "volt"
    return told


def quantity_read(check: Check) -> str | None:
    """The quantity that a check reads, also where its answer is no number; None for one with no meter."""
    if check.reading is not None:
        return measures(_ASKED.get(check.reading.quantity, check.reading.quantity))  # type: ignore[arg-type]
    return "volt" if "meter" in check.tools and _VOLTS.search(check.name) else None


def told_of(words: set[str], check: Check) -> bool:
    """Whether the words name the check's part and nothing that it does not speak of."""
    named = words_in(check.name)
    return bool(words & named) and words <= named | words_in(check.ask)


_FUELS: Final = word_set("gas electric")


def of_the_machine(turn: Turn) -> set[str]:
    """Words that only say which machine it is: 'gas dryer igniter OL'."""
    return {word.rstrip("s") for word in name_words(turn.pack) | _FUELS}


def _overlap(words: set[str], check: Check) -> int:
    """How much the words speak of the check; a check whose name says more than they do is less likely meant."""
    named = words_in(check.name)
    return 6 * len(words & named) - len(named - words) + 2 * len(words & words_in(check.ask))


_SAME: Final = (("junction box", "connection box"), ("j-box", "connection box"), ("j box", "connection box"),
                ("jbox", "connection box"),
                ("heating element", "element"), ("heater", "element"), ("ignitor", "igniter"),
                ("glow bar", "igniter"), ("thermistor", "temperature sensor"), ("ntc", "temperature sensor"),
                ("temp sensor", "temperature sensor"),
                ("pump motor", "pump"), ("drain motor", "drain pump"), ("actuator motor", "actuator"))
"""Names that people have for a part, and the packs' own."""
_HEAT: Final = re.compile(r"\bheat(?:s|ing|ed)?\b(?! (?:relay|pair|contacts?|sensor))")
"""What the machine does or does not; no part of it."""


def words_in(text: str) -> set[str]:
    said = in_one_word(text.lower())
    for name, own in _SAME:
        said = said.replace(name, own)
    said = _HEAT.sub(" ", said)
    return {pack_word(word).rstrip("s") for word in _WORD.findall(said)} - {word.rstrip("s") for word in _IDLE}
