"""A knowledge release: packs with what was compiled from them, under the hash of their content."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bot.diagnosis.compiled import Model, compile_pack
from bot.language.index import Index, build_index
from knowledge.schema import Knowledge, Pack


@dataclass(frozen=True)
class Release:
    """Packs, the diagnosis models made of them and the language index. Immutable and shared by all jobs on it."""

    id: str
    knowledge: Knowledge
    models: Mapping[str, Model]
    index: Index


class Models(Mapping[str, Model]):
    """The model of each family, compiled when a job first asks for it: a start waits for none. Safe from any thread."""

    def __init__(self, packs: Mapping[str, Pack]) -> None:
        self._packs = packs
        self._made: dict[str, Model] = {}
        self._lock = threading.Lock()

    def __getitem__(self, family: str) -> Model:
        with self._lock:
            if family not in self._made:
                self._made[family] = compile_pack(self._packs[family])
            return self._made[family]

    def __contains__(self, family: object) -> bool:
        return family in self._packs

    def __iter__(self) -> Iterator[str]:
        return iter(self._packs)

    def __len__(self) -> int:
        return len(self._packs)


def compile_release(release_id: str, knowledge: Knowledge) -> Release:
    """Everything a step needs of `knowledge`, made once."""
    return Release(release_id, knowledge, Models(knowledge.packs), build_index(knowledge))
