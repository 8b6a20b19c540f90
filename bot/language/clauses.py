"""What is said of what: units of meaning, clauses, and which words a negation reaches."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final

from bot.language.lexicon import DROPPED, Lexicon, Sense
from bot.language.text import Token, ends_sentence, word_set

REACH: Final = 6
"""How many units a negation reaches when no verb, event or state stops it."""
_SOFT: Final = frozenset({"barely", "hardly", "scarcely", "apenas"})
_CARRIES: Final = frozenset({"ok", "too", "enough", "only", "first_symptom", "barely"})
"""States that a negation passes on its way to what it denies."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A word or phrase of words: what it stands for and the grammar it carries."""

    start: int
    end: int
    words: str
    sense: Sense | None
    tags: frozenset[str] = frozenset()


@dataclass(slots=True)
class Feature:
    """A concept as it is meant here: sign -1 when denied."""

    concept: str
    kind: str
    sign: int
    start: int
    end: int
    subordinate: bool = False
    form: str = "base"
    value: float = 0.0
    """For kind 'number': what it is."""

    @property
    def key(self) -> str:
        """The name under which patterns are indexed: 'spin' or 'spin-'."""
        return self.concept if self.sign > 0 else self.concept + "-"


@dataclass(slots=True)
class Clause:
    """Features said together, and how they are said."""

    features: list[Feature] = field(default_factory=list)
    ok: bool = False
    only: bool = False
    past: bool = False
    not_that: bool = False
    guess: bool = False
    question: bool = False
    trying: bool = False
    soft: bool = False
    joined: bool = False
    """True when 'and', 'or' or a comma ties it to the clause before."""
    new_sentence: bool = False

    @property
    def has_core(self) -> bool:
        """True when something is said of something: a function, event or state."""
        return any(f.kind in ("function", "event", "state") for f in self.features)


def units_of(tokens: Sequence[Token], words: Sequence[str], lexicon: Lexicon) -> list[Unit]:
    """Greedy longest match of the lexicon's phrases; `words` are the tokens' words after spelling."""
    kept = [i for i, word in enumerate(words) if word not in DROPPED]
    tokens, words = [tokens[i] for i in kept], [words[i] for i in kept]
    units: list[Unit] = []
    place = 0
    while place < len(tokens):
        length, sense = _takes_long(words, place) or _longest(words, place, lexicon)
        first, last = tokens[place], tokens[place + length - 1]
        said = " ".join(words[place:place + length])
        if sense is None and length == 1 and not first.is_mark:
            sense = _alone(words, place, units, lexicon)
        tags = _tags(said, lexicon)
        if sense is not None and sense.kind == "grammar":
            tags, sense = tags | {sense.concept}, None
        units.append(Unit(first.start, last.end, said, sense, tags))
        place += length
    return units


_CODE: Final = re.compile(r"(?:[efdicuhp]|[a-z]e|dc|nd|le|sd|ub|fh|lo|cl|sc)[- ]?[0-9]{1,3}")
_GOES_OUT: Final = word_set("light burner display heater oven flame pilot igniter ice_maker fan dispenser motor pump")
_AFTER_OUT: Final = word_set("but and n y on in new replaced changed again too since now")
_LIGHTS_UP: Final = frozenset({"but", "and", "up", "right", "fine", "ok", "after", "with", "slow", "good", "first", "pero", "when", "eventually", "then", "if"})


_TAKES: Final = word_set("take takes took taking tarda tardan tardo")
_AFTER: Final = word_set("after about for in within bout como despues a")
_COUNTS: Final = word_set("a few couple two three four five six eight ten fifteen twenty thirty some unos dos tres cinco diez")
_CLOCK: Final = word_set("min mins minute minutes hour hours hr hrs minuto minutos hora horas second seconds sec secs")


def _takes_long(words: Sequence[str], place: int) -> tuple[int, Sense] | None:
    """'takes 40 min', 'tarda como dos horas': slow, whatever the number."""
    if words[place] in _TAKES:
        for here in range(place + 1, min(place + 6, len(words))):
            if words[here] in _CLOCK:
                return here - place + 1, Sense("slow", "state")
    if words[place] in _AFTER:
        for here in range(place + 1, min(place + 5, len(words))):
            if words[here] in _CLOCK and any(w.isdigit() or w in _COUNTS for w in words[place + 1:here]):
                return here - place + 1, Sense("mid_cycle", "thing")
    return None


def _alone(words: Sequence[str], place: int, before: Sequence[Unit], lexicon: Lexicon) -> Sense | None:
    """The sense of a single word; fault codes and 'light' need a look at what stands around them."""
    word = words[place]
    if _CODE.fullmatch(word):
        return Sense("code", "event")
    if word in ("pump", "pumps", "pumping", "pumped") and _is_verb(words, place, before):
        return Sense("drain", "function", {"pumps": "s", "pumping": "ing", "pumped": "ed"}.get(word, "base"))  # type: ignore[arg-type]
    shown = (before and before[-1].words.split()[-1] in _SHOWS) or (
        list(words[place + 1:place + 2]) == ["on"] and set(words[place + 2:place + 4]) & {"display", "screen", "panel"})
    if len(word) in (2, 3) and word.isalpha() and shown and not (
            lexicon.words.get(word) or word in lexicon.stopwords or word in lexicon.common or word in lexicon.tags):
        return Sense("code", "event")
    if word == "out" and before and before[-1].sense is not None and before[-1].sense.concept in _GOES_OUT and (
            place + 1 == len(words) or not words[place + 1][0].isalnum() or words[place + 1] in _AFTER_OUT):
        return Sense("dead", "event")
    if word in ("light", "lights") and before:
        last = before[-1]
        aux = ("not" in last.tags and last.words not in ("no", "sin", "without", "zero", "ningun")) or last.words in ("to", "fail")
        thing = last.sense is not None and last.sense.concept in ("burner", "oven", "pilot", "flame", "family:range", "gas")
        if word == "light" and last.words in ("burners", "tops", "top burners", "hornillas", "quemadores") and not (
                words[place + 1:place + 2] and words[place + 1] in ("out", "is", "switch", "bulb", "on", "stays", "wont", "doesnt")):
            return Sense("ignite", "function")
        if aux or (word == "lights" and thing and words[place + 1:place + 2] and words[place + 1] in _LIGHTS_UP):
            return Sense("ignite", "function", "base" if word == "light" else "s")
    return lexicon.sense(word)


_SHOWS: Final = word_set("says say saying shows show showing reads reading displays display displaying flashing flashes message code error throwing throws "
                           "screen panel dice marca muestra")
_AUX: Final = word_set("does do did will to can could would doesnt dont didnt wont cant not never it and")


def _is_verb(words: Sequence[str], place: int, before: Sequence[Unit]) -> bool:
    """'wont pump', 'it pumps out' against 'the pump hums'."""
    word = words[place]
    last = words[place - 1] if place else ""
    if word in ("pumping", "pumped"):
        return True
    if word == "pumps":
        return last not in ("drain", "the", "two", "2", "both", "water", "new") and not last.isdigit()
    return last in _AUX or (bool(before) and "not" in before[-1].tags and last not in ("no", "sin"))


def _longest(words: Sequence[str], place: int, lexicon: Lexicon) -> tuple[int, Sense | None]:
    for length in range(min(lexicon.firsts.get(words[place], 1), len(words) - place), 1, -1):
        sense = lexicon.phrases.get(tuple(words[place:place + length]))
        if sense is not None:
            return length, sense
    return 1, None


def _tags(word: str, lexicon: Lexicon) -> frozenset[str]:
    return lexicon.tags.get(word, frozenset())


def clauses_of(units: Sequence[Unit]) -> list[Clause]:
    """Split at marks, contrast, coordination and at a second verb; then resolve what negation reaches."""
    segments = _merge(_segments(units))
    clauses: list[Clause] = []
    carried = False
    for segment in segments:
        clause, carried = _clause(segment, carried and segment.link in ("or", "and"))
        _complete(clause, segment, clauses)
        clauses.append(clause)
    _share_praise(clauses)
    return [c for c in clauses if c.features or c.not_that or c.ok]


@dataclass(slots=True)
class _Segment:
    units: list[Unit]
    link: str
    """What stands before it: '', 'sentence', 'comma', 'but', 'and', 'or', 'then', 'when', 'verb'."""

    @property
    def core(self) -> bool:
        return any(_is_core(u) for u in self.units)


_AUX_NOT: Final = word_set("doesnt dont didnt wont isnt cant never doesn won didn isn")


def _is_core(unit: Unit) -> bool:
    return unit.sense is not None and unit.sense.kind in ("function", "event", "state") and \
        unit.sense.concept not in ("only", "too", "enough", "barely", "first_symptom", "nothing")


def _segments(units: Sequence[Unit]) -> list[_Segment]:
    found = [_Segment([], "")]
    for place, unit in enumerate(units):
        here = found[-1]
        link = _link(unit, here, units[place - 1] if place else None, _next_sense(units, place + 1))
        if link is None:
            here.units.append(unit)
            continue
        if link == "verb" and len(here.units) > 1 and _is_subject(here.units[-1]) and any(
                _is_core(u) for u in here.units[:-1]):
            found.append(_Segment([here.units.pop(), unit], link))
        elif link in ("verb", "when"):
            found.append(_Segment([unit], link))
        else:
            found.append(_Segment([], link))
    return [s for s in found if s.units or s.link == "sentence"]


def _is_subject(unit: Unit) -> bool:
    """A thing, or a function named as a thing: 'bake dead, broil works'."""
    return unit.sense is not None and not unit.tags and (
        unit.sense.kind in ("thing", "other", "appliance") or (unit.sense.kind == "function" and unit.sense.form == "base"))


def _link(unit: Unit, here: _Segment, before: Unit | None, after: Sense | None) -> str | None:
    if unit.sense is None and len(unit.words) == 1 and not unit.words.isalnum():
        if ends_sentence(unit.words):
            return "sentence"
        return "comma" if unit.words in ",()" or (unit.words in "-:" and here.core) else None
    for tag, link in (("but", "but"), ("and", "and"), ("or", "or"), ("then", "then")):
        if tag in unit.tags and "not" not in unit.tags:
            return link
    if unit.words == "no" and any("not" in u.tags for u in here.units) and here.units[-1].sense is not None:
        return "verb"
    if not here.core:
        return None
    if unit.words == "just":
        return "but"
    last = here.units[-1]
    if ("not" in unit.tags and unit.words in _AUX_NOT and last.sense is not None and last.sense.kind == "function"
            and last.sense.form == "base" and sum(_is_core(u) for u in here.units) == 1
            and not any("not" in u.tags for u in here.units)):
        return None
    if "not" in unit.tags and not (after is not None and after.concept in ("work", "ok")) and not (before is not None and ("not" in before.tags or "question" in before.tags)):
        return "verb"
    if (unit.sense is not None and unit.sense.kind in ("function", "event") and unit.sense.form == "s"
            and before is not None and not before.tags & {"not", "fail", "quit", "when", "past"}
            and here.units[-1].sense is not None and here.units[-1].words not in _NOTHING):
        return "verb"
    return None


def _merge(segments: list[_Segment]) -> list[_Segment]:
    """A part without anything said in it belongs to its neighbour in the same sentence."""
    merged: list[_Segment] = []
    for segment in segments:
        if not segment.units:
            segment.link = "sentence"
            if merged and not merged[-1].units:
                continue
        before = merged[-1] if merged else None
        if before is not None and before.units and segment.link != "sentence" and (
                (not before.core and not _shows_not(before) and segment.link in ("and", "or", "comma", "verb"))
                or (not segment.core and not _shows_not(segment) and segment.link in ("and", "or", "when"))):
            before.units.extend(segment.units)
        else:
            merged.append(segment)
    return [s for s in merged if s.units]


def _shows_not(segment: _Segment) -> bool:
    return any("not" in u.tags or "deny_that" in u.tags for u in segment.units)


def _clause(segment: _Segment, carried: bool) -> tuple[Clause, bool]:
    """Features with their signs. Returns also whether a negation may reach into an 'or' that follows."""
    clause = Clause(joined=segment.link in ("and", "or", "comma"), new_sentence=segment.link in ("", "sentence"))
    negated, determiner, reach, subordinate = False, False, 0, False
    if carried and segment.units and _continues(segment.units[0], segment.link):
        negated, reach = True, REACH
    ever = negated
    for place, unit in enumerate(segment.units):
        following = _next_sense(segment.units, place + 1)
        _mark(clause, unit)
        if "deny_that" in unit.tags:
            negated, reach = False, 0
            continue
        if unit.sense is not None and unit.sense.concept == "nothing" and following is not None and (
                following.kind in ("function", "event")) and unit.words in _NOTHING:
            negated, reach, ever = True, REACH, True
            continue
        if (unit.sense is None and unit.words.isdigit()) or unit.words in _NUMBERS:
            clause.features.append(Feature("number", "number", 1, unit.start, unit.end, subordinate,
                                           unit.words, _number(unit, segment.units, place)))
            continue
        if "not" in unit.tags and place + 1 < len(segment.units) and _is_context(segment.units[place + 1]):
            subordinate = True
            continue
        if unit.tags & {"not", "fail"} and not _only_noun(unit, negated):
            negated = not (negated and "fail" in unit.tags)
            determiner = unit.words in ("no", "ningun", "ninguna")
            reach, ever = REACH, True
            if unit.sense is None:
                continue
        if unit.sense is not None and unit.sense.concept == "only":
            clause.only = clause.only or unit.words in ("only", "solo", "solamente", "nomas", "nada mas", "unless")
            continue
        if "quit" in unit.tags and following is not None and following.kind in ("function", "event") \
                and (following.form == "ing" or " " in unit.words):
            if negated:
                clause.features.append(Feature("keeps", "event", 1, unit.start, unit.end))
            negated, ever = not negated, True
            reach = REACH
            continue
        if "when" in unit.tags:
            subordinate = True
            negated = negated and unit.words in ("at", "in", "into", "on", "por")
        if unit.words in _SOFT and following is not None and following.kind == "function":
            clause.soft = True
        if unit.sense is None:
            reach -= negated
            continue
        sense = unit.sense
        sign = -1 if negated and reach > 0 and unit.words not in ("only", "just") else 1
        clause.features.append(Feature(sense.concept, sense.kind, sign, unit.start, unit.end, subordinate,
                                       sense.form))
        if negated:
            reach -= 1
            if sense.kind in ("function", "event") or (sense.kind == "state" and not determiner and (
                    sense.concept not in _CARRIES)):
                negated = False
    if _was(segment.units):
        clause.past = True
    _settle(clause)
    return clause, ever


_DOES: Final = frozenset({"does", "do", "did", "is", "are", "will", "si"})


_NOTHING: Final = frozenset({"nothing", "nothin", "nada", "none", "nuttin"})
_NUMBERS: Final = {w: 10.0 * n for n, w in enumerate(["ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 1)} | {
    "zero": 0.0, "cero": 0.0}


def _number(unit: Unit, units: Sequence[Unit], place: int) -> float:
    """The value of a typed number, '10 below' and '-2' as negative."""
    value = _NUMBERS.get(unit.words)
    value = float(unit.words[:6]) if value is None else value
    after = units[place + 1].words if place + 1 < len(units) else ""
    before = units[place - 1].words if place else ""
    return -value if after in ("below", "bajo") or before in ("-", "minus", "menos") else value


def _was(units: Sequence[Unit]) -> bool:
    """'was leaking last month': over, by its tense and its date."""
    words = [u.words for u in units]
    was = any(w in ("was", "were", "estaba") and u.sense is not None and u.sense.form == "ing"
              for w, u in zip(words, units[1:], strict=False))
    return was and bool({"last", "ago", "before", "anymore", "once"} & set(words))


def _complete(clause: Clause, segment: _Segment, before: Sequence[Clause]) -> None:
    """'the motor spins, the tub doesn't': a denial with no verb of its own takes the verb before it."""
    if not before or clause.has_core or not segment.units or len(segment.units) > 3:
        return
    last = segment.units[-1]
    about = any(f.kind in ("thing", "appliance") for f in clause.features)
    if last.words in _DOES and about:
        verb = next((f for f in reversed(before[-1].features) if f.kind == "function" and f.sign < 0), None)
        if verb is not None:
            clause.features.append(Feature(verb.concept, verb.kind, 1, last.start, last.end))
            clause.ok = True
    elif "not" in last.tags and last.sense is None and (last.words not in ("no", "not", "ni", "sin") or about):
        verb = next((f for f in reversed(before[-1].features) if f.kind in ("function", "state") and f.sign > 0), None)
        if verb is not None:
            clause.features.append(Feature(verb.concept, verb.kind, -1, last.start, last.end))


def _is_context(unit: Unit) -> bool:
    """'not on broil', 'not when it spins': the case is denied, not what happens in it."""
    return "when" in unit.tags and unit.words in ("on", "in", "when", "during", "while", "at", "if", "until", "cuando", "en", "after", "before")


def _only_noun(unit: Unit, negated: bool) -> bool:
    return negated and unit.sense is not None


def _next_sense(units: Sequence[Unit], place: int) -> Sense | None:
    for unit in units[place:place + 2]:
        if unit.sense is not None:
            return unit.sense
    return None


def _continues(unit: Unit, link: str) -> bool:
    """'wont drain or spin' goes on denying, 'wont spin and leaks' does not."""
    if unit.sense is None or (unit.sense.kind != "function" and link != "or"):
        return False
    return link == "or" or unit.sense.form in ("base", "ing")


def _mark(clause: Clause, unit: Unit) -> None:
    if unit.tags:
        clause.past = clause.past or "past" in unit.tags
        clause.not_that = clause.not_that or "deny_that" in unit.tags
        clause.guess = clause.guess or "guess" in unit.tags
        clause.question = clause.question or "question" in unit.tags
        clause.trying = clause.trying or "try" in unit.tags


def _settle(clause: Clause) -> None:
    """Words that only say how another is meant: 'X not working', 'X ok', 'won't stop'."""
    kept: list[Feature] = []
    denied_any = any(f.sign < 0 for f in clause.features)
    for feature in clause.features:
        concept = feature.concept
        if concept == "ok":
            if feature.sign < 0:
                feature.concept, feature.sign = "barely", 1
                kept.append(feature)
            elif not denied_any:
                clause.ok = True
        elif concept == "stop" and feature.sign < 0:
            feature.concept, feature.kind, feature.sign = "keeps", "event", 1
            kept.append(feature)
        elif concept == "work":
            subject = [f for f in kept if f.kind in ("function", "thing") and not f.subordinate]
            if feature.sign < 0:
                for f in subject:
                    f.sign = -1 if f.kind == "function" else f.sign
                feature.concept, feature.kind, feature.sign = "inop", "event", 1
                kept.append(feature)
            elif not denied_any:
                clause.ok = True
        else:
            kept.append(feature)
    clause.features = kept


def _share_praise(clauses: list[Clause]) -> None:
    """'washes, fills and drains ok': what is said of the last holds for those tied to it."""
    for place in range(len(clauses) - 1, 0, -1):
        here, before = clauses[place], clauses[place - 1]
        if here.ok and here.joined and before.features and all(
                f.kind in ("function", "thing") and f.sign > 0 for f in before.features):
            before.ok = True


def negatives(features: Iterable[Feature]) -> list[Feature]:
    """The features that are denied."""
    return [f for f in features if f.sign < 0]
