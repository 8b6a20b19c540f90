"""Phrases that mean two things: heard by the same language that hears a tech, within a family and between families."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from bot.authoring.remarks import Remark
from bot.language.index import Index
from bot.language.patterns import keys_of
from knowledge.schema import Complaint, Pack
from knowledge.source import Place

Heard = frozenset[str]
"""The keys that a phrase comes down to: what is left of it when word order, endings and filler are gone."""
Meaning = tuple[str, str]
"""'says' or 'works', and the complaint."""


def collisions(index: Index, packs: dict[str, Pack]) -> Iterator[Remark]:
    """The same meaning under two complaints of a family, or under one here and another there."""
    heard = {family: _heard(index, pack) for family, pack in packs.items()}
    for family, phrases in heard.items():
        yield from _within(family, phrases)
    yield from _between(packs, heard)


def _heard(index: Index, pack: Pack) -> dict[Heard, dict[Meaning, tuple[str, Place]]]:
    found: dict[Heard, dict[Meaning, tuple[str, Place]]] = defaultdict(dict)
    for key, complaint in pack.complaints.items():
        for how, group, phrase in _phrases(complaint):
            keys = keys_of(index.parse(phrase))
            if keys and keys != {"ok"}:
                kind = "says" if group == "phrases" else "works"
                found[keys].setdefault((kind, key), (phrase, ("complaints", key, group, how)))
    return found


def _phrases(complaint: Complaint) -> Iterator[tuple[str, str, str]]:
    for group, said in (("phrases", complaint.phrases), ("works_phrases", complaint.works_phrases)):
        for language, phrases in said.items():
            for phrase in phrases:
                yield language, group, phrase


def _within(family: str, phrases: dict[Heard, dict[Meaning, tuple[str, Place]]]) -> Iterator[Remark]:
    for meanings in phrases.values():
        if len(meanings) < 2:
            continue
        (first, (said, place)), *others = meanings.items()
        for other, (also, there) in others:
            if first[0] == other[0] == "works":
                continue  # one remark may clear two complaints at once
            yield Remark(family, there, "collision",
                         f"'{also}' ({other[0]} {other[1]}) is heard like '{said}' ({first[0]} {first[1]})",
                         "keep it where it is meant more often, or add the word that makes the difference",
                         (("complaints", first[1]), ("complaints", other[1]), place))


def _between(packs: dict[str, Pack],
             heard: dict[str, dict[Heard, dict[Meaning, tuple[str, Place]]]]) -> Iterator[Remark]:
    """Only where both families have both complaints: then one of them files the phrase wrongly."""
    families = list(packs)
    for i, one in enumerate(families):
        for other in families[i + 1:]:
            for keys in heard[one].keys() & heard[other].keys():
                for kind in ("says", "works"):
                    here = {c: v for (k, c), v in heard[one][keys].items() if k == kind}
                    there = {c: v for (k, c), v in heard[other][keys].items() if k == kind}
                    if here.keys() & there.keys() or not here or not there:
                        continue
                    a, b = next(iter(here)), next(iter(there))
                    if b in packs[one].complaints and a in packs[other].complaints:
                        phrase, place = there[b]
                        yield Remark(other, place, "collision",
                                     f"'{phrase}' means '{b}' here and '{a}' in {one} ('{here[a][0]}')",
                                     "file it alike in both, or add the word that makes the difference",
                                     (("complaints", b),))
