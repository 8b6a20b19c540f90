"""Everything the checker looks for beyond the pack's structure: a quick part, and a deep one that takes minutes."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from bot.authoring.cautions import cautions
from bot.authoring.remarks import KINDS, Remark, explained, in_order, unknown_kinds
from bot.authoring.rows import rows
from bot.authoring.watched import watched
from bot.authoring.wording import wording
from knowledge.loader import Loaded


@dataclass(frozen=True, slots=True)
class Review:
    """Remarks by family, file and line: those that are open, and those that a note explains."""

    open: tuple[Remark, ...]
    explained: tuple[Remark, ...]


def review(loaded: Loaded, *, deep: bool = False, families: Collection[str] = (),
           told: Callable[[str, str], None] = lambda family, what: None) -> Review:
    """Look through the loaded packs, or through some `families` of them.

    `deep` adds what takes language and diagnosis; `told` hears the family and what is being looked at meanwhile.
    """
    chosen = [family for family in loaded.knowledge.packs if not families or family in families]
    remarks = [remark for family in chosen for remark in _quick(loaded, family)]
    if deep:
        remarks += _deep(loaded, chosen, told)
    packs = loaded.knowledge.packs
    ordered = in_order(dict.fromkeys(remarks), loaded.trees)
    kept = [explained(packs[remark.family], remark) for remark in ordered]
    return Review(tuple(r for r, k in zip(ordered, kept, strict=True) if not k),
                  tuple(r for r, k in zip(ordered, kept, strict=True) if k))


def _quick(loaded: Loaded, family: str) -> Iterator[Remark]:
    pack = loaded.knowledge.packs[family]
    for place, kind in unknown_kinds(pack):
        yield Remark(family, place, "wording", f"the note keeps '{kind}', which is no kind of remark",
                     f"write one of {', '.join(KINDS)}")
    for look in (wording, cautions, rows, watched):
        yield from look(pack)


def _deep(loaded: Loaded, families: Collection[str], told: Callable[[str, str], None]) -> Iterator[Remark]:
    from bot.authoring.phrases import collisions  # noqa: PLC0415  the quick part starts without language
    from bot.authoring.sureness import alike  # noqa: PLC0415
    from bot.authoring.walks import unreachable_and_unused  # noqa: PLC0415
    from bot.authoring.worth import idle_and_double  # noqa: PLC0415
    from bot.diagnosis.compiled import compile_pack  # noqa: PLC0415
    from bot.language.index import build_index  # noqa: PLC0415

    known = loaded.knowledge
    told("all families", "phrases")
    yield from (r for r in collisions(build_index(known), known.packs) if r.family in families)
    for family in families:
        model = compile_pack(known.packs[family])
        told(family, "how sure one gets")
        yield from alike(model)
        told(family, "what checks are worth")
        yield from idle_and_double(model)
        yield from unreachable_and_unused(model, lambda fault, at=family: told(at, fault))  # type: ignore[misc]
