"""What the checker has to say of a pack: where, what kind of weakness, and what to do about it.

A remark that an author has thought about and leaves is explained in the note of its entry, after the words
`Kept (<kind>):`, e.g. `note: "Kept (alike): only trying the part tells them apart."`. It is then counted, not shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from knowledge.schema import Pack
from knowledge.source import Finding, Place, Tree

Kind = str
KINDS: Final[Mapping[Kind, str]] = {
    "wording": "a question or card that reads badly on a phone",
    "caution": "a step that can hurt, without its caution",
    "likelihood": "likelihoods that say nothing, too much, or against a band",
    "contradiction": "a fault and a check that say different things of one complaint",
    "presumes": "a check asked where the complaint has answered it already",
    "collision": "one phrase for two meanings",
    "alike": "faults that no check tells apart",
    "idle": "a check that settles nothing",
    "double": "a check that tells what a cheaper one tells",
    "unreachable": "a repair that no answers lead to",
    "unused": "a check that the planner never chose",
}
"""Kind -> what it is, for the help and the documents."""

_KEPT: Final = re.compile(r"\bKept \(([a-z, ]+)\): \S")


@dataclass(frozen=True, slots=True)
class Remark:
    """A weakness at a place of one family's pack. `also`: other entries whose note may explain it."""

    family: str
    place: Place
    kind: Kind
    message: str
    proposal: str
    also: tuple[Place, ...] = ()

    def finding(self, tree: Tree) -> Finding:
        """As the loader tells what it finds: a warning with file and line."""
        return Finding(tree.spot(self.place), f"{self.message}: {self.proposal}", error=False)


def explained(pack: Pack, remark: Remark) -> bool:
    """Whether the note of the remark's entry (or of one in `also`) says why it stays."""
    return any(kept(pack, place, remark.kind) for place in (remark.place, *remark.also))


def kept(pack: Pack, place: Place, kind: Kind) -> bool:
    """Whether the note of an entry says why a weakness of that kind stays."""
    return kind in _kept(_note(pack, place))


def _kept(note: str) -> set[str]:
    return {kind.strip() for found in _KEPT.finditer(note) for kind in found[1].split(",")}


def _note(pack: Pack, place: Place) -> str:
    section = place[0] if place else "family"
    if section == "family":
        return pack.family.note
    entries: Mapping[str, Any] = getattr(pack, str(section), {})
    entry = entries.get(str(place[1])) if len(place) > 1 else None
    note = str(getattr(entry, "note", ""))
    inner = getattr(entry, "repair", None)
    return f"{note} {getattr(inner, 'note', '')}"


def unknown_kinds(pack: Pack) -> Iterator[tuple[Place, str]]:
    """Places whose note keeps a kind that does not exist: a slip of the pen that would explain nothing."""
    places: list[Place] = [("family",), *((s, k) for s in ("complaints", "faults", "repairs", "checks")
                                          for k in getattr(pack, s))]
    for place in places:
        for kind in sorted(_kept(_note(pack, place)) - set(KINDS)):
            yield place, kind


def in_order(remarks: Iterable[Remark], trees: Mapping[str, Tree]) -> list[Remark]:
    """By family, file and line."""
    def key(remark: Remark) -> tuple[str, str, int, str]:
        spot = trees[remark.family].spot(remark.place)
        return remark.family, str(spot.file), spot.line, remark.message

    return sorted(remarks, key=key)


