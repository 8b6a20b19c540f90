"""Naming the fault: how sure and why, the root cause first, who may repair it, and what the customer says."""

from __future__ import annotations

import re
from collections.abc import Callable

from bot.conversation.crew.signoffs import lacking_for
from bot.conversation.effects import Text
from bot.conversation.facts import answered_checks, evidence_of, not_to_run, stays_dead
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put
from bot.conversation.repair.handing import hand_off
from bot.conversation.safety.making_safe import left_safe
from bot.conversation.turn import Turn, capital
from bot.diagnosis.belief import moot_checks
from bot.diagnosis.evidence import UNKNOWN, Belief
from bot.diagnosis.setting import holds_as_told
from bot.diagnosis.stated import stated
from knowledge.schema import Check, Fault, Repair

WORTH_NAMING = 0.08
"""Another fault is named beside the finding from this probability on."""
NO_FAULT = "usage.normal"
CLEANS = re.compile(r"(Clean|Clear)\b")
"""Repairs that may go without a part, whatever stands in their list of parts."""
EITHER = re.compile(r".*\bor (replace|renew)\b")
"""The others of them: 'Dry or replace the spark switches'."""
NOTES = 2
"""Notes of the firm that are shown with a finding."""


def present(turn: Turn, repair_id: str, belief: Belief, doubt: Callable[[Turn], None]) -> None:
    """The finding for a repair that the planner chose: a root-cause check first, then the words that belong to it."""
    key = _likeliest(turn, repair_id, belief)
    if key is None:
        doubt(turn)
        return
    fault = turn.pack.faults[key]
    repair = turn.pack.repair_of(key)[1]
    turn.move(Move.SETTLED)
    _on_the_table(turn, key)
    if _root_check(turn, key, fault, belief):
        return
    believed = _mass(turn, repair_id, belief)
    turn.record("finding", fault=key, p=round(stated(believed), 4), believed=round(believed, 4))
    if fault.trade is not None:
        _other_trade(turn, key, fault, belief)
    elif beyond_signoffs(turn, key):
        hand_off(turn, "licensed", belief, fault=key)
    elif key == NO_FAULT:
        _no_fault(turn, fault, repair, belief)
    else:
        _finding(turn, key, fault, repair, belief)


def announce(turn: Turn, key: str) -> None:
    """A finding on somebody's word (a senior's): the same course as one of our own, without the root-cause check."""
    fault = turn.pack.faults[key]
    turn.move(Move.SETTLED)
    _on_the_table(turn, key)
    belief = Belief(((key, 1.0),), {}, 0.0, 0.0)
    if fault.trade is not None:
        _other_trade(turn, key, fault, belief)
    else:
        _finding(turn, key, fault, turn.pack.repair_of(key)[1], belief)


def chance_of(turn: Turn, belief: Belief) -> Text:
    """How sure the finding is, in words."""
    repair = turn.job.position.repair or ""
    return Text("chance", {"p": stated(_mass(turn, repair, belief))})


def _on_the_table(turn: Turn, key: str) -> None:
    """A fault and its repair are what the talk is about now; a yes that was told to the same repair stands."""
    repair, position = turn.pack.repair_of(key)[0], turn.job.position
    turn.place(fault=key, repair=repair, agreed=position.agreed and position.repair == repair)


def ask_consent(turn: Turn, *, to_order: bool = False) -> None:
    """Price band and a yes, no or later from the customer, before a part goes in or is ordered."""
    repair = current_repair(turn)
    put(turn, "consent", ("yes", "no", "later", "covered"), price=repair.cost, part=_parts(repair),
        to_order="yes" if to_order else "")


def current_repair(turn: Turn) -> Repair:
    """The repair that the talk is about."""
    assert turn.job.position.fault is not None
    return turn.pack.repair_of(turn.job.position.fault)[1]


def _likeliest(turn: Turn, repair_id: str, belief: Belief) -> str | None:
    cured = turn.pack.faults_of(repair_id)
    ranked = sorted(((p, part) for f, p in belief.faults for part in f.split("+") if part in cured), reverse=True)
    return ranked[0][1] if ranked else (cured[0] if cured else None)


def _mass(turn: Turn, repair_id: str, belief: Belief) -> float:
    cured = set(turn.pack.faults_of(repair_id))
    return sum(p for f, p in belief.faults if cured & set(f.split("+")))


def beyond_signoffs(turn: Turn, key: str) -> bool:
    """Whether the repair of a fault takes a licence or sign-off that the tech does not have."""
    return bool(lacking_for(turn, key))


def _root_check(turn: Turn, key: str, fault: Fault, belief: Belief) -> bool:
    """Ask the first open root-cause check that is worth asking. True if one was asked."""
    answered = answered_checks(turn.job)
    refused = {f.subject for f in turn.job.standing("declined", "cannot")}
    evidence = evidence_of(turn.job)
    settled = {*answered, *refused, *turn.job.position.roots, *moot_checks(turn.pack, evidence)}
    for cause in fault.root_causes:
        check_id = cause.check
        if check_id is None or check_id in settled:
            continue
        check = turn.pack.checks[check_id]
        if check.power == "live" and "live" not in turn.tech.signoffs:
            continue
        if check.power in {"run", "live"} and not_to_run(turn.job, turn.pack):
            continue
        if (check.at_outlet or check.resets) and stays_dead(turn.job, turn.pack):
            continue
        if turn.job.position.machine.covers and _of_closed_machine(check):
            continue  # an open machine is not put together for it: the cause is seen to once it runs again
        if not holds_as_told(check, evidence):
            continue
        turn.place(roots=(*turn.job.position.roots, check_id))
        turn.note("finding.root_first", fault=capital(fault.name), chance=chance_of(turn, belief), why=cause.why)
        put(turn, "check", checks=(check_id,))
        return True
    return False


def _of_closed_machine(check: Check) -> bool:
    return check.power == "run" and not check.access


def _later(turn: Turn, check_id: str) -> bool:
    """Whether a root-cause check waits until the machine runs again."""
    check = turn.pack.checks[check_id]
    return (_of_closed_machine(check) and check_id not in answered_checks(turn.job)
            and check_id not in turn.job.position.roots and holds_as_told(check, evidence_of(turn.job)))


def _finding(turn: Turn, key: str, fault: Fault, repair: Repair, belief: Belief) -> None:
    turn.note("finding.named", fault=capital(fault.name), chance=chance_of(turn, belief))
    _notes(turn, key)
    if fault.unsafe:
        turn.note("finding.unsafe", make_safe=fault.make_safe or left_safe(turn))
        turn.record("unsafe", fault=key)
    _also(turn, key, belief)
    for cause in fault.root_causes:
        if cause.ask is not None:
            turn.note("finding.look_first", ask=cause.ask)
        elif cause.check is not None and _later(turn, cause.check):
            turn.note("finding.look_after", why=cause.why, name=turn.pack.checks[cause.check].name)
    turn.note("finding.cost", repair=repair.name, minutes=Text("minutes", {"minutes": repair.minutes}),
              price=Text("price", {"band": repair.cost}))
    ways = ("got_part", "order") if repair.parts and repair.cost != "none" else ("do_it",)
    if ways[0] != "do_it" and CLEANS.match(repair.name):
        ways = (*ways, "clean_only")
    elif ways[0] != "do_it" and EITHER.match(repair.name):
        ways = (*ways, "no_part")
    put(turn, "finding", (*ways, *(("tagged",) if fault.unsafe else ()), "doubt"), fault=fault.name)


def _no_fault(turn: Turn, fault: Fault, repair: Repair, belief: Belief) -> None:
    turn.note("finding.nothing", chance=chance_of(turn, belief))
    _notes(turn, NO_FAULT)
    _also(turn, NO_FAULT, belief)
    turn.note("finding.nothing_reproduce")
    put(turn, "finding", ("do_it", "doubt"), fault=fault.name)


def _other_trade(turn: Turn, key: str, fault: Fault, belief: Belief) -> None:
    turn.note("finding.named", fault=capital(fault.name), chance=chance_of(turn, belief))
    _notes(turn, key)
    turn.note(f"finding.trade.{fault.trade}")
    turn.quote(fault.make_safe or left_safe(turn))
    put(turn, "finding", ("told_trade", "doubt"), fault=fault.name)


def _notes(turn: Turn, key: str) -> None:
    """What seniors of the firm wrote for whoever comes to this fault; the newest ones."""
    own = [n for n in turn.context.notes if (n.family, n.fault) == (turn.job.family, key)]
    for note in own[:NOTES]:
        turn.note("notes.shown", name=note.name, text=note.text)


def _also(turn: Turn, key: str, belief: Belief) -> None:
    cured = set(turn.pack.faults_of(turn.job.position.repair or key))
    rest = [(f, p) for f, p in belief.faults
            if f != UNKNOWN and p >= WORTH_NAMING and not cured & set(f.split("+"))][:2]
    if rest:
        turn.note("finding.also", faults=[
            Text("belief.one", {"name": " and ".join(turn.pack.faults[part].name for part in f.split("+")),
                                "chance": Text("chance", {"p": p})}) for f, p in rest])


def _parts(repair: Repair) -> str:
    return ", ".join(repair.parts) or repair.name
