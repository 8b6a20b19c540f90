"""A part that another man put in before this visit, or the tech himself before he wrote: the trouble is there all the
same, and nobody bills it again."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import Phase
from bot.conversation.repair.reported import repair_named
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import Told, fitted_by_another, how_it_went, told_of_repair
from bot.language.answers.about import parts_of


def takes_done_before(turn: Turn, text: str) -> bool:
    """File a repair of others that words tell of: it is evidence like one that failed. True if it was news.

    Once a finding is named, what was seen counts for more than how old the part is.
    """
    if turn.job.phase not in {Phase.INTAKE, Phase.CHECKS}:
        return False
    if turn.job.family not in turn.context.release.knowledge.packs or not turn.job.standing("complaint"):
        return False
    fitted = Told(fitted=True, cleaned=False, did=False, how="same", now=False, plainly=False)
    first = turn.job.phase is Phase.INTAKE and turn.job.question is None
    for part in parts_of(text):
        own = first and _tried_already(part, text)
        repair = repair_named(turn, part, fitted) if own or fitted_by_another(part) else None
        if repair is None:
            continue
        entry = turn.pack.repair_of(turn.pack.faults_of(repair)[0])[1]
        if not entry.parts or entry.cost == "none":
            continue  # a new disposer is no part of ours, whatever plug was left in it
        known = {fact.subject for fact in turn.job.standing("done_before", "repaired")}
        if repair not in known:
            turn.fact("done_before", repair)
            turn.note("repair.tried" if own else "repair.done_before", name=entry.name[:1].lower() + entry.name[1:])
            return True
    return False


_ALREADY: Final = re.compile(r"\b(already|allready|alrdy|ya)\b", re.IGNORECASE)


def _tried_already(part: str, text: str) -> bool:
    """'I put a new relay on already', 'swapped the relay, no change' in the first line: tried, and no cure. Where
    neither is said it may be what he did last, with the run still to come."""
    told = told_of_repair(part, asked_for=False)
    if told is None or not told.fitted or told.now:
        return False
    return _ALREADY.search(part) is not None or how_it_went(text[text.find(part):]) == "same"
