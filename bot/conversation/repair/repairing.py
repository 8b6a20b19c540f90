"""Consent, the repair itself, and its proof in the state that failed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from bot.conversation.effects import Text
from bot.conversation.events import Typed
from bot.conversation.job import Outcome, Phase
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put
from bot.conversation.repair.closing import start_closing
from bot.conversation.repair.finding import NO_FAULT, ask_consent, current_repair
from bot.conversation.repair.handing import hand_off
from bot.conversation.repair.leaving import end
from bot.conversation.repair.next_trouble import go_to_next, troubles_join
from bot.conversation.repair.waiting import ask_day, order, think_over
from bot.conversation.safety.cautions import for_machine, without_repeats
from bot.conversation.safety.machine import bring_to, close_up
from bot.conversation.safety.making_safe import left_safe
from bot.conversation.turn import Turn
from bot.conversation.wording.asks import apart
from bot.conversation.wording.mended import partly
from bot.conversation.wording.ways import agrees_in_part, customer_agrees
from bot.language.status.status import LIKELY, Status, said_at
from bot.language.words.text import drop_apostrophes


def answer_finding(turn: Turn, value: str) -> None:
    """Part at hand, to order, nothing to pay for, told the other trade, or not convinced."""
    turn.close_question()
    if value in {"got_part", "order"}:
        to_order = value == "order"
        turn.move(Move.PART_TO_ORDER if to_order else Move.PART_AT_HAND)
        told = isinstance(turn.event, Typed) and customer_agrees(turn.event.text)
        if told:
            turn.note("consent.told")
        if told or turn.job.position.agreed:
            _decided(turn, "yes", to_order=to_order)
        else:
            ask_consent(turn, to_order=to_order)
    elif value in {"do_it", "clean_only", "no_part"}:
        turn.move(Move.NOTHING_TO_PAY)
        start_repair(turn)
    elif value == "tagged":
        tag_out(turn)
    elif value == "told_trade":
        turn.record("outcome", outcome=Outcome.OTHER_TRADE)
        start_closing(turn, Outcome.OTHER_TRADE)
    else:
        doubted(turn)


def agreed_already(turn: Turn, text: str) -> bool:
    """'She said yes' while the finding is on the table: the price that stands in it is agreed to. True if so."""
    if not customer_agrees(text):
        return False
    note_agreed(turn)
    return True


def note_agreed(turn: Turn) -> None:
    """The price that stands in the finding is agreed to."""
    turn.place(agreed=True)
    turn.note("consent.told")


def decline_at_finding(turn: Turn) -> None:
    """The customer does not want it, said before the price was asked about."""
    turn.move(Move.PART_AT_HAND)
    answer_consent(turn, "no")


GO_AHEAD: Final = "go_ahead"
"""Who pays said yes before there was a price."""


def note_go_ahead(turn: Turn, text: str) -> None:
    """'Customer said go ahead' while the cause is still looked for: kept, and the price is told all the same."""
    if turn.job.phase in {Phase.INTAKE, Phase.CHECKS} and agrees_in_part(text) and not any(
            fact.subject == GO_AHEAD for fact in turn.job.standing("payer")):
        turn.fact("payer", GO_AHEAD)


def answer_consent(turn: Turn, value: str) -> None:
    """The customer's word on the price; what was agreed to before a part was ordered is not asked again."""
    to_order = turn.job.question is not None and bool(turn.job.question.data.get("to_order"))
    turn.close_question()
    _decided(turn, value, to_order=to_order)


def _decided(turn: Turn, value: str, *, to_order: bool) -> None:
    turn.record("consent", answer=value)
    if value in {"yes", "covered"}:
        if value == "covered":
            turn.fact("payer", "not_customer")
        turn.place(agreed=True)
        if to_order:
            order(turn)
            return
        turn.move(Move.AGREED)
        start_repair(turn)
    elif value == "later":
        turn.note("consent.later")
        think_over(turn, to_order=to_order)
    else:
        fault = turn.job.position.fault
        if fault is not None and turn.pack.faults[fault].unsafe:
            tag_out(turn)
            return
        turn.note("consent.declined")
        turn.quote(left_safe(turn))
        end(turn, Outcome.DECLINED)


def tag_out(turn: Turn) -> None:
    """An unsafe machine that is not repaired now: dead, tagged, told, with a photo; that is how the visit ends."""
    fault = turn.job.position.fault
    safe = turn.pack.faults[fault].make_safe if fault is not None else None
    turn.note("unsafe.tag_out", make_safe=safe or left_safe(turn))
    end(turn, Outcome.UNSAFE_TAGGED)


def start_repair(turn: Turn) -> None:
    """Bring the machine to the state the repair needs, cautions first, then the job; steps after `how`."""
    repair = current_repair(turn)
    bring_to(turn, repair, repair.cautions)
    turn.note("repair.do", repair=repair.name, minutes=Text("minutes", {"minutes": repair.minutes}))
    put(turn, "repair", ("done", "stuck"))


def answer_repair(turn: Turn, value: str, *, cause: str = "") -> None:
    """Done: prove it. Stuck: what to look at, or a senior. `cause`: what it was, in the tech's words."""
    if value == "stuck":
        stuck(turn)
        return
    turn.close_question()
    turn.move(Move.DONE)
    turn.record("repair", repair=turn.job.position.repair, fault=turn.job.position.fault, **_said(cause))
    if turn.job.position.fault == NO_FAULT and turn.job.position.later:
        go_to_next(turn, turn.job.position.later)
        return
    if turn.job.position.fault == NO_FAULT:
        turn.move(Move.HELD)
        start_closing(turn, Outcome.NO_FAULT_FOUND)
        return
    ask_proof(turn, cause)


def stuck(turn: Turn) -> None:
    """Stuck, and not a word on what: that is asked. Told, or stuck again: a senior."""
    question = turn.job.question
    told = isinstance(turn.event, Typed) and not BARE_STUCK.fullmatch(drop_apostrophes(apart(turn.event.text)[1]))
    if question is not None and not told and not question.data.get("stuck"):
        turn.note("repair.stuck_on")
        put(turn, "repair", question.values, asked=2, stuck="asked")
        return
    turn.close_question()
    hand_off(turn, "asked", None)


SHOCK: Final = "shock"
"""The hazard whose proof is made dead."""
BARE_STUCK: Final = re.compile(
    r"\W*(?:(?:im|i am|still|ok|so|no|a bit|its|well|help|here|again|now|got|get|am|2)\W+)*(?:stuck|atascad[oa]|"
    r"no puedo|cant|"
    r"problem|trouble)(?:\W+(?:here|now|again|on it|with it|man|help))*\W*", re.IGNORECASE)


def _said(cause: str) -> dict[str, str]:
    return {"words": cause} if cause else {}


def answer_repair_failed(turn: Turn) -> None:
    """'Still hums' is more than done: it was tried, and it is the same."""
    turn.close_question()
    turn.move(Move.DONE)
    turn.record("repair", repair=turn.job.position.repair, fault=turn.job.position.fault)
    turn.machine(covers=(), power="on", since=turn.context.now, stays_dead=False)  # it was run to see that
    answer_proof(turn, "same")


def wrong_part(turn: Turn) -> None:
    """What was brought is not the part: compare, leave it safe, and order the right one; the price was agreed."""
    turn.close_question()
    turn.note("repair.wrong_part")
    order(turn)


def ask_proof(turn: Turn, cause: str = "") -> None:
    """The proof that belongs to what was complained of, in the state that failed; `cause` is kept for its record. After
    a shock ground and insulation are proved before it gets power."""
    repair = current_repair(turn) if turn.job.position.fault is not None else None
    known = turn.pack.complaints
    complaints = [f.subject for f in turn.job.standing("complaint") if f.subject in known]
    alone = repair is not None and repair.proof_alone
    ordered = sorted(complaints, key=lambda complaint: known[complaint].hazard != SHOCK)[:0 if alone else 2]
    said: list[str] = []

    def quote(proofs: Iterable[str]) -> None:
        for proof in proofs:
            turn.quote(" ".join(without_repeats([for_machine(turn, proof)], said)))
            said.append(proof)

    quote(known[complaint].proof for complaint in ordered if known[complaint].hazard == SHOCK)
    close_up(turn)
    quote(known[complaint].proof for complaint in ordered if known[complaint].hazard != SHOCK)
    quote([repair.proof] if repair and repair.proof else [])
    put(turn, "proof", ("holds", "same", "other"), words=cause)


def answer_proof(turn: Turn, value: str) -> None:
    """Proved: close. The same: that is evidence, not an ending. Something else: take it in."""
    if value == "holds":
        proved(turn)
        if turn.job.position.later:
            go_to_next(turn, turn.job.position.later)
            return
        turn.move(Move.HELD)
        start_closing(turn, Outcome.FIXED)
        return
    failed_otherwise(turn)
    if value == "same":
        turn.note("proof.partly" if isinstance(turn.event, Typed) and _partly(turn.event.text) else "proof.same")
        turn.go_on = True
    else:
        turn.move(Move.FAILED)
        items = [*(str(i) for i in range(len(turn.pack.family.menu))), "other"]
        turn.note("proof.other")
        put(turn, "menu", items)


def _partly(text: str) -> bool:
    """Whether words say that it is better and not right."""
    said = said_at("proof", text)
    return partly(text) or (said.status is Status.PARTLY and said.p >= LIKELY)


def proved(turn: Turn) -> None:
    """The repair cured what was complained of: a label; where it was none of ours, with what the tech said it was."""
    question = turn.job.question
    cause = question.data.get("words", "") if question is not None else ""
    turn.close_question()
    turn.record("proof", held=True, fault=turn.job.position.fault, repair=turn.job.position.repair, **_said(cause))


def failed_otherwise(turn: Turn) -> None:
    """The repair did not cure: a label, and evidence. A trouble that was to wait for it waits no longer."""
    turn.close_question()
    turn.record("proof", held=False, fault=turn.job.position.fault, repair=turn.job.position.repair)
    turn.place(agreed=False)
    if turn.job.position.repair is not None:
        turn.fact("repaired", turn.job.position.repair)
    troubles_join(turn)


def answer_waiting(turn: Turn, value: str) -> None:
    """The part is here: go on where the visit stood."""
    turn.close_question()
    if value == "arrived" and not turn.job.position.agreed:
        turn.move(Move.PART_AT_HAND)
        turn.note("waiting.before_it")
        ask_consent(turn)
    elif value == "arrived":
        turn.note("waiting.arrived")
        turn.move(Move.ARRIVED)
        start_repair(turn)
    elif value == "not_yet":
        ask_day(turn, asked=2)
    else:
        turn.note("waiting.left")
        end(turn, Outcome.NOT_FIXED)


def answer_thinking(turn: Turn, value: str) -> None:
    """The customer made up their mind: on with it, with the part at hand or to order; or not."""
    question = turn.job.question
    to_order = question is not None and bool(question.data.get("to_order"))
    turn.close_question()
    if value == "leave":
        turn.note("waiting.left")
        end(turn, Outcome.NOT_FIXED)
        return
    turn.move(Move.PART_AT_HAND)
    _decided(turn, "yes" if value == "goes_ahead" else "no", to_order=to_order)


def doubted(turn: Turn) -> None:
    """Not convinced: that finding is not offered again unless something new points to it; the next best step comes."""
    repair = turn.job.position.repair
    if repair is not None:
        turn.fact("declined", repair)
    turn.note("finding.doubted")
    turn.go_on = True
