"""Short answers without a number: yes, no, OL, beeps, can't, not sure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from typing import Final

from bot.language.lexicon import data
from bot.language.meaning import Asked, Heard, Special
from bot.language.numbers import Lexeme
from bot.language.text import word_set

_NUMERIC: Final[tuple[Special, ...]] = ("cant_measure", "unsure", "zero")
_SPECIALS: Final[dict[Asked, tuple[Special, ...]]] = {
    "ohm": ("cant_measure", "open", "unsure", "zero"), "yes_no": ("unsure", "cant_measure", "yes", "no"),
    "continuity": ("cant_measure", "open", "unsure", "no_beep", "beeps", "zero"),
    "microfarad": ("cant_measure", "unsure", "open", "zero"), "rpm": _NUMERIC, "volt_ac": _NUMERIC, "volt_dc": _NUMERIC,
    "amp": _NUMERIC, "minutes": _NUMERIC, "celsius": _NUMERIC[:2], "fahrenheit": _NUMERIC[:2]}
"""Special words that an answer may hold, those that settle it first."""
@cache
def phrases(group: str) -> frozenset[tuple[str, ...]]:
    return frozenset(tuple(p.split()) for p in data("answers")[group])


def spots_of(words: Sequence[str], group: str) -> list[tuple[int, int]]:
    """Where phrases of a group stand: first and last place + 1, longest first at each place."""
    table, found, place = phrases(group), [], 0
    while place < len(words):
        for length in range(4, 0, -1):
            if tuple(words[place:place + length]) in table:
                found.append((place, place + len(words[place:place + length])))
                place += length - 1
                break
        place += 1
    return found


def restart(words: Sequence[str]) -> int:
    """'12 no sorry 21': what counts begins after the last correction that something follows."""
    for first, last in reversed(spots_of(words, "correct")):
        if last < len(words) and first > 0:
            return last
    nows = [last for _, last in spots_of(words, "now") if last < len(words)]
    return nows[-1] if nows and spots_of(words, "was") else 0


def special_in(asked: Asked, items: Sequence[Lexeme], numbers: bool) -> Special | None:
    words = [i.text for i in items if i.text not in ".,;:!?()"]
    denied = _denied(words)
    if "setting" in words and any(w in _NOT for w in words[max(0, words.index("setting") - 3):words.index("setting")]):
        return "cant_measure"
    for special in _SPECIALS[asked]:
        spots = spots_of(words, special)
        if special == "beeps" and spots:
            return "no_beep" if any(denied[first] for first, _ in spots) else "beeps"
        if special == "open" and any(not denied[f] for f, _ in spots):
            return "open"
        if special == "no_beep" and spots and not _affirms(words, denied) and not _longer(words, "zero", spots):
            return "no_beep"
        if special in ("zero", "unsure", "cant_measure") and spots:
            return special
    if asked == "ohm" and (spots_of(words, "no_beep") or any(denied)) and not numbers and (
            {"continuity", "continuidad", "reading", "beep", "tone"} & set(words)):
        return "open"
    return None


def _affirms(words: Sequence[str], denied: Sequence[bool]) -> bool:
    return any(not denied[f] and words[f] not in ("good", "ok", "yes") for f, _ in spots_of(words, "beeps"))


def _longer(words: Sequence[str], group: str, spots: Sequence[tuple[int, int]]) -> bool:
    """True when a longer phrase of another group stands where these do: 'dead short' is not just 'dead'."""
    return any(first <= spot[0] and last > spot[1] for first, last in spots_of(words, group) for spot in spots)


_NOT: Final = word_set("no not dont doesnt didnt isnt aint never wont without sin nope nunca cant")


def _denied(words: Sequence[str]) -> list[bool]:
    """For each word, whether one of the four before it denies it."""
    return [bool(set(words[max(0, i - 4):i]) & _NOT) for i in range(len(words))]


def yes_or_no(folded: str) -> Heard:
    words = re.findall(r"[a-z0-9]+", folded)
    words = words[2:] if words[:2] == ["no", "wait"] and len(words) > 2 else words[restart(words):]
    parts: list[Special] = []
    for part in _yes_no_parts(words):
        said = _yes_or_no(part)
        if said is not None:
            parts.append(said)
    told = [p for p in parts if p in ("yes", "no")]
    if len(set(told)) > 1 and len(words) >= 4:
        return Heard(multiple=tuple(told))
    for special in ("cant_measure", "unsure"):
        if special in parts and not (told and parts[0] in told):
            return Heard(special=special)
    return Heard(special=told[0] if told else None)


def _yes_no_parts(words: Sequence[str]) -> list[list[str]]:
    starts = [i for i, w in enumerate(words) if w in ("yes", "no", "yeah", "nope", "yep", "si", "yup")]
    if len(starts) == 2 and starts[0] == 0:
        return [list(words[:starts[1]]), list(words[starts[1]:])]
    return [list(words)]


def _yes_or_no(words: list[str]) -> Special | None:
    spots: list[tuple[int, int, Special]] = []
    for special in ("unsure", "cant_measure", "yes", "no"):
        spots += [(first, first - last, special) for first, last in spots_of(words, special)]
    if not spots:
        return None
    length = -min(s[1] for s in spots if s[2] in ("unsure", "cant_measure")) if any(
        s[2] in ("unsure", "cant_measure") for s in spots) else 0
    if length:
        return next(s[2] for s in sorted(spots, key=lambda s: s[1]) if s[2] in ("unsure", "cant_measure"))
    if words[:2] == ["no", "problem"]:
        spots = [s for s in spots if s[0] > 0]
    return min(spots)[2] if spots else None
