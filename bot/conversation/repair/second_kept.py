"""A second trouble that waits: heard in a line that announces two, asked after while the first is looked into."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import replace
from typing import Final

from bot.conversation.intake import stands_told
from bot.conversation.questions.asking import put_again
from bot.conversation.turn import Turn
from bot.language.complaints.two_things import troubles_announced
from bot.language.meaning import Meaning
from bot.language.understand import understand

ANNOUNCED: Final = 0.6
"""A trouble counts from here on where the line says that it tells two and only one was heard."""
ASKED_AFTER: Final = 0.6
"""The same where words ask after a trouble that waits, or that was told and not taken in."""
MOST_WORDS: Final = 14
_ASKS_AFTER: Final = re.compile(
    r"\b(?:(?:what|how) about|what of|and (?:what about )?the (?:other|second|2nd)|(?:dont|don't|didnt|didn't|you) "
    r"forget|forgot(?:ten)? (?:about )?(?:the|my)|remember the|(?:the|that) (?:other|second|2nd) (?:thing|problem|"
    r"issue|one|trouble|complaint)|i (?:also )?(?:said|told you|mentioned) (?:about )?(?:the|its?|it's|2|two)|"
    r"y lo (?:otro|del?)|qu[eé] hay de)\b", re.IGNORECASE)
_THE_OTHER: Final = re.compile(r"\b(?:other|second|2nd|otro)\b", re.IGNORECASE)


def keep_announced(turn: Turn, meaning: Meaning, text: str) -> bool:
    """Keep for later the trouble of '2 things. loud in spin n wont take cold' that went under beside the first. True if
    there was one."""
    told = [fact.subject for fact in turn.job.standing("complaint") if fact.turn == turn.key]
    pieces = troubles_announced(text)
    if len(pieces) < 2 or len(told) != 1:
        return False
    heard = {*told, *meaning.denied, *turn.job.position.later}
    for piece in pieces:
        new = _new_in(turn, piece, heard, ANNOUNCED)
        if new is not None:
            wait_for_first(turn, [new])
            return True
    return False


def wait_for_first(turn: Turn, new: list[str]) -> None:
    """Troubles to be looked at after the first is mended, said back; what is unsafe does not wait."""
    pack = turn.pack.complaints
    if any(pack[c].unsafe or pack[c].hazard for c in new):
        for complaint in new:
            stands_told(turn, complaint)
        return
    turn.place(later=(*turn.job.position.later, *new))
    turn.note("later.second", said=[pack[c].says for c in new])


def asks_after_second(turn: Turn, text: str) -> bool:
    """'What about the cold water thing': it waits, and that is said; one that was not taken in is kept now. True if
    that is what words ask."""
    question = turn.job.question
    if question is None or turn.job.family not in turn.context.release.knowledge.packs:
        return False
    if len(text.split()) > MOST_WORDS or not _ASKS_AFTER.search(text):
        return False
    waits = turn.job.position.later
    named = [guess.id for guess in understand(turn.context.release.index, text, family=turn.job.family).complaints
             if guess.p >= ASKED_AFTER and guess.id in turn.pack.complaints]
    stands = {fact.subject for fact in turn.job.standing("complaint")}
    if not named and waits and _THE_OTHER.search(text):
        named = [waits[0]]
    if not named or set(named) & stands:
        return False
    turn.place(misses=0)
    kept = [c for c in named if c in waits]
    if kept:
        turn.note("later.kept", said=[turn.pack.complaints[c].says for c in kept])
    else:
        turn.mark()
        wait_for_first(turn, named[:1])
    put_again(turn, question)
    return True


def without_what_waits(turn: Turn, meaning: Meaning) -> Meaning:
    """'The cold tap is open', said while the first trouble is looked into, does not settle the one that waits."""
    waits = set(turn.job.position.later)
    if not waits & set(meaning.denied):
        return meaning
    return replace(meaning, denied=tuple(c for c in meaning.denied if c not in waits))


def _new_in(turn: Turn, piece: str, heard: Collection[str], least: float) -> str | None:
    """The one trouble that a piece of a line tells for sure enough, if none of what it tells was heard before."""
    alone = understand(turn.context.release.index, piece, family=turn.job.family).complaints
    likely = [guess for guess in alone if guess.id in turn.pack.complaints]
    if not likely or {guess.id for guess in likely} & set(heard):
        return None
    best = max(likely, key=lambda guess: guess.p)
    return best.id if best.p >= least else None
