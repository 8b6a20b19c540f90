"""The packs for commands that work without a database, and what to say where a family has none."""

from __future__ import annotations

import gc
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from adapters.commands.jsonl import BadLineError

if TYPE_CHECKING:
    from bot.diagnosis.compiled import Model
    from bot.language.index import Index
    from knowledge.loader import Loaded
    from knowledge.schema import Knowledge


@cache
def packs() -> Knowledge:
    """All usable packs. What is read from the YAML is kept in the user's cache, for the next start."""
    from platformdirs import user_cache_path  # noqa: PLC0415

    from bot.service.releases import prepare  # noqa: PLC0415

    return prepare(user_cache_path("chargehand") / "releases").knowledge


def knowledge_of(folders: tuple[Path, ...] = ()) -> Knowledge:
    """All usable packs, with `folders` on top. Raises click.ClickException for a folder without packs."""
    return _laid(folders).knowledge if folders else packs()


@cache
def _laid(folders: tuple[Path, ...]) -> Loaded:
    from adapters.commands.layered import laid  # noqa: PLC0415

    return laid(folders)


@cache
def index() -> Index:
    """What understanding is built on."""
    from bot.language.index import build_index  # noqa: PLC0415

    made = build_index(packs())
    gc.freeze()  # what is built once is not searched for garbage at every line
    return made


@cache
def model(family: str, folders: tuple[Path, ...] = ()) -> Model:
    """The compiled model of a family. Raises BadLineError where there is no usable pack."""
    from bot.diagnosis.compiled import compile_pack  # noqa: PLC0415

    return compile_pack(knowledge_of(folders).packs[known_family(family, folders)])


def known_family(family: str, folders: tuple[Path, ...] = ()) -> str:
    """`family` if it has a usable pack. Raises BadLineError with the nearest name, or why it was left out."""
    from knowledge.loader import layer, packs_folder  # noqa: PLC0415
    from knowledge.source import nearest  # noqa: PLC0415

    known = knowledge_of(folders).packs
    if family in known:
        return family
    if any(family in layer(folder) for folder in (packs_folder(), *folders)):
        raise BadLineError(f"family '{family}' is left out, its pack has errors: see chargehand knowledge check")
    raise BadLineError(f"no family '{family}'{nearest(family, known, ': known are ' + ', '.join(known))}")
