"""Where the talk goes on: work out belief, weigh the actions, and ask, find, or bring in a senior."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.asking import put
from bot.conversation.effects import Text
from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.finding import beyond_signoffs, present
from bot.conversation.handing import hand_off
from bot.conversation.intake import ask_missing
from bot.conversation.job import Phase
from bot.conversation.machine import show_card
from bot.conversation.phases import Move
from bot.conversation.turn import Turn
from bot.diagnosis.belief import believe
from bot.diagnosis.evidence import UNKNOWN, Belief, Decision, Evidence, Option, Repaired
from bot.diagnosis.planner import plan
from bot.diagnosis.thresholds import MISFIT_AGAIN, MISFIT_HANDOFF
from bot.language.meaning import Meaning
from knowledge.schema import Check

SHOWN: Final = 5
"""Faults and options kept in the trace of a step."""
SAME_REPAIR_TWICE: Final = 2
SURE_OF_VARIANT: Final = 0.9
"""How surely a machine must be of the kind that has a check before it is asked for outright."""
SURE_OF_FAULT: Final = 0.85
SURE_OF_DEAR: Final = 0.92
"""How sure a finding is named without a further check: one wrong in seven costs less than two checks more on each."""
MOSTLY: Final = 0.5
"""Share of the belief in work beyond the tech's sign-offs from which that is why a senior comes."""


def advance(turn: Turn, meaning: Meaning | None = None) -> None:
    """Find the next step and put it. Paragraphs that were gathered go along with it."""
    if ask_missing(turn, meaning):
        return
    if not _covered(turn):
        return
    _to_checks(turn)
    evidence = evidence_of(turn.job)
    belief = believe(turn.model, evidence)
    _trace_belief(turn, belief)
    if _twice_failed(evidence):
        hand_off(turn, "failed_twice", belief)
        return
    if _fits_nothing(turn, evidence, belief):
        return
    open_checks = turn.job.question.checks if turn.job.question else ()
    keep = open_checks[0] if open_checks else None
    decision = plan(turn.model, evidence, situation_of(turn.job, turn.context), keep=keep)
    decision = _watch_first(turn, evidence, decision)
    _trace_decision(turn, decision)
    settled = _settled(turn, belief)
    match decision.best.do:
        case "check" if settled is not None:
            present(turn, settled, belief, doubt=lambda t: _unsure(t, belief))
        case "check":
            if not _variant_first(turn, belief, decision.best.id):
                _ask_check(turn, decision)
        case "repair" | "stop":
            present(turn, decision.best.id, belief, doubt=lambda t: _unsure(t, belief))
        case _:
            _unsure(turn, belief)


def _covered(turn: Turn) -> bool:
    """A family whose pack did not load is handed off like an appliance we do not cover."""
    if turn.job.family in turn.context.release.knowledge.packs:
        return True
    hand_off(turn, "not_covered", None)
    return False


def _to_checks(turn: Turn) -> None:
    """From wherever the visit stands, back to checks by the moves that the table has."""
    ways: dict[Phase, tuple[Move, ...]] = {
        Phase.INTAKE: (Move.KNOWN,), Phase.CHECKS: (), Phase.FINDING: (Move.DOUBTED,), Phase.CONSENT: (Move.DOUBTED,),
        Phase.WAITING: (Move.DOUBTED,), Phase.REPAIR: (Move.DOUBTED,), Phase.PROOF: (Move.FAILED,),
        Phase.CLOSING: (Move.FAILED,), Phase.HAZARD: (Move.CLEARED, Move.KNOWN),
        Phase.HANDED_OFF: (Move.GIVEN_BACK, Move.KNOWN)}
    for move in ways[turn.job.phase]:
        turn.move(move)


def _settled(turn: Turn, belief: Belief) -> str | None:
    """The repair that is sure enough to be named, whatever a cheap check could still add: a lead hand stops asking.

    The planner's estimates of what comes after differ by less than their error there. A dear part wants more.
    """
    declined = {f.subject for f in turn.job.standing("declined", "repaired")}
    leading_fault = next((f for f, _ in belief.faults if f in turn.pack.faults), None)
    if leading_fault is None or not turn.job.standing("result"):
        return None
    key, repair = turn.pack.repair_of(leading_fault)
    cured = set(turn.pack.faults_of(key))
    p = sum(p for f, p in belief.faults if cured & set(f.split("+")))
    enough = SURE_OF_DEAR if repair.cost in {"high", "very_high"} else SURE_OF_FAULT
    return key if p >= enough and key not in declined else None


def _watch_first(turn: Turn, evidence: Evidence, decision: Decision) -> Decision:
    """Before anything is opened for the first time, the machine is watched once, where it can be.

    Which step fails, and is the motor silent, humming, or running with nothing moving: it costs no cover, and what
    the customer said is then what the tech saw. The planner picks among the checks that watch a run.
    """
    if decision.best.do != "check" or not _opens(turn.pack.checks[decision.best.id]) or _watched(turn):
        return decision
    others = {key for key, check in turn.pack.checks.items() if check.power != "run" or _opens(check)}
    situation = situation_of(turn.job, turn.context)
    watching = plan(turn.model, evidence, replace(situation, declined=situation.declined | others))
    if watching.best.do == "check":
        return watching
    usual = turn.pack.family.watch
    check = turn.pack.checks[usual]
    if usual in situation.declined | evidence.cannot or set(check.unless) & set(evidence.complaints):
        return decision
    return replace(watching, best=Option("check", usual, check.minutes, decision.best.expected_minutes), together=())


def _opens(check: Check) -> bool:
    return bool(check.access) or check.power in {"off", "live"}


def _watched(turn: Turn) -> bool:
    """Whether a run was watched, or cannot be: refused, impossible, or nothing that is told shows in one."""
    checks = turn.pack.checks
    told = turn.job.standing("result", "cannot", "declined")
    if any(f.subject in checks and checks[f.subject].power == "run" for f in told):
        return True
    known = turn.pack.complaints
    complaints = [known[f.subject] for f in turn.job.standing("complaint") if f.subject in known]
    return not any(c.seen_by_watch for c in complaints) or any(c.hazard for c in complaints)


def _ask_check(turn: Turn, decision: Decision) -> None:
    key = decision.best.id
    question = turn.job.question
    same = question is not None and question.checks[:1] == (key,)
    together = (key, *decision.together[:2]) if decision.together and not same else (key,)
    check = turn.pack.checks[key]
    if check.access or check.power in {"off", "live"}:
        show_card(turn)
    put(turn, "check", checks=together, asked=(question.asked + 1) if same and question else 1)


def _variant_first(turn: Turn, belief: Belief, key: str) -> bool:
    """A check that only some machines have waits until it is known that this is one of them. True if that was asked."""
    known = {f.subject for f in turn.job.standing("variant")}
    for axis, values in turn.pack.checks[key].only.items():
        here = sum(p for value, p in belief.variants.get(axis, {}).items() if value in values)
        if axis in known or here >= SURE_OF_VARIANT:
            continue
        if any(f.subject == f"variant:{axis}" for f in turn.job.standing("declined")):
            turn.fact("declined", key)
            advance(turn)
            return True
        variant = turn.pack.family.variants[axis]
        put(turn, "variant", [*(f"variant:{axis}:{value}" for value in variant.values), "dont_know"],
            axis=axis, ask=variant.ask)
        return True
    return False


def _twice_failed(evidence: Evidence) -> bool:
    done = [item.repair for item in evidence.history if isinstance(item, Repaired)]
    return any(done.count(repair) >= SAME_REPAIR_TWICE for repair in done)


def _fits_nothing(turn: Turn, evidence: Evidence, belief: Belief) -> bool:
    """At the first threshold the answer that fits least is asked once more; past the second a senior is brought in."""
    if belief.misfit < MISFIT_AGAIN or not turn.job.standing("result"):
        return False
    if belief.misfit >= MISFIT_HANDOFF or turn.job.standing("misfit_accepted"):
        if belief.misfit >= MISFIT_HANDOFF:
            hand_off(turn, "fits_nothing", belief)
            return True
        return False
    worst = _fits_least(turn, evidence)
    if worst is None:
        return False
    check = turn.pack.checks[worst.subject]
    turn.fact("misfit_accepted", worst.subject)
    says = check.results[worst.value].says
    turn.note("surprise", name=check.name, says=says)
    put(turn, "check", checks=(worst.subject,), asked=2)
    return True


def _fits_least(turn: Turn, evidence: Evidence):  # type: ignore[no-untyped-def]
    """The standing result without which the rest fits together best."""
    best, least = None, float("inf")
    for fact in turn.job.standing("result"):
        history = tuple(i for i in evidence.history if getattr(i, "check", None) != fact.subject)
        surprise = believe(turn.model, replace(evidence, history=history)).surprise
        if surprise < least:
            best, least = fact, surprise
    return best


def _unsure(turn: Turn, belief: Belief) -> None:
    """No step of the tech's own is worth it: say which of the reasons it is."""
    beyond = [(p, f) for f, p in belief.faults if f in turn.pack.faults and beyond_signoffs(turn, f)]
    if sum(p for p, _ in beyond) >= MOSTLY:
        hand_off(turn, "licensed", belief, fault=max(beyond)[1])
        return
    tools = {f.subject for f in turn.job.standing("cannot")} - set(turn.pack.checks)
    first = next((f for f, p in belief.faults if f in turn.pack.faults and p >= MOSTLY), None)
    if first is not None and tools & set(turn.pack.repair_of(first)[1].tools):
        hand_off(turn, "lacks_tool", belief)
        return
    if tools:
        evidence = evidence_of(turn.job)
        with_tools = replace(evidence, cannot=evidence.cannot - tools)
        if plan(turn.model, with_tools, situation_of(turn.job, turn.context)).best.do == "check":
            hand_off(turn, "lacks_tool", belief)
            return
    hand_off(turn, "unsure", belief)


def _trace_belief(turn: Turn, belief: Belief) -> None:
    turn.trace("belief", faults=[[f, round(p, 4)] for f, p in belief.faults[:SHOWN]], misfit=round(belief.misfit, 3),
               unknown=round(dict(belief.faults).get(UNKNOWN, 0.0), 4))


def _trace_decision(turn: Turn, decision: Decision) -> None:
    turn.trace("weighed", options=[[o.do, o.id, round(o.minutes, 1), round(o.expected_minutes, 1)]
                                   for o in decision.options[:SHOWN]])


def leading(turn: Turn, belief: Belief) -> Text:
    """The best three faults with their chances, for `where` and `why`."""
    faults = [Text("belief.one", {"name": fault_name(turn, key), "chance": Text("chance", {"p": p})})
              for key, p in belief.faults[:3] if p >= 0.02]
    return Text("belief.list", {"faults": faults})


def fault_name(turn: Turn, key: str) -> str | Text:
    """A fault's name; a pair is named by both."""
    if key == UNKNOWN:
        return Text("belief.unknown")
    return " and ".join(turn.pack.faults[part].name for part in key.split("+"))
