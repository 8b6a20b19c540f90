"""Adding a wording to the firm's own pack: what it may mean, what it would change, writing it, taking it back.

A meaning is written as the traces write it: `complaint:no_spin`, `denied:no_spin` (it works),
`result:belt_grip=dry_slip`. The overlay's file is made from the wordings that stand in the store, whole each time, so
that taking one back leaves nothing behind; it adds to the lists of the packs below it and replaces none of them.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from secrets import token_hex
from typing import Any, Final

import yaml

from bot.conversation.effects import Audit
from bot.language.answers.answer import answer
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
_WORD: Final = re.compile(r"\w+")
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

    @property
    def lost(self) -> tuple[str, ...]:
        """What was understood of it and would not be any more."""
        return tuple(each for each in self.before if each not in self.after)


@dataclass(frozen=True, slots=True)
class Effect:
    """What becomes of the words themselves, written alone."""

    lost: tuple[str, ...]
    """What they are understood as today and would not be any more."""
    heard: bool
    """Whether they would be understood as what they are to mean."""
    answers: str | None
    """The check in whose answer they would be, where they are not without that question."""

    @property
    def doubtful(self) -> bool:
        """Whether the owner has to say that this is what is wanted."""
        return bool(self.lost) or not (self.heard or self.answers)


@dataclass(frozen=True, slots=True)
class Preview:
    """The effect on the words themselves and on the firm's own messages: what changes, of how many that were read."""

    effect: Effect
    changes: tuple[Change, ...]
    read: int

    @property
    def losing(self) -> int:
        """How many of the messages would lose something that was understood."""
        return sum(1 for change in self.changes if change.lost)

    @property
    def doubtful(self) -> bool:
        """Whether the owner has to say that this is what is wanted."""
        return self.effect.doubtful or self.losing > 0


def choices(pack: Pack) -> tuple[Choice, ...]:
    """All meanings of a family that a phrase can have."""
    found = [Choice(f"complaint:{key}", entry.says, "What it does") for key, entry in pack.complaints.items()]
    found += [Choice(f"denied:{key}", entry.works, "What works") for key, entry in pack.complaints.items()]
    found += [Choice(f"result:{key}={result}", entry.says, f"Answer to: {check.name}")
              for key, check in sorted(pack.checks.items(), key=lambda each: each[1].name.casefold())
              for result, entry in check.results.items()]
    return tuple(found)


def found_by(among: Sequence[Choice], words: str) -> tuple[Choice, ...]:
    """The choices whose words or heading hold all these words, or their beginnings."""
    wanted = _WORD.findall(words.casefold())
    return tuple(choice for choice in among if all(
        any(word.startswith(each) for word in _WORD.findall(f"{choice.heading} {choice.name}".casefold()))
        for each in wanted))


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
    """What becomes of the words, and which of the newest messages of the family would be understood otherwise."""
    before, after = _indexes(known, family, meaning, phrase)
    names = Names(known)
    read = store.typed(family, COMPARED)
    changes = []
    for message in read:
        was, will = (tuple(_said(names, family, each) for each in _heard(index, message.text, family))
                     for index in (before, after))
        if was != will:
            changes.append(Change(message, was, will))
    return Preview(_effect(before, after, family, meaning, phrase), tuple(changes), len(read))


def effect(known: Knowledge, family: str, meaning: str, phrase: str) -> Effect:
    """What becomes of the words themselves."""
    return _effect(*_indexes(known, family, meaning, phrase), family, meaning, phrase)


def _indexes(known: Knowledge, family: str, meaning: str, phrase: str) -> tuple[Index, Index]:
    one = known.model_copy(update={"packs": {family: known.packs[family]}})
    return build_index(one), build_index(with_phrase(one, family, meaning, phrase))


def _effect(before: Index, after: Index, family: str, meaning: str, phrase: str) -> Effect:
    names = Names(after.knowledge)
    was, will = (_heard(index, phrase, family) for index in (before, after))
    kind, _, what = meaning.partition(":")
    check, _, result = what.partition("=")
    answers = kind == "result" and answer(after, family, check, phrase).result == result
    return Effect(tuple(_said(names, family, each) for each in was if each not in will), meaning in will,
                  names.check(family, check) if answers and meaning not in will else None)


def _heard(index: Index, text: str, family: str) -> tuple[str, ...]:
    """The meanings of a text, likeliest first."""
    heard: Meaning = understand(index, text[:2000], family=family)
    return (*(f"complaint:{guess.id}" for guess in heard.complaints), *(f"denied:{key}" for key in heard.denied),
            *(f"result:{r.check}={r.result}" for r in heard.results))


def _said(names: Names, family: str, meaning: str) -> str:
    """A meaning in words."""
    kind, _, what = meaning.partition(":")
    if kind == "result":
        check, _, result = what.partition("=")
        return f"{names.check(family, check)}: {names.result(family, check, result)}"
    return names.complaint(family, what, works=kind == "denied")


def add(store: ReviewStore, known: Knowledge, family: str, meaning: str, phrase: str, person: str | None,
        now: datetime, *, check: Callable[[Path], Sequence[str]], sure: bool = False) -> Wording:
    """Keep a wording and write the overlay. Raises RefusedError; then nothing was kept.

    `check` loads the packs with the overlay and returns what is wrong with them. `sure`: it is wanted, though the words
    lose what they mean today, or would not be understood as this.
    """
    phrase = checked(known.packs.get(family), family, meaning, phrase)
    if not sure and effect(known, family, meaning, phrase).doubtful:
        raise RefusedError("the words would lose what they mean today, or not be understood as this: look at what it "
                           "changes, and confirm it there")
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


