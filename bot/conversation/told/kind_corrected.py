"""'Wait no, its a front loader': the machine is another kind than the visit went by. What was told of it is heard again
as about that one; what was seen of parts that it does not have is taken back."""

from __future__ import annotations

from typing import Final

from bot.conversation.intake import set_family
from bot.conversation.job import Fact, Phase
from bot.conversation.questions.photos import again
from bot.conversation.repair.second_trouble import set_second_aside
from bot.conversation.told.unasked import file_besides, hear_again_unasked, set_aside
from bot.conversation.turn import Turn
from bot.language.machine.kind_put_right import kind_put_right, only_names
from bot.language.understand import understand

_OPEN: Final = frozenset({Phase.INTAKE, Phase.CHECKS, Phase.FINDING, Phase.CONSENT})
_OF_THE_MACHINE: Final = frozenset({"family", "variant", "complaint", "denied", "result", "declined", "done_before",
                                    "misfit_accepted"})
"""Facts that are told of one kind of machine; what he lacks, and who pays, stands."""


def takes_kind(turn: Turn, text: str) -> bool:
    """Go on with the kind of machine that a line puts right. True if it did."""
    packs = turn.context.release.knowledge.packs
    family = kind_put_right(packs, text, turn.job.family)
    if family is None or turn.job.phase not in _OPEN or turn.job.standing("repaired"):
        return False
    before = turn.job.standing()
    turn.close_question(closed="passed")
    turn.withdraw([fact for fact in before if fact.kind in _OF_THE_MACHINE])
    turn.fact("family", family)
    set_family(turn, family)
    for fact in before:
        if _goes_for(turn, fact):
            turn.fact(fact.kind, fact.subject, fact.value, number=fact.number, low=fact.low, high=fact.high)
    told = {fact.turn for fact in before if fact.kind in {"complaint", "denied", "result"}}
    words = [said.text for said in turn.job.spoken if said.message in told]
    turn.place(unplaced=(*words, text)[-LATEST:], misses=0, fault=None, repair=None, agreed=False, roots=(),
               later=())
    covers = turn.job.position.machine.covers
    turn.machine(covers=(), maybe_open=bool(covers), card_shown=False)
    hear_again_unasked(turn)
    for said in (*words, text):
        file_besides(turn, set_aside(turn, said, ())[1])
        set_second_aside(turn, understand(turn.context.release.index, said, family=family), said)
    turn.go_on = True
    return True


LATEST: Final = 6
"""How many lines are heard again."""


def _goes_for(turn: Turn, fact: Fact) -> bool:
    """Whether what was told of the one kind is true of the other as well: the same trouble, or the same answer."""
    if fact.kind == "result":
        check = turn.pack.checks.get(fact.subject)
        return check is not None and fact.value in check.results
    return fact.kind in {"complaint", "denied"} and fact.subject in turn.pack.complaints


def names_it_again(turn: Turn, text: str) -> bool:
    """'Top load, yeah' of the machine that the visit is on: no news, and no answer."""
    packs, family = turn.context.release.knowledge.packs, turn.job.family
    if family not in packs or turn.job.question is None or not only_names(packs, text, family or ""):
        return False
    turn.place(misses=0)
    again(turn)
    return True
