"""Phrases that mean two things: heard by the same language that hears a tech, within a family and between families."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from bot.authoring.remarks import Remark
from bot.language.complaints.patterns import keys_of
from bot.language.index import Index
from bot.language.understand import understand
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
        yield from _within(index, family, phrases)
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


def _within(index: Index, family: str, phrases: dict[Heard, dict[Meaning, tuple[str, Place]]]) -> Iterator[Remark]:
    """Of the phrases that come down to the same, those that are then not heard as what they mean."""
    for meanings in phrases.values():
        if len(meanings) < 2 or all(kind == "works" for kind, _ in meanings):
            continue  # one remark may clear two complaints at once
        for (kind, complaint), (phrase, place) in meanings.items():
            heard = _meanings(index, family, phrase)
            if (kind, complaint) in heard:
                continue
            others = [item for item in meanings.items() if item[0] != (kind, complaint)]
            (other_kind, other), (said, _) = next((item for item in others if item[0] in heard), others[0])
            how = "is heard like" if (other_kind, other) in heard else "is not heard: it comes down to the same as"
            yield Remark(family, place, "collision",
                         f"'{phrase}' ({kind} {complaint}) {how} '{said}' ({other_kind} {other})",
                         "take it out, or add the word that makes the difference",
                         (("complaints", complaint), ("complaints", other)))


def _meanings(index: Index, family: str, phrase: str) -> set[Meaning]:
    """All that is heard in a phrase."""
    meaning = understand(index, phrase, family)
    return {("works", c) for c in meaning.denied} | {("says", guess.id) for guess in meaning.complaints}


def _between(packs: dict[str, Pack],
             heard: dict[str, dict[Heard, dict[Meaning, tuple[str, Place]]]]) -> Iterator[Remark]:
    """The same words, where both families have both complaints: then one of them files them wrongly."""
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
                    phrase, place = there[b]
                    same = phrase.lower() == here[a][0].lower()
                    if same and b in packs[one].complaints and a in packs[other].complaints:
                        yield Remark(other, place, "collision",
                                     f"'{phrase}' means '{b}' here and '{a}' in {one} ('{here[a][0]}')",
                                     "file it alike in both, or add the word that makes the difference",
                                     (("complaints", b),))
