"""What was so and is over: 'wasnt draining, cleaned the filter, drains now'; 'had a pump put in because it would not
drain, now it shakes'. The words that told it first tell no trouble of today."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from bot.language.meaning import Meaning
from bot.language.words.scope import Clause, Feature
from bot.language.words.text import word_set
from bot.language.words.units import Unit

_NOW: Final = word_set("now ahora ahorita ya")
_TURNED: Final = word_set("actually really correction does do")
_NOT_SO: Final = word_set(
    "said says told tells thought wrote claimed claims swore ticket reported listed complained supposedly dijo decia")
_WAS: Final = word_set("was wasnt were werent had hadnt wouldnt would didnt did couldnt yesterday yday ayer no")
_WAS_NOT: Final = word_set("wasnt werent hadnt wouldnt would didnt couldnt was were had")
_REPAIRED: Final = word_set(
    "put installed replaced swapped fixed repaired cleaned cleared changed reset bent adjusted opened tightened new "
    "got pulled unclogged thawed reseated cambie cambiamos cambiaron arregle arreglaron limpie")
_AT_TIMES: Final = word_set(
    "sometimes intermittent intermittently occasionally eventually finally unless if when whenever then again until "
    "till only every half slow slowly barely first second third times time try tries low high hand long while cold hot "
    "empty loaded veces cuando on off")
_BEGAN: Final = word_set("quit stopped started began begun since been for still start stop starting keeps desde")
_NEAR: Final = 4
"""Within so many clauses a failure is taken back."""
_DOES: Final = word_set("does do si")
_EITHER: Final = word_set("either or o")
_QUIT: Final = word_set("quit stopped quits ceased dejo")
_AS_BEFORE: Final = word_set("still again same also too either igual todavia otra tambien")
_HARM: Final = frozenset({"burning", "smoke", "spark", "shock", "smell"})
_BECAUSE: Final = word_set("because cause cuz bc since for porque when as")
_DATED: Final = re.compile(
    r"\b(?:last (?:yr|year|month|summer|winter|spring|fall|autumn|christmas|thanksgiving)|"
    r"(?:years?|yrs?|months?|mos?|mths?|weeks?|wks?) (?:ago|back)|hace (?:\w+ )?(?:anos?|meses|mes))\b")


@dataclass(frozen=True, slots=True)
class _Part:
    """A clause, its words, and the words of the borders before and after it."""

    clause: Clause
    own: frozenset[str]
    before: frozenset[str]
    after: frozenset[str]
    text: str
    start: int
    side: bool
    """Whether it tells on what it depends: 'on heavy', 'when it is loaded'."""

    @property
    def told(self) -> list[Feature]:
        return _told(self.clause)

    @property
    def is_now(self) -> bool:
        return not _NOW.isdisjoint(self.own | self.before | self.after)


def outlived(clauses: Sequence[Clause], units: Sequence[Unit]) -> list[Clause]:
    """The clauses that tell what is over."""
    if len(clauses) < 2:
        return []
    said = {unit.words for unit in units}
    both = _both_ways(clauses)
    if not both and _NOW.isdisjoint(said):
        return []
    parts = _parts(clauses, units)
    gone = [part.clause for at, part in enumerate(parts) if part.told and not part.clause.past and not any(
        f.concept in _HARM for f in part.clause.features) and (
            (both and _is_taken_back(parts, at, both)) or _has_quit(parts, at) or _is_history(parts, at))]
    return gone if len(gone) < len(clauses) else []


def without(text: str, over: Iterable[Clause]) -> str:
    """The text with blanks for these clauses, so that every other word keeps its place."""
    for clause in over:
        text = text[:clause.start] + " " * (clause.end - clause.start) + text[clause.end:]
    return text


def of_today(whole: Meaning, rest: Meaning, over: Sequence[Clause]) -> Meaning:
    """The meaning of a whole message without the complaints that rest on words of what is over. `rest`: the meaning
    without those words. What is a danger stays one."""
    if whole.hazard:
        return whole
    gone = {clue.meaning.removeprefix("complaint:") for clue in whole.clues
            if any(clause.start < clue.end and clue.start < clause.end for clause in over)}
    gone.difference_update(guess.id for guess in rest.complaints)
    kept = tuple(guess for guess in whole.complaints if guess.id not in gone) or rest.complaints
    denied = {*whole.denied, *(rest.denied if whole.family else ())}.difference(guess.id for guess in kept)
    if {guess.id for guess in kept} == {guess.id for guess in whole.complaints}:
        return replace(whole, denied=tuple(sorted(denied)))
    return replace(whole, complaints=kept, denied=tuple(sorted(denied)), confident=rest.confident,
                   candidates=rest.candidates, results=rest.results, weighed=rest.weighed)


def _both_ways(clauses: Sequence[Clause]) -> frozenset[str]:
    """What machines are there to do that is said to fail and to work in one message."""
    signs: dict[str, set[int]] = {}
    for clause in clauses:
        for f in clause.features:
            if f.kind == "function" and (f.sign > 0 or not f.subordinate):
                signs.setdefault(f.concept, set()).add(f.sign)
    return frozenset(concept for concept, both in signs.items() if len(both) > 1)


def _parts(clauses: Sequence[Clause], units: Sequence[Unit]) -> list[_Part]:
    own: list[list[str]] = [[] for _ in clauses]
    starts, sides = [clause.start for clause in clauses], [False] * len(clauses)
    between: list[list[str]] = [[] for _ in range(len(clauses) + 1)]
    at = 0
    for unit in units:
        while at < len(clauses) and unit.start >= clauses[at].end:
            at += 1
        here = own[at] if at < len(clauses) and unit.start >= clauses[at].start else between[at]
        if at < len(clauses) and here is own[at] and "when" in unit.tags:
            sides[at] = True
        if unit.words == "," and here is not between[at] and not _is_told(clauses[at], unit.start):
            between[at] += [*here, ","]
            here.clear()
            starts[at], sides[at] = unit.end, False
        else:
            here.append(unit.words)
    split = [_at_border([word for words in said for word in words.split()]) for said in between]
    spread = [[word for words in said for word in words.split()] for said in own]
    return [_Part(clause, frozenset(spread[at]), frozenset(split[at][1]), frozenset(split[at + 1][0]),
                  " ".join([*split[at][1], *spread[at], *split[at + 1][0]]), starts[at], sides[at])
            for at, clause in enumerate(clauses)]


def _is_told(clause: Clause, start: int) -> bool:
    """Whether something was said in a clause before a place of it; 'new belt on, | spins now'."""
    return any(f.start < start for f in _told(clause))


def _told(clause: Clause) -> list[Feature]:
    return [f for f in clause.features if f.kind in ("function", "event", "state")]


def _at_border(words: Sequence[str]) -> tuple[Sequence[str], Sequence[str]]:
    """Of the words between two clauses those that belong to the first, and those of the second: 'drains | now, but'."""
    mark = next((at for at, word in enumerate(words) if not word[0].isalnum()), None)
    if mark is None:
        mark = 1 if len(words) > 1 and words[0] in _NOW else 0
    return words[:mark], words[mark:]


def _is_taken_back(parts: Sequence[_Part], at: int, both: Collection[str]) -> bool:
    """'I said it wont spin but it does spin', 'wasnt draining, drains now': a failure that a later clause denies."""
    part = parts[at]
    failed = [f for f in part.told if f.kind == "function" and f.sign < 0 and f.concept in both and not f.subordinate]
    if len(failed) != 1 or len(part.told) > 1 or not _AT_TIMES.isdisjoint(part.own):
        return False
    concept = failed[0].concept
    for place in range(at + 1, min(at + 1 + _NEAR, len(parts))):
        later = parts[place]
        again = [f for f in later.told if f.concept == concept]
        if any(f.sign < 0 for f in again):
            return False
        if again and _works(later, part):
            between = part.after.union(*(p.own | p.before | p.after for p in parts[at + 1:place]), later.before)
            return later.is_now or not _TURNED.isdisjoint(later.own | later.before) or not _NOT_SO.isdisjoint(
                part.own | part.before) or not (_WAS.isdisjoint(part.own) or _REPAIRED.isdisjoint(between))
    return False


def _works(later: _Part, earlier: _Part) -> bool:
    """Whether a clause says that something works, of nothing else than the earlier one, and always."""
    things = {f.concept for f in later.clause.features if f.kind == "thing" and f.start >= later.start}
    before = {f.concept for f in earlier.clause.features if f.kind == "thing"}
    said = later.told[0] if len(later.told) == 1 else None
    if said is None or not _EITHER.isdisjoint(later.before | later.own | earlier.before | earlier.own) or (
            said.form == "base" and not later.clause.ok and _DOES.isdisjoint(later.own)):
        return False
    return not later.side and things <= before and (
        _AT_TIMES.isdisjoint(later.own) and not later.clause.only and not later.clause.trying)


def _has_quit(parts: Sequence[_Part], at: int) -> bool:
    """'It was squealing, then quit squealing and now ...': what a later clause says to have stopped."""
    told = parts[at].told
    if len(told) != 1 or told[0].kind != "event" or told[0].sign < 0 or told[0].subordinate:
        return False
    again = [(place, f) for place, part in enumerate(parts[at + 1:], at + 1) for f in part.told
             if f.concept == told[0].concept]
    return bool(again) and all(f.sign < 0 and not _QUIT.isdisjoint(parts[place].own) for place, f in again) and any(
        part.is_now for part in parts[again[-1][0] + 1:])


def _is_history(parts: Sequence[_Part], at: int) -> bool:
    """'It leaked two years ago, seal replaced, now ...': by its date, or because it was repaired, and something else is
    the matter now."""
    part, later = parts[at], parts[at + 1:]
    now = next((place for place, other in enumerate(later) if not _NOW.isdisjoint(other.own | other.before)
                and other.clause.features), None)
    if now is None or not _NOW.isdisjoint(part.own | part.before):
        return False
    mine = {(f.concept, f.sign) for f in part.told}
    if any((f.concept, f.sign) in mine for other in later for f in other.told) or any(
            not _AS_BEFORE.isdisjoint(other.own | other.before) for other in later):
        return False
    if _is_past(part) and _DATED.search(part.text) and (
            _BEGAN.isdisjoint(part.text.split()) or not _REPAIRED.isdisjoint(part.own)):
        return True
    repaired = frozenset[str]().union(*(other.own | other.before for other in parts[:at]), part.before)
    if not _BECAUSE.isdisjoint(part.before) and not _REPAIRED.isdisjoint(repaired) and _is_past(part):
        return True
    mended = frozenset[str]().union(part.after, *(other.own | other.before for other in later[:now]), later[now].before)
    return not _WAS_NOT.isdisjoint(part.own) and any(f.sign < 0 for f in part.told) and not _REPAIRED.isdisjoint(mended)


def _is_past(part: _Part) -> bool:
    return not _WAS.isdisjoint(part.own) or "quit" in part.own or any(f.form == "ed" for f in part.told)
