"""Knowledge releases: what was compiled from the packs, kept in the data folder under the hash of its content.

    releases/<id>.json         everything a release holds, validated, in the packs' own order; id = hash of this text
    releases/from-<key>.json   the id that came of certain pack files, and what the loader noticed about them

`key` hashes the bytes of every pack file, ours and the overlay's, and of the schema's source. As long as nothing of
that changed, the release is read from its JSON instead of the YAML; a changed byte is another key, so what is read
can never be stale. A job stays on the release that it began with.

What was learned from confirmed visits, and is in force, lies on top of today's packs: another content, another release.
"""

from __future__ import annotations

import gc
import json
import logging
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Final, Protocol

from pydantic import ValidationError

import knowledge
from bot.conversation.release import Release, compile_release
from bot.store.photos import write_whole
from knowledge.learned import Learned, lay_over
from knowledge.loader import load, packs_folder
from knowledge.schema import Knowledge

log = logging.getLogger(__name__)

KEPT: Final = 4
"""Compiled releases kept in memory."""


@dataclass(frozen=True, slots=True)
class Prepared:
    """Today's knowledge, ready to compile. `notes`: what the loader noticed, as text."""

    id: str
    knowledge: Knowledge
    notes: tuple[str, ...]
    errors: tuple[str, ...] = ()
    """Those of the notes that kept something out."""

    @classmethod
    def of(cls, known: Knowledge, notes: tuple[str, ...] = (), errors: tuple[str, ...] = ()) -> Prepared:
        """Knowledge that has no kept form yet."""
        return cls(release_id(dump_release(known)), known, notes, errors)


def prepare(folder: Path, overlays: Sequence[Path] = ()) -> Prepared:
    """Today's knowledge, from its kept form if there is one in `folder`, which gets one otherwise."""
    key = source_key(overlays)
    kept = _kept(folder, key)
    if kept is not None:
        return kept
    loaded = load(overlays)
    prepared = Prepared.of(loaded.knowledge, tuple(str(finding) for finding in loaded.findings),
                           tuple(str(finding) for finding in loaded.errors))
    try:
        write_whole(folder / f"{prepared.id}.json", dump_release(prepared.knowledge).encode())
        write_whole(folder / f"from-{key}.json", json.dumps({
            "id": prepared.id, "notes": prepared.notes, "errors": prepared.errors}).encode())
    except OSError as error:
        log.warning("the compiled knowledge could not be kept in %s (%s): it is read anew next time", folder, error)
    return prepared


def source_key(overlays: Sequence[Path] = ()) -> str:
    """A hash of all that knowledge is made of: pack files with their places, and the code that reads them."""
    found = sha256()
    code = Path(knowledge.__file__).parent
    for number, root in enumerate((packs_folder(), *overlays, code)):
        pattern = "*.py" if root == code else "**/*.yaml"
        for file in sorted(root.glob(pattern)):
            content = file.read_bytes()
            place = Path(root.resolve().name) / file.relative_to(root)  # a folder of one family is known by its name
            found.update(f"{number}/{place}/{len(content)}\n".encode())
            found.update(content)
    return found.hexdigest()[:32]


def dump_release(known: Knowledge) -> str:
    """The release's text. Keys stay in the packs' order, which is the order that people see."""
    return json.dumps({"format": 1, "knowledge": known.model_dump(mode="json", by_alias=True)},
                      ensure_ascii=False, separators=(",", ":"))


def load_release(text: str) -> Knowledge:
    """The knowledge of `dump_release`. Raises ValueError (pydantic's among them) if it cannot be read."""
    head, tail = '{"format":1,"knowledge":', "}"
    if not (text.startswith(head) and text.endswith(tail)):
        raise ValueError("not a knowledge release of a known format")
    return Knowledge.model_validate_json(text[len(head):-len(tail)])


def release_id(text: str) -> str:
    """The id of a release with this text."""
    return sha256(text.encode()).hexdigest()[:32]


def _kept(folder: Path, key: str) -> Prepared | None:
    try:
        link = json.loads((folder / f"from-{key}.json").read_text(encoding="utf-8"))
        return _read(folder / f"{link['id']}.json", link["id"], tuple(link["notes"]), tuple(link["errors"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _read(file: Path, wanted: str, notes: tuple[str, ...] = (), errors: tuple[str, ...] = ()) -> Prepared | None:
    """The knowledge in the file, if it is whole and can be read by this version of the program."""
    try:
        text = file.read_text(encoding="utf-8")
        return Prepared(wanted, load_release(text), notes, errors) if release_id(text) == wanted else None
    except (OSError, ValidationError, ValueError) as error:
        log.warning("release %s cannot be read: %s", wanted, type(error).__name__)
        return None


def with_learned(base: Prepared, text: str) -> Prepared:
    """The packs with what was learned on top. Raises ValueError if its text cannot be read."""
    return Prepared.of(lay_over(base.knowledge, Learned.model_validate_json(text)), base.notes)


class LearnedSource(Protocol):
    """Who knows what was learned and is in force (the store)."""

    def learned_in_force(self) -> int:
        """Its number; 0 for none. Cheap: it is asked at each message."""

    def learned(self, number: int) -> str | None:
        """Its text."""


class Releases:
    """The releases of a data folder, compiled once each. Safe to use from any thread.

    `learned`: where to look for what was learned; None leaves the packs as they are.
    """

    def __init__(self, folder: Path, today: Prepared, *,
                 compiled: Callable[[str, Knowledge], Release] = compile_release, learned: LearnedSource | None = None,
                 noted: Callable[[Release], None] = lambda _: None) -> None:
        self._folder = folder
        self._compile = compiled
        self._base = today
        self._learned = learned
        self._noted = noted
        self._lock = threading.Lock()
        self._missing: set[str] = set()
        self._ready: dict[str, Release] = {}
        self._in_force = learned.learned_in_force() if learned is not None else 0
        self._current = self._begun(self._laid(self._in_force))

    @property
    def current(self) -> Release:
        """Today's release: new jobs begin on it. What was applied or undone meanwhile counts from the next job on."""
        if self._learned is None:
            return self._current
        number = self._learned.learned_in_force()
        with self._lock:
            if number != self._in_force:
                try:
                    self._current, self._in_force = self._begun(self._laid(number)), number
                except OSError as error:
                    log.warning("a release could not be kept in %s (%s): the former one goes on", self._folder, error)
            return self._current

    def _laid(self, number: int) -> Prepared:
        """Today's packs with what was learned under that number, if there is any and it can be read."""
        if self._learned is None or not number:
            return self._base
        text = self._learned.learned(number)
        try:
            return with_learned(self._base, text or "")
        except ValueError as error:
            log.warning("what was learned (number %d) cannot be read, the packs hold: %s", number, type(error).__name__)
            return self._base

    def _begun(self, today: Prepared) -> Release:
        """The release, compiled and kept in the folder: jobs that begin on it must find it again."""
        file = self._folder / f"{today.id}.json"
        if not file.exists():
            write_whole(file, dump_release(today.knowledge).encode())
        if today.id not in self._ready:
            self._ready[today.id] = self._compile(today.id, today.knowledge)
            gc.freeze()  # a release is large and stays: it is not searched for garbage at every message
        self._missing.discard(today.id)
        self._noted(self._ready[today.id])
        return self._ready[today.id]

    def get(self, release: str) -> Release | None:
        """The release of that id; None if it is not there or this version of the program cannot read it."""
        with self._lock:
            if release in self._ready:
                self._ready[release] = self._ready.pop(release)
                return self._ready[release]
            if release in self._missing:
                return None
            found = _read(self._folder / f"{release}.json", release)
            if found is None:
                self._missing.add(release)
                return None
            self._ready[release] = self._compile(release, found.knowledge)
            while len(self._ready) > KEPT:
                oldest = next(key for key in self._ready if key != self._current.id)
                del self._ready[oldest]
            return self._ready[release]
