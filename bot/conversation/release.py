"""A knowledge release: packs with what was compiled from them, under the hash of their content."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bot.diagnosis.compiled import Model, compile_pack
from bot.language.index import Index, build_index
from knowledge.schema import Knowledge


@dataclass(frozen=True)
class Release:
    """Packs, the compiled diagnosis models and the language index. Immutable and shared by all jobs on it."""

    id: str
    knowledge: Knowledge
    models: Mapping[str, Model]
    index: Index


def compile_release(release_id: str, knowledge: Knowledge) -> Release:
    """Everything a step needs of `knowledge`, made once."""
    models = {name: compile_pack(pack) for name, pack in knowledge.packs.items()}
    return Release(release_id, knowledge, models, build_index(knowledge))
