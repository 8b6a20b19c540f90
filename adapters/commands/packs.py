"""The packs for commands that work without a database, and what to say where a family has none."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from adapters.commands.jsonl import BadLineError

if TYPE_CHECKING:
    from bot.diagnosis.compiled import Model
    from knowledge.loader import Loaded


@cache
def loaded() -> Loaded:
    """All packs, read once a run."""
    from knowledge.loader import load  # noqa: PLC0415

    return load()


@cache
def model(family: str) -> Model:
    """The compiled model of a family. Raises BadLineError where there is no usable pack."""
    from bot.diagnosis.compiled import compile_pack  # noqa: PLC0415

    return compile_pack(loaded().knowledge.packs[known_family(family)])


def known_family(family: str) -> str:
    """`family` if it has a usable pack. Raises BadLineError with the nearest name, or why it was left out."""
    from knowledge.source import nearest  # noqa: PLC0415

    packs = loaded().knowledge.packs
    if family in packs:
        return family
    if family in loaded().trees and family != "common":
        raise BadLineError(f"family '{family}' is left out, its pack has errors: see chargehand knowledge check")
    raise BadLineError(f"no family '{family}'{nearest(family, packs, ': known are ' + ', '.join(packs))}")
