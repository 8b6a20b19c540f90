"""The words of the trade: what a word or a phrase of words stands for.

`data/*.yaml` maps concepts to words. Every concept has a kind:
function (what machines are there to do), event (what they should not do), state, thing, grammar.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files
from itertools import chain
from sys import intern
from typing import Any, Final, Literal

from bot.language.words.forms import FORMS, Form, noun_forms, stem, verb_forms
from bot.language.words.text import fold, word_set
from knowledge.nodes import nodes_of, plain

Kind = Literal["function", "event", "state", "thing", "appliance", "grammar", "other"]
_FILES: Final[tuple[tuple[str, Kind], ...]] = (
    ("functions", "function"), ("events", "event"), ("states", "state"), ("things", "thing"))


DROPPED: Final = word_set(
    "the a an my her his their our your its it really el la los las un una unos unas le lo les se su mi")
"""Words that stand between the words of a phrase and change nothing: left out of phrases and messages alike."""


PARTS: Final = {"family:refrigerator": "fridge"}
"""Machines whose name is also a part of them: the fridge is warm, the freezer is not."""


ENDINGS: Final = re.compile(
    r"(?:|u|ue|c)(?:a|o|e|as|os|es|an|en|amos|emos|imos|ar|er|ir|aba|aban|abas|ia|ian|ando|iendo|endo|ado|ada|ados|adas|ido|ida|idos|idas|aron|ieron|"
    r"io|ara|aran|era|eran|ira|iran|ue|uen|arse|erse|irse|arlo|arla|erlo|erla|irlo|irla|andose|iendose|cion|mente|dor|dora|to|ta|tos|tas|n|l|i)?s?")
"""Endings of Spanish verbs and adjectives, after folding."""


@dataclass(frozen=True, slots=True)
class Sense:
    """What a word stands for. Words outside the lexicon stand for their own stem (kind 'other')."""

    concept: str
    kind: Kind
    form: Form = "base"


@dataclass
class Lexicon:
    """Words and phrases of words, with what they stand for."""

    words: dict[str, Sense] = field(default_factory=dict)
    phrases: dict[tuple[str, ...], Sense] = field(default_factory=dict)
    firsts: dict[str, int] = field(default_factory=dict)
    """First word of a phrase -> number of words in the longest phrase that begins with it."""
    beginnings: list[tuple[str, Sense]] = field(default_factory=list)
    stopwords: frozenset[str] = frozenset()
    common: frozenset[str] = frozenset()
    implies: dict[str, tuple[tuple[str, float], ...]] = field(default_factory=dict)
    kinds: dict[str, Kind] = field(default_factory=dict)
    tags: dict[str, frozenset[str]] = field(default_factory=dict)
    """Word or phrase -> the grammar it carries ('not', 'when', ...)."""
    _prefixes: dict[str, Sense] = field(default_factory=dict)

    def sense(self, word: str) -> Sense | None:
        """What a single word stands for; None for words that say nothing by themselves."""
        known = self.words.get(word)
        if known is not None:
            return known
        if word in self.stopwords or word in self.tags or len(word) < 3 or not word.isalpha():
            return None
        known = self._spanish(word)
        return known if known is not None else Sense(stem(word), "other")

    def _spanish(self, word: str) -> Sense | None:
        """A Spanish verb or adjective: a known beginning with an ending that Spanish has."""
        if word in self.common:
            return None
        for length in range(min(len(word), 10), 2, -1):
            known = self._prefixes.get(word[:length])
            if known is not None and ENDINGS.fullmatch(word[length:]):
                return known
        return None

    def add(self, parts: tuple[str, ...], sense: Sense) -> None:
        """One word, or a phrase of several. Inflected forms are added by `add_concept`."""
        if len(parts) == 1:
            self.words.setdefault(parts[0], sense)
        else:
            self.phrases.setdefault(parts, sense)
            self.firsts[parts[0]] = max(self.firsts.get(parts[0], 0), len(parts))

    def add_concept(self, concept: str, kind: Kind, phrases: list[str]) -> None:
        """A concept with all its words in all their forms."""
        self.kinds[concept] = kind
        base = Sense(concept, kind)
        senses = {form: Sense(concept, kind, form) for form in FORMS}
        for phrase in phrases:
            plain = _fold(phrase)
            if plain.endswith("*"):
                self._prefixes.setdefault(plain[:-1], base)
                continue
            parts = _parts(plain)
            rest = parts[1:]
            if kind in ("function", "event"):
                for form_word, form in verb_forms(parts[0]).items():
                    self.add((form_word, *rest), senses[form])
                if not rest:
                    self.add(parts, base)
            elif kind == "thing":
                for form_word in noun_forms(parts[-1]):
                    self.add((*parts[:-1], form_word), base)
            else:
                self.add(parts, base)

    def copy(self) -> Lexicon:
        """A lexicon that can take more names without changing this one."""
        return replace(self, words=dict(self.words), phrases=dict(self.phrases), firsts=dict(self.firsts))

    def add_name(self, name: str, concept: str) -> None:
        """The name of a machine; a single common word ('freezer', 'electric') keeps its own sense."""
        plain = _fold(name)
        if " " in plain or plain not in self.stopwords | self.common:
            self.add(_parts(plain), Sense(concept, "appliance"))

    def begins(self, word: str) -> bool:
        """True when the word begins as a Spanish verb of the lexicon does."""
        return self._spanish(word) is not None

    def is_foreign(self, word: str) -> bool:
        """True for machines that are none of ours: no typo is mended into one."""
        sense = self.words.get(word)
        return sense is not None and sense.kind == "appliance" and not sense.concept.startswith("family:")

    def telling(self) -> set[str]:
        """All single words that say something: worth correcting a typo to."""
        return {*self.words, *chain.from_iterable(self.phrases), *self.tags}


def _fold(phrase: str) -> str:
    folded = fold(phrase)[0].lower().replace("'", "").replace("-", " ")
    words = folded.split()
    kept = [w for w in words if w not in DROPPED]
    return " ".join(kept if len(kept) > 1 else words)


def _parts(phrase: str) -> tuple[str, ...]:
    """The words of a phrase, each kept once: most stand in many phrases."""
    return tuple(map(intern, phrase.split()))


@cache
def data(name: str) -> Any:
    """The content of one data file of this package."""
    node = nodes_of(files("bot.language").joinpath("data", f"{name}.yaml").read_text("utf-8"))
    return plain(node) if node is not None else {}


def words_of(name: str) -> frozenset[str]:
    """The words of one plain list of this package."""
    return frozenset(files("bot.language").joinpath("data", f"{name}.txt").read_text("utf-8").split())


@cache
def lexicon() -> Lexicon:
    """The lexicon that comes with the program."""
    made = Lexicon(stopwords=words_of("stopwords"), common=words_of("common"))
    tags: dict[str, set[str]] = {}
    for concept, phrases in data("grammar").items():
        for phrase in map(_fold, phrases):
            tags.setdefault(phrase, set()).add(concept)
            if " " in phrase:
                made.add(_parts(phrase), Sense(concept, "grammar"))
    made.tags = {phrase: frozenset(found) for phrase, found in tags.items()}
    _add_appliances(made)
    for name, kind in _FILES:
        for concept, phrases in data(name).items():
            made.add_concept(concept, kind, [str(p) for p in phrases])
    made.implies = {a: tuple((b, float(p)) for b, p in pairs) for a, pairs in data("implies").items()}
    return made


def _add_appliances(made: Lexicon) -> None:
    """Names of machines stand for 'family:x', 'handoff:x' or 'foreign:it'. Single names go before other senses."""
    names = data("appliances")
    groups = [(f"family:{f}", w) for f, w in names["families"].items()]
    groups += [(f"handoff:{f}", w) for f, w in names["handoff"].items()]
    for concept, phrases in [*groups, ("foreign:it", names["foreign"])]:
        for phrase in map(_fold, phrases):
            part = PARTS.get(concept) if phrase in names["parts"] else None
            sense = Sense(part, "thing") if part else Sense(concept, "appliance")
            made.add(_parts(phrase), sense)
            if phrase[-1] in "er":
                made.add(_parts(phrase + "s"), sense)
    made.kinds.update(dict.fromkeys(PARTS.values(), "thing"))
