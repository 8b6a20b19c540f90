"""From words to units of meaning: phrases of the lexicon, and words that depend on their neighbours."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from types import MappingProxyType
from typing import Final, NamedTuple

from bot.language.words.forms import Form
from bot.language.words.lexicon import DROPPED, Lexicon, Sense, data
from bot.language.words.text import Token, word_set

_CODE: Final = re.compile(r"(?!r[0-9]|l[123]$)[a-z]{1,3}[0-9]{1,3}[a-z]?")
"""Letters and a number, as displays show them; not a refrigerant (r600a), not a leg of the supply (l1)."""
_NO_CODE: Final = word_set("h2o b4 str8 gr8 l8r m8 w8 co2 mp3 a4 x2 x3 x4 x5 q1 q2")
_CODE_LETTERS: Final = word_set("f e er err fe ee")
_SAID: Final = frozenset({"function", "event", "state"})
_MERE: Final = word_set("only too enough barely first_symptom nothing")
"""States that say nothing by themselves."""
_NONE_SHOWN: Final[Mapping[int, int]] = MappingProxyType({})
_ONE: Final[tuple[int, None]] = (1, None)
"""A word by itself."""
_UNTAGGED: Final = frozenset[str]()
_PUMPS: Final[dict[str, Form]] = {"pump": "base", "pumps": "s", "pumping": "ing", "pumped": "ed"}


class Unit(NamedTuple):
    """A word or phrase of words: what it stands for and the grammar it carries."""

    start: int
    end: int
    words: str
    sense: Sense | None
    tags: frozenset[str] = frozenset()

    @property
    def is_address(self) -> bool:
        """True of '14 Hazel lane' and 'Mrs Waters': who and where, nothing about a machine."""
        return self.sense is None and not self.tags and " " in self.words

    @property
    def is_core(self) -> bool:
        """True when it says something of something."""
        return self.sense is not None and self.sense.kind in _SAID and self.sense.concept not in _MERE


@cache
def context(name: str) -> frozenset[str]:
    """One list of data/context.yaml."""
    return word_set(str(data("context")[name]))


def units_of(tokens: Sequence[Token], words: Sequence[str], lexicon: Lexicon, shown: Mapping[int, int] = _NONE_SHOWN,
             ) -> list[Unit]:
    """Greedy longest match of the lexicon's phrases; `words` are the tokens' words after spelling, `shown` where codes
    stand that are written as displays do."""
    if not DROPPED.isdisjoint(words):
        kept = [i for i, word in enumerate(words) if word not in DROPPED]
        tokens, words = [tokens[i] for i in kept], [words[i] for i in kept]
    units: list[Unit] = []
    place = 0
    openers, streets, many = _openers(), context("streets"), len(words)
    while place < many:
        said = words[place]
        counted = said in openers or said.isdigit() or (place + 1 < many and words[place + 1] in streets)
        length, sense = (_code(tokens, place, shown) if shown else None) or (
            _counted(words, place) if counted else None) or (
            _longest(words, place, lexicon) if said in lexicon.firsts else _ONE)
        first, last = tokens[place], tokens[place + length - 1]
        if length > 1:
            said = " ".join(words[place:place + length])
        elif sense is None and said[0].isalnum():
            sense = _alone(words, place, units, lexicon)
        tags = lexicon.tags.get(said, _UNTAGGED)
        if sense is not None and sense.kind == "grammar":
            tags, sense = tags | {sense.concept}, None
        units.append(Unit(first.start, last.end, said, sense, tags))
        place += length
    return units


def next_sense(units: Sequence[Unit], place: int) -> Sense | None:
    """What the next unit, or the one after it, stands for."""
    for unit in units[place:place + 2]:
        if unit.sense is not None:
            return unit.sense
    return None


def _code(tokens: Sequence[Token], place: int, shown: Mapping[int, int]) -> tuple[int, Sense] | None:
    """A code that is written as a display shows it, however many tokens it is."""
    end = shown.get(tokens[place].start)
    if end is None:
        return None
    return max(1, sum(token.end <= end for token in tokens[place:place + 4])), Sense("code", "event")


def _counted(words: Sequence[str], place: int) -> tuple[int, Sense | None] | None:
    """An address, a time or a code with a gap in it, at a word with which one may begin."""
    return _address(words, place) or _time(words, place) or _spaced_code(words, place)


@cache
def _depending() -> frozenset[str]:
    """Single words that mean something else beside some others."""
    return context("is_on").union(_PUMPS, ("locked", "out", "light", "lights"))


@cache
def _openers() -> frozenset[str]:
    return _CODE_LETTERS.union(*(context(name) for name in ("titles", "counts", "takes", "after")))


def _spaced_code(words: Sequence[str], place: int) -> tuple[int, Sense] | None:
    """'F 31', 'er-88': a code with a gap in it, unless the letter is the unit of a number before it ('350 f')."""
    if words[place] not in _CODE_LETTERS or (place and words[place - 1].isdigit()):
        return None
    number = words[place + 1:place + 2]
    return (2, Sense("code", "event")) if number and number[0].isdigit() and len(number[0]) <= 3 else None


def _longest(words: Sequence[str], place: int, lexicon: Lexicon) -> tuple[int, Sense | None]:
    for length in range(min(lexicon.firsts[words[place]], len(words) - place), 1, -1):
        sense = lexicon.phrases.get(tuple(words[place:place + length]))
        if sense is not None:
            return length, sense
    return _ONE


def _address(words: Sequence[str], place: int) -> tuple[int, None] | None:
    """'14 Hazel lane', 'on spring road', 'Mrs Waters': where and who, nothing about a machine."""
    if words[place] in context("titles") and words[place + 1:place + 2] and words[place + 1].isalpha():
        return 2, None
    numbered = words[place].isdigit()
    for here in range(place + 1, min(place + (4 if numbered else 2), len(words))):
        if not words[here].isalpha():
            return None
        if words[here] in (context("numbered_streets") if numbered else context("streets")):
            return (here - place + 1, None) if numbered or words[place] not in context("no_street") else None
    return None


def _time(words: Sequence[str], place: int) -> tuple[int, Sense] | None:
    """'takes 40 min', 'tarda dos horas': slow, whatever the number. 'after ten minutes': on the way. '50 deg low'."""
    if words[place].isdigit() and words[place + 1:place + 2] and words[place + 1] in context("degrees"):
        off = words[place + 2:place + 3] and words[place + 2] in context("astray")
        return (3, Sense("wrong", "state")) if off else None
    number = words[place].isdigit() or words[place] in context("counts")
    if number and words[place + 2:place + 3] == ["to"] and words[place + 1] in context("clock"):
        return 3, Sense("slow", "state")
    if words[place].isdecimal() and int(words[place][:6]) >= 15 and words[place + 1:place + 2] and (
            words[place + 1] in context("beyond")):
        return 2, Sense("wrong", "state")
    if words[place] in context("takes"):
        for here in range(place + 1, min(place + 6, len(words))):
            if words[here] in context("clock"):
                return here - place + 1, Sense("slow", "state")
    if words[place] in context("after"):
        for here in range(place + 1, min(place + 5, len(words))):
            if words[here] in context("clock") and any(
                    w.isdigit() or w in context("counts") for w in words[place + 1:here]):
                return here - place + 1, Sense("mid_cycle", "thing")
    return None


def _alone(words: Sequence[str], place: int, before: Sequence[Unit], lexicon: Lexicon) -> Sense | None:
    """The sense of a single word; some depend on what stands around them."""
    word = words[place]
    if word.isalpha():
        code = len(word) in (2, 3) and _is_shown(words, place, before, lexicon)
    else:
        code = word not in _NO_CODE and _CODE.fullmatch(word) is not None
    if code:
        return Sense("code", "event")
    return (_in_place(words, place, before) if word in _depending() else None) or lexicon.sense(word)


def _in_place(words: Sequence[str], place: int, before: Sequence[Unit]) -> Sense | None:
    """What a word means beside those around it, where that is not what it means alone."""
    word = words[place]
    if word in _PUMPS and _is_verb(words, place, before):
        return Sense("drain", "function", _PUMPS[word])
    if word == "locked":
        return Sense("locked", "event")
    if word in context("is_on") and _is_on(words, place, before):
        return Sense("ok", "state")
    if word == "out" and _went_out(words, place, before):
        return Sense("dead", "event")
    if word in ("light", "lights") and before and _lights(words, place, before[-1]):
        return Sense("ignite", "function", "base" if word == "light" else "s")
    return None


def _is_shown(words: Sequence[str], place: int, before: Sequence[Unit], lexicon: Lexicon) -> bool:
    """'says UL', 'dE on the screen': letters that are no word, on a display."""
    word = words[place]
    if lexicon.words.get(word) or word in lexicon.tags or word in lexicon.stopwords or word in lexicon.common:
        return False
    if before and before[-1].words.rpartition(" ")[2] in context("shows"):
        return True
    on_display = set(words[place + 2:place + 4]) & {"display", "screen", "panel"}
    return words[place + 1:place + 2] == ["on"] and bool(on_display)


def _is_verb(words: Sequence[str], place: int, before: Sequence[Unit]) -> bool:
    """'wont pump', 'it pumps out' against 'the pump hums'."""
    word = words[place]
    last = words[place - 1] if place else ""
    if word in ("pumping", "pumped"):
        return True
    if word == "pumps":
        return last not in context("pump_parts") and not last.isdigit()
    return last in context("aux") or (bool(before) and "not" in before[-1].tags and last not in ("no", "sin"))


def _went_out(words: Sequence[str], place: int, before: Sequence[Unit]) -> bool:
    """'light out', 'burner is out', but not 'pull the knob out'."""
    if not before or before[-1].sense is None or before[-1].sense.concept not in context("goes_out"):
        return False
    return place + 1 == len(words) or not words[place + 1][0].isalnum() or words[place + 1] in context("after_out")


def _is_on(words: Sequence[str], place: int, before: Sequence[Unit]) -> bool:
    """'lights on', 'breaker is on', 'ice yes': nothing after it, so it is no 'on the floor'."""
    after = words[place + 1] if place + 1 < len(words) else ""
    ends = not after or not after[0].isalnum() or after in context("after_out")
    about = next((u for u in reversed(before[-2:]) if u.sense is not None), None)
    if not ends or about is None or about.sense is None or any("not" in u.tags for u in before[-3:]):
        return False
    return about.sense.concept in context("switched_on") or (words[place] != "on" and about.sense.kind == "thing")


def _lights(words: Sequence[str], place: int, last: Unit) -> bool:
    """'wont light', 'the stove lights but ...': the verb, not the lamp."""
    after = words[place + 1] if place + 1 < len(words) else ""
    burners = last.words.rpartition(" ")[2] in context("many_burners")
    if words[place] == "light" and burners and after not in context("not_lit"):
        return True
    if ("not" in last.tags and last.words not in ("no", "sin", "without", "ningun")) or last.words == "to":
        return True
    lit = last.sense is not None and last.sense.concept in context("lit_things")
    return words[place] == "lights" and lit and after in context("lights_up")
