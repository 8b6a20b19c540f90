"""What a line says of where the job stands, as it was learned, and what comes of it at each question.

What was learned goes before the patterns where it is sure; where it is only likely it comes last, before the line
counts as not understood.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Final

from bot.conversation.events import Typed
from bot.conversation.job import Outcome, Question
from bot.conversation.questions.asking import labels, put_again
from bot.conversation.questions.checks import PLAIN
from bot.conversation.questions.worded import answer_to
from bot.conversation.repair.closing import answer_closing
from bot.conversation.repair.next_trouble import PLAIN_TROUBLE, go_to_next
from bot.conversation.repair.on_order import here_not_now, not_come, order_again, still_waits
from bot.conversation.repair.proof import failed_as_told, joins_beside_work, proof_chosen
from bot.conversation.repair.repairing import (
    answer_consent,
    answer_finding,
    answer_repair,
    answer_thinking,
    answer_waiting,
    decline_at_finding,
    doubted,
    note_agreed,
    proved,
    stuck,
    wrong_part,
)
from bot.conversation.repair.reported import repair_named, settle
from bot.conversation.repair.waiting import day_in_words, order
from bot.conversation.steering.asked_back import says_what_it_can
from bot.conversation.turn import Turn
from bot.conversation.wording import render_choice
from bot.conversation.wording.mended import How, Told, cause_in, how_it_went, not_done, not_made, work_in, works_but
from bot.conversation.wording.ways import says_arrived, way_of
from bot.language.answers.about import parts_of
from bot.language.answers.measured import ELECTRICAL, quantity_of
from bot.language.meaning import Meaning
from bot.language.status.status import SURE, Said, Status, said_at
from bot.language.words.text import drop_apostrophes

ENDS: Final = 0.8
"""How sure it is to be a customer's yes or no, what ends a visit, or has a part in that nobody had agreed to."""
SURELY: Final = 0.9
"""How sure it is to be that a line puts nothing right that was told before."""
BESIDE: Final = 0.7
"""How sure it is to be that a line says nothing of it."""
BEYOND_DOUBT: Final = 0.95
"""How sure it is to be that a line is no plain answer to the check, or went otherwise than a pattern hears."""
_OTHERWISE: Final[Mapping[Status, tuple[str, ...]]] = {
    Status.WORKS: ("same",), Status.SAME: ("cured",), Status.PARTLY: ("cured",), Status.OTHER: ("cured",)}
"""What patterns may hear of how it went that is something else: 'spins again' is no 'does it again'."""
_ENDING: Final = frozenset({
    *((at, Status.DECLINED) for at in ("finding", "consent", "thinking", "waiting")),
    *((at, Status.AGREED) for at in ("finding", "consent", "thinking")), ("finding", Status.HERE_AND_AGREED),
    ("consent", Status.COVERED), ("proof", Status.WORKS), ("closing", Status.ALL_DONE),
    *((at, how) for at in ("finding", "consent", "thinking", "waiting")
      for how in (Status.DONE, Status.WORKS, Status.SAME))})
_BUT: Final = re.compile(r"\b(?:but|except|besides|cant|cannot|couldnt|missing|apart from)\b", re.IGNORECASE)
"""At the closing list not all of it is done then: 'everything but the bracket, there is none'."""

Act = Callable[[Turn, Question, str, Meaning], bool]


def says_nothing_of_it(question: Question | None, text: str) -> bool:
    """Whether a line surely says something else than where the job stands: a result, a fact, a word taken back."""
    if question is None:
        return False
    said = said_at(question.kind, text)
    of_the_job = question.kind in _ACTS and question.kind != "check" and "told_trade" not in question.values
    return of_the_job and said.status is Status.ELSE and said.p >= BESIDE


def surely_stands(question: Question, text: str) -> bool:
    """Whether a line says beyond doubt where the job stands."""
    said = said_at(question.kind, text)
    return question.kind != "check" and said.p >= SURELY and said.status in _ACTS.get(question.kind, ())


def takes_status(turn: Turn, question: Question | None, text: str, meaning: Meaning, *, least: float = SURE) -> bool:
    """Deal with a line that says where the job stands. True if it did, as far as that can be told with `least`."""
    acts = _ACTS.get(question.kind) if question is not None else None
    if question is None or acts is None or turn.job.family not in turn.context.release.knowledge.packs:
        return False
    said = said_at(question.kind, text)
    if said.status not in acts or said.p < max(least, ENDS if (question.kind, said.status) in _ENDING else 0.0):
        return False
    if _left_to_patterns(turn, question, text, said):
        return False
    turn.trace("status", said=said.status, p=round(said.p, 3))
    if not acts[said.status](turn, question, text, meaning):
        return False
    turn.place(misses=0)
    return True


def _left_to_patterns(turn: Turn, question: Question, text: str, said: Said) -> bool:
    """Whether words hold what patterns know better: a choice as it is shown, a meter's figure, a plain answer to the
    check, that no part is needed, a part that has come while the customer thinks it over, a question with something
    told beside it."""
    shown = {render_choice(label, turn.context.firm, turn.tech.language).lower()
             for label in labels(turn, question).values()}
    if quantity_of(text) in ELECTRICAL or text.strip(" .,!").lower() in shown:
        return True
    match question.kind:
        case "check":
            answers = (answer_to(turn, key, text) for key in question.checks)
            known = said.p < BEYOND_DOUBT and any(its.result is not None and its.p >= PLAIN for its in answers)
        case "finding":
            known = way_of("finding", text) == "without_part"
        case "thinking":
            known = says_arrived(text)
        case "proof" | "closing" | "repair":
            known = said.p < BEYOND_DOUBT and how_it_went(text) in _OTHERWISE.get(said.status, ())
            known = known and not (said.status is Status.OTHER and works_but(text))
        case _:
            known = False
    told = any(fact.turn == turn.key and fact.kind == "result" for fact in turn.job.facts)
    several = len(parts_of(text)) > 1
    if said.status is Status.ASK:
        known = known or told or several or not isinstance(turn.event, Typed)
    if said.status is Status.WAIT and question.kind == "check":
        known = known or told or (several and said.p < ENDS)
    return known


def _value(answer: Callable[[Turn, str], None], value: str) -> Act:
    """The choice of that value, if the question offers it."""
    def act(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
        if value not in question.values:
            return False
        answer(turn, value)
        return True
    return act


def _done(how: How | None) -> Act:
    """The repair on the table is done, and as it went; where another part is named it is another matter."""
    def act(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
        if not_made(text) or not_done(text):
            return False
        cured = how == "cured"
        told = Told(fitted=False, cleaned=False, did=True, how=how, now=cured, plainly=cured)
        table = turn.job.position.repair
        if table is None or repair_named(turn, work_in(text), told) not in {None, table}:
            return False
        if "told_trade" in question.values:
            return False
        complained = {fact.subject for fact in turn.job.standing("complaint")}
        settle(turn, table, told, text, cause_in(text))
        if how == "same":
            joins_beside_work(turn, text, complained)
        return True
    return act


def _time(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """Still at it: nothing is decided, and the question stays open."""
    if question.kind == "thinking" and day_in_words(turn, text):
        return True
    if question.kind == "closing":
        answer_closing(turn, "not_yet")
        return True
    turn.note("closing.take_your_time")
    turn.send()
    return True


def _agreed_at_finding(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    if not {"got_part", "do_it"} & set(question.values):
        return False
    note_agreed(turn)
    put_again(turn, question)
    return True


def _here_and_agreed(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    if "got_part" not in question.values:
        return False
    note_agreed(turn)
    answer_finding(turn, "got_part")
    return True


def _declined_at_finding(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    if "told_trade" in question.values:
        return False
    decline_at_finding(turn)
    return True


def _asks(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    return says_what_it_can(turn, text)


def _wrong_one_came(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    order_again(turn)
    return True


def _not_come(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    not_come(turn, question, text)
    return True


def _here_not_now(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    here_not_now(turn, text)
    return True


def _asks_for_part(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    still_waits(turn, "waiting.you_tell")
    return True


def _to_order(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    turn.close_question()
    order(turn)
    return True


def _doubts(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    turn.close_question()
    doubted(turn)
    return True


def _list_done(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    answer_closing(turn, "not_yet" if _BUT.search(drop_apostrophes(text)) else "all_done")
    return True


def _stuck(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    stuck(turn)
    return True


def _wrong_part(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    wrong_part(turn)
    return True


def _another_trouble(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """Cured, and now something else: that is next, if it is known what, else it is asked."""
    complained = {fact.subject for fact in turn.job.standing("complaint")}
    new = sorted({guess.id for guess in meaning.complaints if guess.p >= PLAIN_TROUBLE} - complained)
    if not new:
        proof_chosen(turn, "other")
        return True
    proved(turn)
    go_to_next(turn, (*turn.job.position.later, *new))
    return True


def _not_cured(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    if question.kind == "closing" and question.data.get("outcome") != Outcome.FIXED:
        return False
    failed_as_told(turn, meaning)
    return True


_ACTS: Final[Mapping[str, Mapping[Status, Act]]] = {
    "check": {Status.WAIT: _time, Status.ASK: _asks},
    "finding": {
        Status.PART_HERE: _value(answer_finding, "got_part"), Status.ORDER: _value(answer_finding, "order"),
        Status.HERE_AND_AGREED: _here_and_agreed, Status.AGREED: _agreed_at_finding,
        Status.DOUBT: _value(answer_finding, "doubt"), Status.DECLINED: _declined_at_finding,
        Status.CLEAN_ONLY: _value(answer_finding, "clean_only"), Status.DO_IT: _value(answer_finding, "do_it"),
        Status.DONE: _done(None), Status.WORKS: _done("cured"), Status.SAME: _done("same"), Status.WAIT: _time,
        Status.ASK: _asks},
    "consent": {
        Status.AGREED: _value(answer_consent, "yes"), Status.DECLINED: _value(answer_consent, "no"),
        Status.LATER: _value(answer_consent, "later"), Status.COVERED: _value(answer_consent, "covered"),
        Status.DONE: _done(None), Status.WORKS: _done("cured"), Status.SAME: _done("same"), Status.WAIT: _time,
        Status.ASK: _asks},
    "thinking": {
        Status.AGREED: _value(answer_thinking, "goes_ahead"), Status.DECLINED: _value(answer_thinking, "declines"),
        Status.DONE: _done(None), Status.WAIT: _time},
    "waiting": {
        Status.PART_HERE: _value(answer_waiting, "arrived"), Status.DECLINED: _value(answer_waiting, "leave"),
        Status.NOT_COME: _not_come, Status.WRONG_PART: _wrong_one_came, Status.HERE_NOT_NOW: _here_not_now,
        Status.ASK: _asks_for_part,
        Status.DONE: _done(None), Status.WORKS: _done("cured")},
    "repair": {
        Status.DONE: _value(answer_repair, "done"), Status.WORKS: _done("cured"), Status.SAME: _done("same"),
        Status.STUCK: _stuck, Status.WRONG_PART: _wrong_part, Status.ORDER: _to_order,
        Status.DOUBT: _doubts, Status.WAIT: _time, Status.ASK: _asks},
    "proof": {
        Status.WORKS: _value(proof_chosen, "holds"), Status.SAME: _not_cured, Status.PARTLY: _not_cured,
        Status.OTHER: _another_trouble, Status.UNTESTED: _time, Status.ASK: _asks},
    "closing": {
        Status.ALL_DONE: _list_done, Status.WAIT: _time, Status.SAME: _not_cured},
}
"""Kind of question -> what may be said at it -> what comes of it."""
