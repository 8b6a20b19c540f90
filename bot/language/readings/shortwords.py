"""Short answers without a number: yes, no, OL, beeps, can't, not sure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from itertools import groupby
from typing import Final

from bot.language.meaning import Asked, Heard, Special
from bot.language.readings.metertalk import (
    NOT,
    cannot_measure,
    denied,
    did_not_watch,
    does_not_know,
    does_not_react,
    ellipsis,
    has_no_flow,
    is_like_open,
    is_nothing_at_all,
    parts_of,
    without_conditions,
)
from bot.language.readings.nothings import MORE, NOTHING
from bot.language.readings.numbers import Lexeme
from bot.language.readings.slips import short_answer
from bot.language.words.lexicon import data
from bot.language.words.text import word_set

_NUMERIC: Final[tuple[Special, ...]] = ("cant_measure", "unsure", "zero")
_SPECIALS: Final[dict[Asked, tuple[Special, ...]]] = {
    "ohm": ("cant_measure", "open", "unsure", "zero"), "yes_no": ("unsure", "cant_measure", "yes", "no"),
    "continuity": ("cant_measure", "open", "unsure", "no_beep", "beeps", "zero"),
    "microfarad": ("cant_measure", "unsure", "open", "zero"), "rpm": _NUMERIC, "volt_ac": _NUMERIC, "volt_dc": _NUMERIC,
    "amp": _NUMERIC, "minutes": _NUMERIC, "celsius": _NUMERIC[:2], "fahrenheit": _NUMERIC[:2]}
"""Special words that an answer may hold, those that settle it first."""


def allowed(asked: Asked) -> tuple[Special, ...]:
    return _SPECIALS[asked]


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
    past = spots_of(words, "was")
    if past and not nows:  # 'first i had OL but the lead was loose, its 17'
        nows = [i + 1 for i, w in enumerate(words[:-1]) if w in ("its", "im") and i > past[0][1]
                and {"but", "then", ","} & set(words[past[0][1]:i])]
    return nows[-1] if nows and past else 0


SOUNDERS: Final = word_set("beeper buzzer beepers buzzers")
_MARKS: Final = ".,;:!?()"
_MURMURS: Final = word_set("hmm eh meh um uh")
_ASIDE: Final = word_set("one side hand leg pin burner front rear now there here")
"""After 'right': no assent."""
_ANSWERS: Final = word_set("good ok yes yeah yep yup si solid no nope nah bad")


def special_in(asked: Asked, items: Sequence[Lexeme], numbers: bool) -> Special | None:
    """The special word that an answer gives; `numbers`: a reading stands beside it."""
    words = ["," if i.text in ".;" else i.text for i in items if i.text in ",.;" or i.text not in _MARKS]
    words = [w for w in words if w not in _MURMURS] or words
    plain = without_conditions(words) if asked in ("ohm", "continuity") else words
    return _special(asked, plain, numbers) or (_special(asked, words, numbers) if plain != words else None)


def _special(asked: Asked, words: Sequence[str], numbers: bool) -> Special | None:
    if cannot_measure(words, asked) and not numbers:
        return "cant_measure"
    if asked in ("ohm", "continuity", "microfarad") and is_like_open(words):
        return "open"
    said = _said(asked, words)
    unread = any(w in NOT and {"reading", "continuity"} & set(words[i + 1:i + 5]) for i, w in enumerate(words))
    if asked == "ohm" and unread and said == "zero" and not numbers:
        return "open"  # 'not getting any reading'
    return said or _implied(asked, words, numbers)


_NO_TIME: Final = frozenset({("at", "once"), ("right", "away")})
"""No minutes at all, and nothing of any other quantity: 'all at once' is how it began."""


def _said(asked: Asked, words: Sequence[str]) -> Special | None:
    """A special word by a phrase that stands for it."""
    not_so = denied(words)
    for special in _SPECIALS[asked]:
        spots = spots_of(words, special)
        if special == "beeps" and spots:
            quiet = any(not_so[first] or _is_still(words, first) for first, _ in spots)
            return "no_beep" if quiet else "beeps"
        if special == "open" and any(not not_so[f] for f, _ in spots):
            return "open"
        if special == "no_beep" and spots and not _affirms(words, not_so) and not _longer(words, "zero", spots):
            return "no_beep"
        if special == "cant_measure" and spots and _longer(words, "unsure", spots):
            continue
        if special == "zero":
            spots = [(first, last) for first, last in spots
                     if not (words[first] in NOTHING and MORE & set(words[first + 1:first + 2]))
                     and (asked == "minutes" or tuple(words[first:last]) not in _NO_TIME)]
        if special in ("zero", "unsure", "cant_measure") and spots:
            return special
    return None


def _implied(asked: Asked, words: Sequence[str], numbers: bool) -> Special | None:
    if numbers:
        return None
    if asked == "ohm" and (spots_of(words, "no_beep") or any(denied(words))) and (
            {"continuity", "continuidad", "reading", "beep", "tone"} & set(words)):
        return "open"
    if is_nothing_at_all(words):
        return "open" if asked == "ohm" else "no_beep" if asked == "continuity" else (
            "zero" if "zero" in _SPECIALS[asked] else None)
    if does_not_react(words):
        return "open" if asked in ("ohm", "continuity") else "zero" if "zero" in _SPECIALS[asked] else None
    if has_no_flow(words, asked):
        return "zero"
    return "unsure" if did_not_watch(words) or does_not_know(words) else None


def sounds(items: Sequence[Lexeme]) -> tuple[Special, ...]:
    """'one beeps, the other doesnt': what each part of the answer says, when they differ."""
    found: list[Special] = []
    bare = [i.text for i in items if i.text in _YES | _NO]
    if len(bare) == 2 and items[-1].text == bare[1] and items[0].text != bare[0]:  # '1st one yes 2nd one no'
        found = ["beeps" if word in _YES else "no_beep" for word in bare]
        return tuple(found) if len(set(found)) > 1 else ()
    for part in parts_of(without_conditions([i.text for i in items])):
        found += _sounds([w for w in part if w not in _MARKS])
    return tuple(found) if len(set(found)) > 1 else ()


def _sounds(words: Sequence[str]) -> list[Special]:
    """What one part says of sound, in turn; a bare yes or no tells nothing of its own."""
    if not words:
        return []
    not_so = denied(words)
    spots: list[tuple[int, int, Special]] = [
        (first, last, "no_beep" if not_so[first] else "beeps")
        for first, last in spots_of(words, "beeps") if words[first] not in _ANSWERS]
    spots += [(first, last, "no_beep") for first, last in spots_of(words, "no_beep")
              if words[first] not in _ANSWERS | NOT]
    found = [said for said, _ in groupby(said for _, _, said in sorted(spots))]
    tail = ellipsis(words[max((last for _, last, _ in spots), default=0):])
    return [*found, tail] if tail else found


def _affirms(words: Sequence[str], not_so: Sequence[bool]) -> bool:
    return any(not not_so[f] and words[f] not in ("good", "ok", "yes") and words[f] not in SOUNDERS
               for f, _ in spots_of(words, "beeps"))


def _is_still(words: Sequence[str], place: int) -> bool:
    """'buzzer doesnt go': a thing that sounds, said to do nothing."""
    return words[place] in SOUNDERS and bool(NOT & set(words[place + 1:place + 3]))


def _longer(words: Sequence[str], group: str, spots: Sequence[tuple[int, int]]) -> bool:
    """True when a longer phrase of another group stands where these do: 'dead short' is not just 'dead'."""
    return any(first <= spot[0] and last > spot[1] for first, last in spots_of(words, group) for spot in spots)


_YES_IN_FULL: Final = re.compile(r"\b(?:yep|yup|yeah)[a-z]+\b")
_NO_TROUBLE: Final = re.compile(r"^\W*no (?:prob\w*|worries|trouble)\b")
_NO_SE: Final = re.compile(r"\bno se (?=[a-z]+[aeo]\b)(?!la |que |nada|ahora|como|cuando|donde|cua)")
"""'No se mueve': it does not move; 'no se' alone is not knowing."""


def yes_or_no(folded: str) -> Heard:
    words = re.findall(r"[a-z0-9]+", _NO_SE.sub("no ", _NO_TROUBLE.sub("yes ", _YES_IN_FULL.sub("yes", folded))))
    words = words[2:] if words[:2] == ["no", "wait"] and len(words) > 2 else words[restart(words):]
    if "so" in words[-4:-1]:  # '1 blink then nothing so yeah': what it comes to
        last = words[len(words) - words[::-1].index("so"):]
        concluded = _yes_or_no(last) if last[0] in _BARE else None
        if concluded is not None:
            return Heard(special=concluded)
    if _BOTH_WAYS.search(" ".join(words)):
        return Heard(special="unsure")
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
    if told:
        return Heard(special=told[0])
    slip = short_answer(folded)
    return Heard(special="yes" if slip == "yes" else "no" if slip == "no" else None)


_BOTH_WAYS: Final = re.compile(r"\b(?:yes and no|no and yes|si y no)\b|"
                                r"\b(?:does|is|did|do|will|has|was) and (?:it )?"
                                r"(?:dont|doesnt|isnt|aint|didnt|wont|hasnt|wasnt)\b")
_YES: Final = word_set("yes yeah yep yup si")
_NO: Final = word_set("no nope nah")
_BARE: Final = word_set("yes yeah yep yup ya yea no nope nah i si its")


def _yes_no_parts(words: Sequence[str]) -> list[list[str]]:
    starts = [i for i, w in enumerate(words) if w in ("yes", "no", "yeah", "nope", "yep", "si", "yup")]
    if len(starts) == 2 and starts[0] > 0 and starts[1] == len(words) - 1:
        return [list(words[:starts[0] + 1]), list(words[starts[0] + 1:])]
    if len(starts) == 2 and starts[0] == 0 and _is_lack(words, starts[1]):
        return [list(words[:starts[1]])]
    if len(starts) == 2 and starts[0] == 0:
        return [list(words[:starts[1]]), list(words[starts[1]:])]
    return [list(words)]


def _is_lack(words: Sequence[str], place: int) -> bool:
    """The 'no' of 'yes, humming but no movement' says what is lacking; that of 'but no on the right' answers."""
    after = words[place + 1:place + 2]
    return words[place] == "no" and bool(after) and after[0] not in _SIDES


_SIDES: Final = word_set("on at for in to the here there this that other left right top bottom when if not it its")


def _yes_or_no(words: list[str]) -> Special | None:
    spots: list[tuple[int, int, Special]] = []
    for special in ("unsure", "cant_measure", "yes", "no"):
        spots += [(first, first - last, special) for first, last in spots_of(words, special)]
    if does_not_know(words):
        return "unsure"
    if "anymore" in words and NOT & set(words):
        return "no"
    if not spots:
        return None
    length = -min(s[1] for s in spots if s[2] in ("unsure", "cant_measure")) if any(
        s[2] in ("unsure", "cant_measure") for s in spots) else 0
    if length:
        return next(s[2] for s in sorted(spots, key=lambda s: s[1]) if s[2] in ("unsure", "cant_measure"))
    spots = [s for s in spots if not (words[s[0]] == "right" and set(words[s[0] + 1:s[0] + 2]) & _ASIDE)]
    if words[:2] == ["no", "problem"]:
        spots = [s for s in spots if s[0] > 0]
    return min(spots)[2] if spots else None
