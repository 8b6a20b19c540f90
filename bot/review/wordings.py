"""Adding a wording to the firm's own pack: what it may mean, what it would change, writing it, taking it back.

A meaning is written as the traces write it: `complaint:no_spin`, `denied:no_spin` (it works),
`result:belt_grip=dry_slip`. The overlay's file is made from the wordings that stand in the store, whole each time, so
that taking one back leaves nothing behind; it adds to the lists of the packs below it and replaces none of them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from secrets import token_hex
from typing import Any, Final

import yaml

from bot.conversation.effects import Audit
from bot.language.index import Index, build_index
from bot.language.meaning import Meaning
from bot.language.understand import understand
from bot.review.naming import Names
from bot.store.errors import RefusedError
from bot.store.folder import OVERLAY
from bot.store.photos import write_whole
from bot.store.review import ReviewStore
from bot.store.review_rows import Asked, Wording
from knowledge.schema import Knowledge, Pack

FILE: Final = "wordings.yaml"
LONGEST: Final = 120
COMPARED: Final = 1500
"""The newest stored messages that a preview reads."""
HEAD: Final = "# Wordings added on the owner's pages. This file is written whole by the program: change them there.\n"


@dataclass(frozen=True, slots=True)
class Choice:
    """A meaning that can be chosen, with the words for it and the heading that it stands under."""

    meaning: str
    name: str
    heading: str


@dataclass(frozen=True, slots=True)
class Change:
    """A stored message that would be understood otherwise."""

    message: Asked
    before: tuple[str, ...]
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """The effect on the firm's own messages: what changes, of how many that were read."""

    changes: tuple[Change, ...]
    read: int


def choices(pack: Pack) -> tuple[Choice, ...]:
    """All meanings of a family that a phrase can have."""
    found = [Choice(f"complaint:{key}", entry.says, "What it does") for key, entry in pack.complaints.items()]
    found += [Choice(f"denied:{key}", entry.works, "What works") for key, entry in pack.complaints.items()]
    found += [Choice(f"result:{key}={result}", entry.says, f"Answer to: {check.name}")
              for key, check in pack.checks.items() for result, entry in check.results.items()]
    return tuple(found)


def checked(pack: Pack | None, family: str, meaning: str, phrase: str) -> str:
    """The phrase as it will be kept. Raises RefusedError if it, the family or the meaning will not do."""
    tidy = " ".join("".join(c if c.isprintable() else " " for c in phrase.lower()).split())
    if pack is None:
        raise RefusedError(f"no such family: {family}")
    if meaning not in {choice.meaning for choice in choices(pack)}:
        raise RefusedError("choose what it means")
    if not any(c.isalpha() for c in tidy) or len(tidy) < 3:
        raise RefusedError("a wording needs at least three letters")
    if len(tidy) > LONGEST:
        raise RefusedError(f"a wording has at most {LONGEST} letters: keep the few words that carry the meaning")
    return tidy


def with_phrase(known: Knowledge, family: str, meaning: str, phrase: str, language: str = "en") -> Knowledge:
    """The knowledge as it would be with that phrase."""
    pack = known.packs[family]
    kind, _, what = meaning.partition(":")

    def longer(phrases: dict[Any, tuple[str, ...]]) -> dict[Any, tuple[str, ...]]:
        return {**phrases, language: (*phrases.get(language, ()), phrase)}

    if kind == "result":
        check, _, result = what.partition("=")
        entry = pack.checks[check]
        new = entry.results[result].model_copy(update={"phrases": longer(entry.results[result].phrases)})
        results = {**entry.results, result: new}
        changed = pack.model_copy(update={
            "checks": {**pack.checks, check: entry.model_copy(update={"results": results})}})
    else:
        field = "phrases" if kind == "complaint" else "works_phrases"
        complaint = pack.complaints[what]
        new_complaint = complaint.model_copy(update={field: longer(getattr(complaint, field))})
        changed = pack.model_copy(update={"complaints": {**pack.complaints, what: new_complaint}})
    return known.model_copy(update={"packs": {**known.packs, family: changed}})


def preview(store: ReviewStore, known: Knowledge, family: str, meaning: str, phrase: str) -> Preview:
    """Which of the newest stored messages of the family would be understood otherwise, and how."""
    one = known.model_copy(update={"packs": {family: known.packs[family]}})
    before, after = build_index(one), build_index(with_phrase(one, family, meaning, phrase))
    names = Names(known)
    read = store.typed(family, COMPARED)
    changes = []
    for message in read:
        was, will = (_heard(index, message.text, family, names) for index in (before, after))
        if was != will:
            changes.append(Change(message, was, will))
    return Preview(tuple(changes), len(read))


def _heard(index: Index, text: str, family: str, names: Names) -> tuple[str, ...]:
    heard: Meaning = understand(index, text[:2000], family=family)
    found = [names.complaint(family, guess.id) for guess in heard.complaints]
    found += [names.complaint(family, key, works=True) for key in heard.denied]
    found += [f"{names.check(family, r.check)}: {names.result(family, r.check, r.result)}" for r in heard.results]
    return tuple(found)


def add(store: ReviewStore, known: Knowledge, family: str, meaning: str, phrase: str, person: str | None,
        now: datetime, *, check: Callable[[Path], Sequence[str]]) -> Wording:
    """Keep a wording and write the overlay. Raises RefusedError; then nothing was kept.

    `check` loads the packs with the overlay and returns what is wrong with them.
    """
    phrase = checked(known.packs.get(family), family, meaning, phrase)
    if any(w.family == family and w.phrase == phrase and w.meaning == meaning for w in store.wordings()):
        raise RefusedError("that wording is there already")
    new = Wording(token_hex(10), family, meaning, "en", phrase, person, now)
    overlay = store.folder / OVERLAY
    write_overlay(overlay, [*store.wordings(), new])
    if problems := check(overlay):
        write_overlay(overlay, store.wordings())
        raise RefusedError(f"the packs would not load with it: {problems[0]}")
    store.add_wording(new)
    store.note_act(Audit(what="wording_added", data={"wording": new.id, "meaning": meaning}), person, now)
    return new


def undo(store: ReviewStore, wording: str, person: str | None, now: datetime) -> bool:
    """Take a wording back and write the overlay without it; False if it was gone already."""
    if not store.undo_wording(wording, now):
        return False
    write_overlay(store.folder / OVERLAY, store.wordings())
    store.note_act(Audit(what="wording_undone", data={"wording": wording}), person, now)
    return True


def write_overlay(overlay: Path, wordings: Sequence[Wording]) -> None:
    """One file a family that has any; a family without loses its file."""
    families: dict[str, list[Wording]] = defaultdict(list)
    for wording in wordings:
        families[wording.family].append(wording)
    for file in overlay.glob(f"*/{FILE}"):
        if file.parent.name not in families:
            file.unlink()
    for family, those in families.items():
        text = HEAD + yaml.safe_dump(_tree(those), allow_unicode=True, sort_keys=True)
        write_whole(overlay / family / FILE, text.encode())


def _tree(wordings: Sequence[Wording]) -> dict[str, Any]:
    tree: dict[str, Any] = {}
    for wording in sorted(wordings, key=lambda w: (w.at, w.id)):
        kind, _, what = wording.meaning.partition(":")
        place: tuple[str, ...]
        if kind == "result":
            check, _, result = what.partition("=")
            place = ("checks", check, "results", result, "phrases", wording.language)
        else:
            place = ("complaints", what, "phrases" if kind == "complaint" else "works_phrases", wording.language)
        here = tree
        for key in place:
            here = here.setdefault(key, {})
        here.setdefault("add", []).append(wording.phrase)
    return tree


