"""Packs with folders laid on top, for the commands of a pack's author."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

if TYPE_CHECKING:
    from knowledge.loader import Loaded

FOLDER: Final = click.Path(exists=True, file_okay=False, path_type=Path)
FILE: Final = click.Path(exists=True, dir_okay=False, path_type=Path)
BROKEN: Final = ": left out, its pack has errors (see chargehand knowledge check)"


def laid(folders: Sequence[Path]) -> Loaded:
    """Our packs with `folders` on top. Raises click.ClickException for a folder without packs."""
    from knowledge.loader import layer, load  # noqa: PLC0415

    for folder in folders:
        if not layer(folder):
            raise click.ClickException(f"no packs in {folder}: it holds neither *.yaml nor folders with *.yaml (files "
                                       "that end in .yml are not read)")
    return load(folders)


def usable(loaded: Loaded, family: str) -> str:
    """`family` if it could be loaded. Raises click.ClickException with the nearest name, or why it is left out."""
    from knowledge.source import nearest  # noqa: PLC0415

    known = loaded.knowledge.packs
    if family in known:
        return family
    hint = BROKEN if family in loaded.trees else nearest(family, known, f": known are {', '.join(known)}")
    raise click.ClickException(f"no family '{family}'{hint}")
