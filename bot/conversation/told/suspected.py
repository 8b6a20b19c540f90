"""'It's the lid switch': the part that a tech suspects is looked at, where his words answer nothing that was asked."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.advance import ask_for
from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.questions.asking import put_again
from bot.conversation.turn import Turn
from bot.diagnosis.advice import check_that_shows
from bot.diagnosis.belief import believe
from bot.language.answers.about import stems
from bot.language.words.text import drop_apostrophes, word_set

_SUSPECTS: Final = re.compile(
    r"\b(i|id|im|ill) (still )?(think\w*|bet\w*|reckon|guess\w*|say\w*|suspect|sure|pretty sure)\b|"
    r"\b(its|it is|thats|that is|bet its|must be|has to be|got to be|gotta be|prob|probly|probably|maybe|might be|"
    r"could be|looks like|sounds like|acts like|my money|what about)\b|\b(creo que|seguro es|debe ser|ha de ser)\b",
    re.IGNORECASE)
_BETS: Final = re.compile(
    r"\b(bet|betting|gotta be|got to be|has to be|must be|suspect|my money|prob|probly|probably|think its|im sure its|"
    r"seguro es|debe ser|ha de ser)\b", re.IGNORECASE)
_STATES: Final = word_set(
    "new kit set good bad failed fail broken worn open dead stuck weak loose left off out missing blocked block "
    "clogged clog dirty wrong tilted tilt frozen tripped trip one that without machine inside between something fault "
    "works designed")
"""What is said of a part, and no name of one."""
_THINGS: Final = re.compile(r",? or |, ")
LONGEST: Final = 16
"""Words of a line that names a suspicion and nothing else."""


def follow_bet(turn: Turn, text: str) -> bool:
    """The same for a line that is nothing but a bet on a part ('gotta be the pump'), before it counts as an answer."""
    question, bare = turn.job.question, drop_apostrophes(text)
    if question is None or question.kind != "check" or not _BETS.search(bare) or "?" in text:
        return False
    if any(turn.pack.checks[key].tells_kind for key in question.checks):
        return False
    named = stems(_SUSPECTS.sub(" ", bare)) - _STATES
    return any(named in _parts(turn, key) for key in turn.pack.faults) and _look_at(turn, bare)


def follow_suspicion(turn: Turn, text: str) -> bool:
    """Ask for the check that shows the fault of the part that is named. True if there is one that may be made."""
    question, bare = turn.job.question, drop_apostrophes(text)
    if question is None or question.kind not in {"check", "variant"} or len(bare.split()) > LONGEST:
        return False
    return _SUSPECTS.search(bare) is not None and "?" not in text and _look_at(turn, bare)


def _look_at(turn: Turn, text: str) -> bool:
    question = turn.job.question
    for fault in _suspects(turn, text):
        check = check_that_shows(turn.model, evidence_of(turn.job), situation_of(turn.job, turn.context), fault)
        if check is None or question is None:
            continue
        if check in question.checks:
            turn.note("suspect.this", part=turn.pack.faults[fault].name)
            put_again(turn, question)
            return True
        turn.mark()
        turn.close_question(closed="passed")
        turn.note("suspect.look", part=turn.pack.faults[fault].name)
        ask_for(turn, check)
        return True
    return False


def _parts(turn: Turn, fault: str) -> list[frozenset[str]]:
    """The words of each part that the repair of a fault fits, or of what it puts right without one; none for another
    trade's."""
    entry = turn.pack.faults[fault]
    if entry.trade is not None:
        return []
    things = turn.pack.repair_of(fault)[1].parts or _THINGS.split(entry.name)
    return [words for thing in things if (words := stems(thing) - _STATES)]


def _suspects(turn: Turn, text: str) -> list[str]:
    """Faults whose repair fits the part that the words name with most of its words, the likeliest first."""
    said, chance = stems(text), dict(believe(turn.model, evidence_of(turn.job)).faults)
    named = {key: max((len(part) for part in _parts(turn, key) if part <= said), default=0) for key in turn.pack.faults}
    most = max(named.values(), default=0)
    return sorted((key for key, fit in named.items() if fit == most > 0), key=lambda key: -chance.get(key, 0.0))
