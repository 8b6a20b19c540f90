"""Several checks open, one line typed: each part goes to the check that it speaks of; what fits two is asked."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from bot.conversation.facts import evidence_of, given_of
from bot.conversation.questions.which_unit import unit_in_doubt
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.diagnosis.readings import expected, plausible
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import about, named_instead, parts_of, stems
from bot.language.answers.bands import asks_several
from bot.language.meaning import HeardResult
from knowledge.schema import Check

CLEAR: Final = 0.8
"""Where several checks are open, an answer could belong to another of them."""
NEARER: Final = 1.5
"""Powers of ten by which a reading must lie nearer to what one check can show than to what another can."""
SPOKEN_OF: Final = 1.0
_EACH: Final = re.compile(r"\b(both|all|each|every|either|neither|everything|any|ambos|ambas|todos?|todas?|ninguno)\b",
                          re.IGNORECASE)
_TO: Final = re.compile(r"\b(to|against|a|al)\s+(the |bare |its |la |el )?[a-z]{4,}", re.IGNORECASE)
"""'0.09 megohm to the flange': read from the part to something else."""
_ACROSS: Final = re.compile(r"\b(?:across|end to end|pin to pin|terminal to terminal|de lado a lado)\b", re.IGNORECASE)
"""'OL across': read over the part itself, where another reading is from it to metal."""
_THE_OTHER: Final = re.compile(r"\W*(?:and |but )?(?:the |its |la |el )?(?:other|second|2nd|otr[oa])\b", re.IGNORECASE)
"""After one part of a check that is of several, the next of them."""
_NUMBERED: Final = re.compile(r"^\W*([1-9])\b[\s.):-]*(?=\D)")


@dataclass(frozen=True, slots=True)
class Shared:
    """What was heard for which check; and words that could be meant for more than one, with these."""

    found: dict[str, HeardResult] = field(default_factory=dict)
    unclear: str = ""
    among: tuple[str, ...] = ()


def share_out(turn: Turn, checks: Sequence[str], text: str, *, aside: bool = False) -> Shared:
    """Which of the open checks a line answers, part by part."""
    line = _Line(turn, tuple(checks), aside)
    numbered = line.numbered(text)
    if numbered:
        return Shared(numbered)
    if line.may_be_a_choice(text):
        return Shared({}, text.strip(), tuple(checks))
    parts = [one for part in parts_of(text) for one in line.apart(part)]
    in_order = line.in_order(parts)
    if in_order:
        return Shared(in_order)
    if _EACH.search(text) and all(line.spoken_of(part) is None for part in parts):
        return line.of_each(text)
    if (named := line.named_instead(text)) is not None:
        return Shared({}, text, (*line.fits(text), named))
    owned, unclear = line.placed(parts)
    return line.with_unclear(owned, unclear)


def reading_of_another(turn: Turn, asked: Sequence[str], words: str) -> str | None:
    """The check whose part words name, of those that this machine may have and that read the same quantity; None where
    they name something of what is asked."""
    checks = turn.pack.checks
    quantities = {reading.quantity for key in asked if (reading := checks[key].reading) is not None}
    evidence = evidence_of(turn.job)
    others = [key for key, check in checks.items() if key not in asked and holds_as_told(check, evidence) and (
        check.reading.quantity in quantities if check.reading is not None
        else "ohm" in quantities and "meter" in check.tools)]
    return named_instead(turn.context.release.index, turn.job.family or "", words, asked, others)


def meant(turn: Turn, checks: Sequence[str], text: str) -> str | None:
    """The one of some checks that words speak of."""
    return _Line(turn, tuple(checks), aside=False).spoken_of(text)


@dataclass(frozen=True, slots=True)
class _Line:
    """One line to the checks that are open."""

    turn: Turn
    checks: tuple[str, ...]
    aside: bool

    def fit(self, key: str, words: str) -> HeardResult | None:
        """What words say clearly as an answer to a check: a result, or a reading that can be there."""
        heard = answer_to(self.turn, key, words, aside=self.aside)
        if heard.result is not None and heard.p >= CLEAR:
            return HeardResult(key, heard.result, heard.p)
        check, read = self.turn.pack.checks[key], heard.heard
        if check.reading is None or read is None or read.value is None or read.unit_mismatch:
            return None
        certain = read.plausible and plausible(check, read.value) and not (
            read.bare and unit_in_doubt(check, read.value))
        return HeardResult(key, "", heard.p, read.value) if certain else None

    def apart(self, part: str) -> list[str]:
        """'Element OL high limit beeps' with no comma: taken apart where the next check's own name begins."""
        words, names = part.split(), [stems(self.turn.pack.checks[key].name) for key in self.checks]
        plain = [next(iter(stems(word)), "") for word in words]
        own = {word: at for at, name in enumerate(names) for word in name if sum(word in n for n in names) == 1}
        owner = [own.get(word) for word in plain]
        starts, last = [0], owner[0] if owner else None
        for place, mine in enumerate(owner):
            if mine is not None and last is not None and mine != last and place - starts[-1] > 1:
                starts.append(place)
            last = mine if mine is not None else last
        ends = [*starts[1:], len(words)]
        return [" ".join(words[a:b]) for a, b in zip(starts, ends, strict=True)]

    def fits(self, words: str) -> dict[str, HeardResult]:
        """The same for every open check that the words answer."""
        return {key: fit for key in self.checks if (fit := self.fit(key, words)) is not None}

    def spoken_of(self, words: str, among: tuple[str, ...] | None = None) -> str | None:
        """The check that words speak of rather than of the others: by its own words, or as a reading to something."""
        among = self.checks if among is None else among
        weight = about(self.turn.context.release.index, self.turn.job.family or "", words, among)
        first, second = (*sorted(weight.items(), key=lambda w: -w[1]), ("", 0.0), ("", 0.0))[:2]
        if first[1] >= max(SPOKEN_OF, 2 * second[1]):
            return first[0]
        read = [key for key in among if self.turn.pack.checks[key].reading is not None]
        between = [key for key in among if " to " in self.turn.pack.checks[key].name]
        across = [key for key in read if key not in between]
        if len(between) == len(across) == 1 and _ACROSS.search(words):
            return across[0]
        return between[0] if len(between) == 1 and _TO.search(words) else None

    def named_instead(self, words: str) -> str | None:
        """The part that one reading is said to be of, where none of what is asked has that name."""
        fits = self.fits(words)
        metered = any(f.value or self._reads_open(f) for f in fits.values())
        return reading_of_another(self.turn, self.checks, words) if metered else None

    def _reads_open(self, fit: HeardResult) -> bool:
        """Whether it is the OL of a meter, which has no number and may be another part's all the same."""
        result = self.turn.pack.checks[fit.check].results.get(fit.result)
        return result is not None and result.band is not None and result.band.open

    def numbered(self, text: str) -> dict[str, HeardResult]:
        """'1. OL 2. near zero', '1) OL 2) 0', '1 flap seals. 2 sensor is as the sheet': what stands behind each number,
        all of them in order. The 2 counts and is no reading, understood or not."""
        for mark in (r"\s*[.):](?!\d)\s*", r"\s+"):
            steps = [rf"{n}{mark}(?P<part{n}>.+?)" for n in range(1, len(self.checks) + 1)]
            said = re.fullmatch(r"\W*(?!1\s+\d)" + r"[\s,;]+".join(steps), text.strip(), re.DOTALL)
            if said:
                fits = {key: self.fit(key, said[f"part{n}"]) for n, key in enumerate(self.checks, 1)}
                return {key: fit for key, fit in fits.items() if fit is not None}
        return {}

    def may_be_a_choice(self, text: str) -> bool:
        """A bare '1' where a look and a reading are asked: the first answer of the look as well as one ohm."""
        readings = sum(self.turn.pack.checks[key].reading is not None for key in self.checks)
        number = text.strip(" .)#")
        return 0 < readings < len(self.checks) and number.isdigit() and 0 < int(number) <= len(self.checks)

    def of_each(self, text: str) -> Shared:
        """'Both OL' answers every open check. '1.2k both the same', far off what the other can show, is of the one that
        reads several of a kind; where none does it is asked."""
        fits = self.fits(text)
        near = self.nearest(fits) if len(fits) > 1 else None
        if near is None:
            return Shared(fits)
        if _EACH.search(self.turn.pack.checks[near].ask):
            return Shared({near: fits[near]})
        return Shared({}, text, tuple(fits))

    def nearest(self, fits: Mapping[str, HeardResult]) -> str | None:
        """The check whose bands a reading lies much nearer to than to those of the others."""
        away = sorted((_decades(self.turn.pack.checks[key], fit.value, given_of(self.turn.job)), key)
                      for key, fit in fits.items() if fit.value is not None)
        if len(away) < len(fits) or not away:
            return None
        return away[0][1] if len(away) == 1 or away[1][0] - away[0][0] >= NEARER else None

    def in_order(self, parts: Sequence[str]) -> dict[str, HeardResult]:
        """'1 coasts free, 2 thin and even', 'alike, OL on two pairs': a part for each check, in the order asked."""
        if len(parts) != len(self.checks):
            return {}
        found: dict[str, HeardResult] = {}
        for number, (key, part) in enumerate(zip(self.checks, parts, strict=True), 1):
            numbered = _NUMBERED.match(part)
            told = numbered is not None and int(numbered[1]) == number
            said = part[numbered.end():] if told and numbered is not None else part
            fit = self.fit(key, said)
            if fit is None or (not told and self._of_another(key, said)):
                return {}
            found[key] = fit
        return found

    def _of_another(self, key: str, words: str) -> bool:
        return self.spoken_of(words) not in (None, key) or self.nearest(self.fits(words)) not in (None, key)

    def with_unclear(self, owned: dict[str, str], unclear: Sequence[str]) -> Shared:
        """What each check was told, with the parts that fit several: they are of the one that is left; of the check of
        several parts, of which one more is told; or it is asked. None is dropped."""
        found = {key: fit for key, words in owned.items() if (fit := self.fit(key, words)) is not None}
        for part in unclear:
            fits = self.fits(part)
            left = tuple(key for key in fits if key not in owned)
            if len(left) > 1:
                return Shared(found, part, left)
            if left and all(not _same(fits[key], found.get(key)) for key in fits if key != left[0]):
                found[left[0]], owned[left[0]] = fits[left[0]], part
                continue
            if left or any(_same(fits[key], found.get(key)) for key in fits):
                continue
            several = [key for key in fits if asks_several(self.turn.pack.checks[key])]
            if len(several) != 1:
                return Shared({key: one for key, one in found.items() if key not in fits}, part, tuple(fits))
            owned[several[0]] = f"{owned[several[0]]}, {part}"
            if (fit := self.fit(several[0], owned[several[0]])) is not None:
                found[several[0]] = fit
        return Shared(found)

    def placed(self, parts: Sequence[str]) -> tuple[dict[str, str], list[str]]:
        """Check -> the parts that are its own; and those that fit several. What fits none goes with its neighbour."""
        owned: dict[str, str] = {}
        before, last, unclear = "", "", list[str]()
        for part in parts:
            said = f"{before} {part}".strip()
            fits = self.fits(said)
            owner = self.spoken_of(said) or self.spoken_of(said, tuple(fits))
            owner = owner or (next(iter(fits)) if len(fits) == 1 else self.nearest(fits))
            goes_on = bool(last) and (_same(fits.get(last), self.fit(last, owned[last])) or (
                _THE_OTHER.match(part) is not None and asks_several(self.turn.pack.checks[last])))
            if owner is None and len(fits) > 1 and not goes_on:
                unclear.append(said)
                before = ""
                continue
            owner = owner or last
            if owner:
                owned[owner] = f"{owned[owner]}, {said}" if owner in owned else said
            before, last = ("", owner) if owner else (said, last)
        return owned, unclear


def _same(one: HeardResult | None, other: HeardResult | None) -> bool:
    return one is not None and other is not None and (one.result, one.value) == (other.result, other.value)


def _decades(check: Check, value: float | None, known: Mapping[str, float]) -> float:
    """Powers of ten from a reading to the nearest edge of the bands; 0 where it lies among them."""
    assert check.reading is not None
    if not value or value < 0:
        return 0.0
    good = expected(check, known)
    edges = [edge for r in check.results.values() if r.band is not None for edge in (r.band.low, r.band.high) if edge]
    if good is not None and check.reading.relative:
        edges = [edge * good.value for edge in edges]
    if not edges or min(edges) <= value <= max(edges):
        return 0.0
    return min(abs(math.log10(value / edge)) for edge in edges if edge > 0)
