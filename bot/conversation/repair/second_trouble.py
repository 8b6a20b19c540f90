"""A second trouble told in one breath with the first, and what becomes of it at the proof of the first one's repair."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import Question
from bot.conversation.questions.asking import put
from bot.conversation.repair.next_trouble import PLAIN_TROUBLE, go_to_next
from bot.conversation.repair.repairing import proved
from bot.conversation.repair.second_kept import keep_announced, wait_for_first
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import how_it_went, works_but
from bot.language.meaning import Meaning
from bot.language.understand import understand

_ON_TOP: Final = re.compile(
    r"\b(?:and|but|plus|oh|then)?[, ]*(?:also|plus|on top of (?:that|it)|besides|another thing|other thing|as well as|"
    r"además|tambien|también)\b[,: ]*", re.IGNORECASE)
CERTAIN: Final = 0.9
"""A trouble told after 'and also' counts from here on."""
FEWEST: Final = 2
"""Words that can tell one."""


def set_second_aside(turn: Turn, meaning: Meaning, text: str) -> None:
    """Keep for later what follows on 'and also' and went under beside the first trouble: most likely it has nothing to
    do with that one, and would only lead astray."""
    question = turn.job.question
    if turn.job.family not in turn.context.release.knowledge.packs or not (
            question is None or question.kind == "family"):
        return
    if keep_announced(turn, meaning, text):
        return
    pieces = _ON_TOP.split(text, maxsplit=1)
    told = [f.subject for f in turn.job.standing("complaint") if f.turn == turn.key]
    if len(pieces) < 2 or len(pieces[1].split()) < FEWEST or not told:
        return
    alone = understand(turn.context.release.index, pieces[1], family=turn.job.family)
    pack, heard = turn.pack.complaints, {*told, *meaning.denied, *turn.job.position.later}
    new = [g.id for g in alone.complaints if g.p >= CERTAIN and g.id in pack and g.id not in heard]
    if not new:
        return
    wait_for_first(turn, new)


def left_over(turn: Turn) -> list[str]:
    """Complaints told that the repaired fault does not show: curing it leaves them where they were."""
    fault = turn.job.position.fault
    told = [f.subject for f in turn.job.standing("complaint") if f.subject in turn.pack.complaints]
    if fault is None:
        return []
    shows = {complaint for key in turn.pack.faults_of(turn.job.position.repair or fault)
             for complaint in turn.pack.faults[key].shows}
    return [complaint for complaint in told if complaint not in shows] if shows & set(told) else []


def told_of_second(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """'Doesn't trip now, but still drains slow' at the proof: the first is cured, the other is next. Where only the
    other is told, how the first went is asked once more. True if words told of it."""
    told = {guess.id for guess in meaning.complaints if guess.p >= PLAIN_TROUBLE}
    complained = {f.subject for f in turn.job.standing("complaint")}
    rest = [*turn.job.position.later, *left_over(turn)]
    known = told & (complained | set(rest))
    if not known or not known <= set(rest):
        return False
    turn.place(misses=0)
    new = [complaint for complaint in rest if complaint in told]
    first = complained - set(rest)
    if first & set(meaning.denied) or works_but(text) or how_it_went(text) == "cured" or question.data.get("rest"):
        proved(turn)
        go_to_next(turn, dict.fromkeys((*turn.job.position.later, *new)))
        return True
    turn.place(later=tuple(dict.fromkeys((*turn.job.position.later, *new))))
    turn.note("proof.other_next", said=_says(turn, sorted(first)))
    put(turn, "proof", question.values, words=question.data.get("words", ""), rest="kept")
    return True


def asks_of_second(turn: Turn, question: Question | None) -> bool:
    """'Works' may be said of the first alone: what else was told is asked for before the closing. True if it is."""
    rest = [complaint for complaint in left_over(turn) if complaint not in turn.job.position.later]
    if question is None or not rest or question.data.get("rest"):
        return False
    turn.note("proof.and_the_rest", said=_says(turn, rest))
    put(turn, "proof", question.values, words=question.data.get("words", ""), rest="asked")
    return True


def second_is_there(turn: Turn, question: Question | None) -> bool:
    """'Still the same', said when asked for the rest: the first is cured, the rest comes next. True if that was it."""
    if question is None or question.data.get("rest") != "asked":
        return False
    rest = left_over(turn)
    proved(turn)
    go_to_next(turn, (*turn.job.position.later, *rest))
    return True


def _says(turn: Turn, complaints: list[str]) -> list[str]:
    return [turn.pack.complaints[complaint].says for complaint in complaints]
