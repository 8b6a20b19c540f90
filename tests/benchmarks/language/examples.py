"""Labelled messages and the packs' phrases as examples to learn from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from bot.language.complaints.beside_danger import without_dangers
from bot.language.complaints.frames import sayings
from bot.language.complaints.talk import talk_in
from bot.language.dangers.hazards import dangers_of, in_context
from bot.language.index import Index
from bot.language.learned.order import Placed, placed
from bot.language.learned.traits import Traits
from bot.language.machine.family import KINDS, WASHERS, machine_of
from bot.language.parsed import parse, traits_in
from tests.language.labelled_set import OPEN, rows

_WASHER: Final = "family:washer"


@dataclass(frozen=True)
class Example:
    """One message or phrase: what it is weighed by, and what it says."""

    text: str
    family: str
    """'' where neither the text nor anybody tells."""
    traits: Traits
    said: Sequence[Placed]
    clauses: int
    scope: bool
    lost: bool
    heard: bool
    """False for what understanding turns away before it weighs anything."""
    present: frozenset[str]
    absent: frozenset[str]
    forgiven: frozenset[str]
    """Meanings that may be heard without harm: nothing is learned from them."""
    aside: bool
    """No trouble of a machine is told."""
    handed_over: bool
    hazards: frozenset[str | None]
    """The hazard told, or those that may be heard besides; None among them where none need be."""
    guessed: bool
    """The family is one of two that it may be: nothing is learned of which."""
    whole: bool
    """False for a phrase: it stands for one meaning and says nothing of others that are denied."""

    @property
    def meanings(self) -> list[str]:
        """What is reported and denied."""
        return [*(f"complaint:{name}" for name in self.present), *(f"denied:{name}" for name in self.absent)]

    def truth(self, meaning: str) -> bool | None:
        """Whether a complaint is reported or denied here; None where it is forgiven."""
        kind, _, name = meaning.partition(":")
        if name in (self.present if kind == "complaint" else self.absent):
            return True
        return None if meaning in self.forgiven else False

    def says(self, index: Index, meaning: str) -> bool | None:
        """Whether this is an example of a meaning; None where it teaches nothing about it."""
        kind, _, name = meaning.partition(":")
        if kind == "scope":
            return None if self.handed_over else self.aside
        if kind == "family":
            return None if self.guessed else self.family == name
        if kind == "hazard":
            return None if not self.whole or (len(self.hazards) > 1 and name in self.hazards) else name in self.hazards
        if self.family in index.tables and name not in index.knowledge.packs[self.family].complaints:
            return None
        truth = self.truth(meaning)
        return None if truth is False and kind == "denied" and not self.whole else truth


def from_messages(index: Index) -> list[Example]:
    """The open labelled messages; after each of 'the washer', the same of either washer."""
    return [example for name in OPEN for row in rows(name) for example in either(index, from_row(index, row))]


def either(index: Index, example: Example) -> Iterator[Example]:
    """A message; where it says washer, and no more, also as one of each family that has what it tells."""
    yield example
    told = example.present | example.absent
    if not example.family and told and _WASHER in {name.partition("=")[0] for name in example.traits.names}:
        for family in WASHERS:
            if told <= index.knowledge.packs[family].complaints.keys():
                yield replace(example, family=family, heard=False, guessed=True)


def from_row(index: Index, row: dict[str, Any]) -> Example:
    """One labelled message, read as understanding reads it when the family is known."""
    parsed = parse(index, row["text"])
    expect, also = row["expect"], row.get("also_ok", {})
    family = row["family"] or expect["family"] or ""
    machine = machine_of(index, parsed.units, parsed.clauses)
    talk = talk_in([w for w in parsed.words if w[0].isalnum()])
    known = family if family in index.tables else None
    dangers = in_context(dangers_of(parsed.tokens, parsed.words, parsed.clauses), known, parsed.clauses, parsed.words)
    clauses = without_dangers(parsed.clauses, dangers)
    forgiven = {f"complaint:{c}" for c in also.get("complaints", ())} | {f"denied:{c}" for c in also.get("denied", ())}
    turned_away = bool(machine.handoff and (not known or known in KINDS.get(machine.handoff, ())))
    return Example(
        row["text"], family, traits_in(parsed, clauses), placed(parsed),
        len(parsed.clauses), talk.scope,
        not (row["family"] or machine.named), not (turned_away or (talk.instruct and not dangers)),
        frozenset(expect["complaints"]), frozenset(expect["denied"]), frozenset(forgiven),
        expect["out_of_scope"], bool(expect["handoff_only"]),
        frozenset({expect["hazard"], *(None if h == "null" else h for h in also.get("hazard", ()))}), False, True)


def from_phrases(index: Index) -> list[Example]:
    """What authors wrote that people say of each complaint."""
    made: list[Example] = []
    for family, pack in index.knowledge.packs.items():
        for complaint, entry in pack.complaints.items():
            more = sayings().get(family, {}).get(complaint, ())
            for side, groups in (("complaints", [*entry.phrases.values(), more]),
                                 ("denied", list(entry.works_phrases.values()))):
                for phrase in sorted({p for group in groups for p in group}):
                    parsed = parse(index, phrase)
                    here = frozenset({complaint})
                    made.append(Example(
                        phrase, family, traits_in(parsed, parsed.clauses), placed(parsed),
                        len(parsed.clauses), False, False, True, here if side == "complaints" else frozenset(),
                        here if side == "denied" else frozenset(), frozenset(), False, False,
                        frozenset(), False, False))
    return made


def from_text(index: Index, family: str, text: str) -> Example:
    """A message of a machine that nobody labelled."""
    parsed = parse(index, text)
    return Example(text, family, traits_in(parsed, parsed.clauses), placed(parsed),
                   len(parsed.clauses), False, False, True, frozenset(), frozenset(), frozenset(), False, False,
                   frozenset(), False, True)
