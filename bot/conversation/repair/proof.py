"""How the proof went, in the tech's own words: cured, the same, or cured with another trouble beside it."""

from __future__ import annotations

from typing import Final

from bot.conversation.events import Typed
from bot.conversation.intake import absorb
from bot.conversation.repair.next_trouble import PLAIN_TROUBLE, go_to_next
from bot.conversation.repair.repairing import answer_proof, failed_otherwise, proved
from bot.conversation.repair.second_trouble import asks_of_second, second_is_there
from bot.conversation.told.before_asked import file_what_comes
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import how_it_went, works_but
from bot.language.meaning import Meaning

BEYOND_DOUBT: Final = 0.95
"""A trouble told beside 'it works' counts from here on: 'works now, hot and cold' tells none."""


def proof_chosen(turn: Turn, value: str) -> None:
    """A choice at the proof, by press or in words."""
    question = turn.job.question
    if value == "same":
        if not second_is_there(turn, question):
            _the_same(turn)
    elif value != "holds" or not asks_of_second(turn, question):
        answer_proof(turn, value)


def _the_same(turn: Turn) -> None:
    """Not cured, and what the words say besides of the run that would be asked for next."""
    answer_proof(turn, "same")
    if isinstance(turn.event, Typed):
        file_what_comes(turn, turn.event.text)


def _works_otherwise(turn: Turn, complained: set[str], meaning: Meaning) -> bool:
    """'Works, but now it leaks': what was complained of is cured, the trouble is another."""
    return bool(complained & set(meaning.denied)) or works_but(_typed(turn))


def _typed(turn: Turn) -> str:
    return turn.event.text if isinstance(turn.event, Typed) else ""


def proof_in_words(turn: Turn, meaning: Meaning) -> bool:
    """What a line tells of the complaint, or of another trouble. True if it was about one of them."""
    complained = {f.subject for f in turn.job.standing("complaint")}
    told = {g.id for g in meaning.complaints if g.p >= PLAIN_TROUBLE}
    new = {g.id for g in meaning.complaints if g.p >= BEYOND_DOUBT}
    if complained & told:
        _the_same(turn)
    elif new and _works_otherwise(turn, complained, meaning):
        proved(turn)
        go_to_next(turn, (*turn.job.position.later, *sorted(new)))
    elif complained & set(meaning.denied) or (not new and how_it_went(_typed(turn)) == "cured"):
        proof_chosen(turn, "holds")
    elif told:
        failed_otherwise(turn)
        absorb(turn, meaning)
        turn.go_on = True
    else:
        return False
    return True
