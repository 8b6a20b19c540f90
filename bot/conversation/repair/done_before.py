"""A part that another man put in before this visit, or the tech himself before he wrote: the trouble is there all the
same, and nobody bills it again. A part that somebody who is not of the trade put in is kept as told."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import BY_LAYMAN, Phase
from bot.conversation.repair.reported import repair_named
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import Told, fitted_by_another, fitted_by_layman, how_it_went, told_of_repair
from bot.language.answers.about import parts_of


def takes_done_before(turn: Turn, text: str) -> bool:
    """File the repairs of others that words tell of: of a man of the trade they are evidence like one that failed. True
    if any was news.

    Once a finding is named, what was seen counts for more than how old the part is.
    """
    if turn.job.phase not in {Phase.INTAKE, Phase.CHECKS}:
        return False
    if turn.job.family not in turn.context.release.knowledge.packs or not turn.job.standing("complaint"):
        return False
    first = turn.job.phase is Phase.INTAKE and turn.job.question is None
    filed = [_file(turn, part, own=first and _tried_already(part, text)) for part in parts_of(text)]
    return any(filed)


def _file(turn: Turn, part: str, *, own: bool) -> bool:
    """File what one part of a line tells; a layman's part as told and no more, since it may sit wrong. True if news."""
    fitted = Told(fitted=True, cleaned=False, did=False, how="same", now=False, plainly=False)
    of_trade = own or fitted_by_another(part)
    repair = repair_named(turn, part, fitted) if of_trade or fitted_by_layman(part) else None
    if repair is None:
        return False
    entry = turn.pack.repair_of(turn.pack.faults_of(repair)[0])[1]
    known = {fact.subject for fact in turn.job.standing("done_before", "repaired")}
    if not entry.parts or entry.cost == "none" or repair in known:
        return False  # a new disposer is no part of ours, whatever plug was left in it
    turn.fact("done_before", repair, "" if of_trade else BY_LAYMAN)
    kind = "repair.tried" if own else "repair.done_before" if of_trade else "repair.by_layman"
    turn.note(kind, name=entry.name[:1].lower() + entry.name[1:])
    return True


_ALREADY: Final = re.compile(r"\b(already|allready|alrdy|ya)\b", re.IGNORECASE)


def _tried_already(part: str, text: str) -> bool:
    """'I put a new relay on already', 'swapped the relay, no change' in the first line: tried, and no cure. Where
    neither is said it may be what he did last, with the run still to come."""
    told = told_of_repair(part, asked_for=False)
    if told is None or not told.fitted or told.now:
        return False
    return _ALREADY.search(part) is not None or how_it_went(text[text.find(part):]) == "same"
