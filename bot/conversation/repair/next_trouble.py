"""A second trouble, told while the first is being mended: it waits for the proof, and is looked at after it."""

from __future__ import annotations

from collections.abc import Iterable

from bot.conversation.intake import stands_told
from bot.conversation.phases import Move
from bot.conversation.turn import Turn
from bot.language.meaning import Meaning

PLAIN_TROUBLE = 0.8
"""A trouble told during or after a repair counts from here on."""


def new_troubles(turn: Turn, meaning: Meaning) -> list[str]:
    """Complaints that words plainly tell and that were not told before."""
    stand = {fact.subject for fact in turn.job.standing("complaint")}
    return [guess.id for guess in meaning.complaints
            if guess.p >= PLAIN_TROUBLE and guess.id in turn.pack.complaints and guess.id not in stand]


def set_aside_trouble(turn: Turn, meaning: Meaning) -> bool:
    """Keep a new trouble for after the repair. False where there is none, or where it cannot wait."""
    pack = turn.pack.complaints
    new = [c for c in new_troubles(turn, meaning) if c not in turn.job.position.later]
    if not new or any(pack[c].unsafe or pack[c].hazard for c in new):
        return False
    turn.mark()
    turn.place(later=(*turn.job.position.later, *new), misses=0)
    turn.note("later.noted", said=[pack[c].says for c in new])
    return True


def troubles_join(turn: Turn) -> None:
    """The repair did not cure: what was kept for later belongs to the case now."""
    for complaint in turn.job.position.later:
        stands_told(turn, complaint)
    turn.place(later=())


def go_to_next(turn: Turn, troubles: Iterable[str]) -> None:
    """The repair cured what was complained of: that is gone, and what showed it says nothing of the next trouble."""
    turn.move(Move.FAILED)
    cured = turn.job.standing("complaint")
    turn.withdraw([*cured, *turn.job.standing("result", "denied", "misfit_accepted")])
    turn.place(fault=None, repair=None, agreed=False, roots=(), later=())
    new = list(troubles)
    for fact in cured:
        if fact.subject not in new:
            turn.fact("denied", fact.subject)
    turn.note("later.now")
    for complaint in new:
        stands_told(turn, complaint)
    turn.go_on = True
