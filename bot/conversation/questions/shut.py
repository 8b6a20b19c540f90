"""What a "can't get to it" says about a cover: it holds for every check behind the same one.

Words that name the cover settle it. Where they don't, it is asked before another check behind that cover is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.facts import shut_covers
from bot.conversation.questions.asking import put
from bot.conversation.safety.machine import covers_needed
from bot.conversation.turn import Turn
from bot.language.answers.about import stems

_MACHINE: Final = stems("machine range dryer dishwasher pulled taken lifted")
"""Said in the names of covers, but of no one cover alone."""
SHUT: Final = "cover:"
"""A fact of kind cannot with this before its subject is about a cover."""
_NO_ROOM: Final = re.compile(
    r"\b(no room|built in|wont (come|slide|move|budge)|won't (come|slide|move|budge)|"
    r"(pull|slide|move|get|drag) (it|this|the \w+) (out|forward|away)|"
    r"behind (it|there|the \w+)|stacked|boxed in|no space)\b",
    re.IGNORECASE)
"""Said of a machine that cannot be brought out from the wall."""

_PULL_OUT: Final = re.compile(
    r"\b(pull|slide|move|get|drag) (it|this|the \w+) (out|forward|away)\b", re.IGNORECASE)
_STAYS_SHUT: Final = re.compile(
    r"\bno (room|space)\b|"
    r"\b(can'?t|cannot|couldn'?t|not able to|unable to) (get|open|pull|take|slide|reach|tip|tilt)\b|"
    r"\b(wont|won't) (come (off|out|up|loose)|open|pull|slide|tilt)\b|\bno puedo (abrir|sacar|mover)\b", re.IGNORECASE)


def shut_elsewhere(turn: Turn, checks: Sequence[str], text: str) -> str | None:
    """The name of a cover that words say cannot be opened, where no check that is asked for needs it; it is filed."""
    if not _STAYS_SHUT.search(text):
        return None
    said, covers = stems(text), turn.pack.covers
    here = {cover for key in checks for cover in covers_needed(turn.pack, turn.pack.checks[key].access)}
    named = [cover for cover in covers if said & (stems(covers[cover].name) - _MACHINE)]
    named = named or [cover for cover in covers if "pull" in cover and _PULL_OUT.search(text)]
    if len(named) != 1 or named[0] in here:
        return None
    if named[0] not in shut_covers(turn.job):
        turn.fact("cannot", SHUT + named[0])
    return covers[named[0]].name


def note_shut(turn: Turn, key: str, text: str) -> None:
    """File the cover that words say cannot be opened, if they name one that this check needs."""
    said = stems(text)
    for cover in _unproven(turn, key):
        named = stems(turn.pack.covers[cover].name) - _MACHINE
        if said & named or ("pull" in cover and _NO_ROOM.search(text)):
            turn.fact("cannot", SHUT + cover)
            return


def ask_if_shut(turn: Turn, key: str) -> bool:
    """Ask about a cover that this check shares with one that could not be made. True if that was asked."""
    could_not = [f.subject for f in turn.job.standing("cannot") if f.subject in turn.pack.checks]
    asked = {f.subject for f in turn.job.standing("declined")}
    for cover in _unproven(turn, key):
        blocked = next((c for c in could_not if cover in covers_needed(turn.pack, turn.pack.checks[c].access)), None)
        if blocked is not None and SHUT + cover not in asked and cover not in shut_covers(turn.job):
            put(turn, "cover", ("opens", "shut"), cover=cover, name=turn.pack.covers[cover].name,
                check=turn.pack.checks[blocked].name)
            return True
    return False


def answer_cover(turn: Turn, value: str) -> None:
    """Whether the cover comes open: for all behind it, or only that one check could not be made."""
    question = turn.job.question
    cover = question.data["cover"] if question else ""
    turn.close_question()
    turn.fact("cannot" if value == "shut" else "declined", SHUT + cover)
    turn.go_on = True


def _unproven(turn: Turn, key: str) -> tuple[str, ...]:
    """The covers that a check needs, but for those behind which something was found already."""
    open_ones = {cover for f in turn.job.standing("result") if f.subject in turn.pack.checks
                 for cover in covers_needed(turn.pack, turn.pack.checks[f.subject].access)}
    return tuple(c for c in covers_needed(turn.pack, turn.pack.checks[key].access) if c not in open_ones)
