"""Where the talk goes on: work out belief, weigh the actions, and ask, find, or bring in a senior."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from bot.conversation.crew.signoffs import beyond
from bot.conversation.effects import Text
from bot.conversation.facts import answered_checks, evidence_of, situation_of, told_already
from bot.conversation.intake import ask_complaint_once, ask_missing
from bot.conversation.job import Phase
from bot.conversation.phases import Move
from bot.conversation.questions.another_way import asked_another_way
from bot.conversation.questions.asking import put
from bot.conversation.questions.other_half import ask_other_half
from bot.conversation.questions.shut import ask_if_shut
from bot.conversation.repair.finding import present
from bot.conversation.repair.handing import STANDS_OUT, hand_off, keeps_out
from bot.conversation.safety.alarming import hurt_wires_first, wires_first
from bot.conversation.safety.gas_smelt import out_of_gas
from bot.conversation.safety.machine import covers_needed, show_card
from bot.conversation.told.not_run import runs_after_all
from bot.conversation.turn import Turn
from bot.diagnosis.advice import confirming, opens, telling_apart
from bot.diagnosis.belief import believe
from bot.diagnosis.evidence import FITS_NOTHING, UNKNOWN, Belief, Decision, Evidence, Option, Repaired, Situation
from bot.diagnosis.planner import plan
from bot.diagnosis.stated import stated
from bot.language.meaning import Meaning

SHOWN: Final = 5
"""Faults and options kept in the trace of a step."""
SAME_REPAIR_TWICE: Final = 2
SURE_OF_VARIANT: Final = 0.9
"""How surely a machine must be of the kind that has a check before it is asked for outright."""
MOST_HAVE_IT: Final = 0.5
"""The same where the kind cannot be told, the machine being in the state it is in."""
DOUBTED: Final = "finding.doubted"
BRINGS_IT: Final = 2
"""A senior who has to bring a tool costs so many times what one costs who is asked in the chat. Judgement."""
TOGETHER_AGAIN: Final = 30.0
"""Minutes that an open machine's putting together, and opening again, is worth. Judgement."""
WITHOUT_IT: Final = 2
"""Checks that are still asked without the tool before somebody brings it."""
SEEN_ENOUGH: Final = 4
"""Answers from which on a senior is not kept waiting for another."""
STANDS_OUT_ALONE: Final = 0.7
"""Chance of one fault from which on it needs no telling apart. Judgement."""
QUICK: Final = 8.0
"""Minutes, covers with them, that such a look may take."""
MOSTLY: Final = 0.5
"""Share of the belief in work beyond the tech's sign-offs from which that is why a senior comes."""


def advance(turn: Turn, meaning: Meaning | None = None) -> None:
    """Find the next step and put it. Paragraphs that were gathered go along with it."""
    if keeps_out(turn) or out_of_gas(turn) or ask_missing(turn, meaning) or not _covered(turn) or _at_the_wires(turn):
        return
    evidence = evidence_of(turn.job)
    belief = believe(turn.model, evidence)
    _trace_belief(turn, belief)
    if _twice_failed(evidence):
        hand_off(turn, "failed_twice", belief)
        return
    open_checks = turn.job.question.checks if turn.job.question else ()
    keep = open_checks[0] if open_checks else None
    situation = situation_of(turn.job, turn.context)
    decision = turn.context.adviser(turn.model, evidence, belief, situation, keep)
    told = told_already(turn.job, turn.context)
    if decision.best.do == "check" and decision.best.id in told:
        situation = replace(situation, declined=situation.declined | told)
        decision = turn.context.adviser(turn.model, evidence, belief, situation, keep)
    if decision.best.do == "check" and _better_run(turn, evidence, belief, decision):
        advance(turn)
        return
    _trace_decision(turn, decision)
    if ask_other_half(turn, decision):
        return
    best = hurt_wires_first(turn, belief, decision.best)
    if best.do in {"check", "handoff"} and ask_complaint_once(turn):
        return
    match best.do:
        case "check" if decision.again:
            _ask_again(turn, best.id)
        case "check":
            if not _variant_first(turn, belief, best.id):
                _ask_check(turn, decision)
        case "repair" | "stop":
            if not (set(turn.pack.faults_of(best.id)) & set(beyond(turn, belief))
                    and _told_apart(turn, evidence, belief, situation)):
                present(turn, best.id, belief, doubt=lambda t: _unsure(t, belief))
        case _:
            _nothing_left(turn, evidence, belief, situation, told, fits=best.id != FITS_NOTHING)


def _nothing_left(turn: Turn, evidence: Evidence, belief: Belief, situation: Situation, told: frozenset[str], *,
                  fits: bool) -> None:
    """A senior comes, unless a look is left that tells more than what there is."""
    if asked_another_way(turn):
        return
    if not fits:
        hand_off(turn, "fits_nothing", belief)
    elif not (_settling(turn, evidence, belief, situation, told) or _told_apart(turn, evidence, belief, situation)):
        _unsure(turn, belief)


def _at_the_wires(turn: Turn) -> bool:
    """On to the checks; mice and hurt wires that were told just now are looked at first. True if they are."""
    _to_checks(turn)
    wires = wires_first(turn)
    if wires is not None:
        ask_for(turn, wires)
    return wires is not None


def _better_run(turn: Turn, evidence: Evidence, belief: Belief, decision: Decision) -> bool:
    """Whether an open machine is now put together for a run: what is left to look at would take that much longer."""
    kept = next((f for f in reversed(turn.job.standing("declined")) if f.subject == "run"), None)
    if kept is None or kept.turn == turn.key:
        return False
    situation = situation_of(turn.job, turn.context, runs=True)
    running = turn.context.adviser(turn.model, evidence, belief, situation, None).best
    return (running.do == "check" and turn.pack.checks[running.id].power == "run"
            and running.expected_minutes + TOGETHER_AGAIN < decision.best.expected_minutes and runs_after_all(turn))


def _settling(turn: Turn, evidence: Evidence, belief: Belief, situation: Situation, told: frozenset[str]) -> bool:
    """Who is not convinced gets the check that shows the fault itself before a senior comes; False if none is left."""
    if not any(text.key == DOUBTED for text in turn.texts):
        return False
    wanted = replace(situation, declined=situation.declined - {turn.job.position.repair or ""} | told)
    decision = turn.context.adviser(turn.model, evidence, belief, wanted, None)
    check = confirming(turn.model, belief, decision.options)
    if check is None:
        turn.texts[:] = [text for text in turn.texts if text.key != DOUBTED]
        return False
    _ask_check(turn, replace(decision, best=check))
    return True


def _told_apart(turn: Turn, evidence: Evidence, belief: Belief, situation: Situation) -> bool:
    """Where nothing stands out but that the work is a senior's, a look the tech may take comes first: the senior gets
    more than a guess. False if there is none, or enough was seen."""
    seen = [f for f in turn.job.standing("result", "declined", "cannot") if not (
        f.subject in turn.pack.checks and turn.pack.checks[f.subject].begins)]
    theirs = beyond(turn, belief).values()
    if len(seen) >= SEEN_ENOUGH or sum(theirs) < MOSTLY or max(theirs) >= STANDS_OUT_ALONE:
        return False
    key = next((key for key in telling_apart(turn.model, evidence, situation) if _quick(turn, key)), None)
    if key is None:
        return False
    if not _variant_first(turn, belief, key):
        _ask_check(turn, Decision(Option("check", key, turn.pack.checks[key].minutes, 0.0), ()))
    return True


def _quick(turn: Turn, key: str) -> bool:
    check = turn.pack.checks[key]
    covers = sum(turn.pack.covers[cover].open_minutes for cover in covers_needed(turn.pack, check.access))
    return check.minutes + covers <= QUICK


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


def ask_for(turn: Turn, check: str) -> None:
    """Put one check, first the kind of machine that it needs."""
    if not _variant_first(turn, believe(turn.model, evidence_of(turn.job)), check) and not ask_if_shut(turn, check):
        put(turn, "check", checks=(check,))


def _ask_check(turn: Turn, decision: Decision) -> None:
    key = decision.best.id
    question = turn.job.question
    same = question is not None and question.checks[:1] == (key,)
    if ask_if_shut(turn, key):
        return
    together = (key, *decision.together[:2])
    if same and question is not None and not set(question.checks) <= set(together):
        together = (key,)  # of what was asked in one go, this is left
    elif same and question is not None:
        together = question.checks
    check = turn.pack.checks[key]
    if opens(check):
        show_card(turn)
    put(turn, "check", checks=together, asked=(question.asked + 1) if same and question else 1)


def _ask_again(turn: Turn, key: str) -> None:
    """What fits the rest least is asked once more."""
    check = turn.pack.checks[key]
    if check.begins:  # what the customer remembers is no clearer the second time, nor is the rest any odder for it
        for told in answered_checks(turn.job):
            turn.fact("misfit_accepted", told)
        advance(turn)
        return
    turn.fact("misfit_accepted", key)
    result = check.results[answered_checks(turn.job)[key]]
    turn.note("surprise", name=check.name, says=result.says)
    if result.band is not None and result.band.open:
        turn.note("surprise.leads")
    put(turn, "check", checks=(key,), asked=2)


def _variant_first(turn: Turn, belief: Belief, key: str) -> bool:
    """A check that only some machines have waits until it is known that this is one of them. True if that was asked.

    Where it cannot be told of this machine, the check is asked only if most have what it looks at.
    """
    known = {f.subject for f in turn.job.standing("variant")}
    told = {f.subject for f in turn.job.standing("complaint")}
    for axis, values in turn.pack.checks[key].only.items():
        here = sum(p for value, p in belief.variants.get(axis, {}).items() if value in values)
        variant = turn.pack.family.variants[axis]
        hidden = bool(told & set(variant.unless))
        if axis in known or here >= (MOST_HAVE_IT if hidden else SURE_OF_VARIANT):
            continue
        if hidden or any(f.subject == f"variant:{axis}" for f in turn.job.standing("declined")):
            turn.fact("declined", key)
            advance(turn)
            return True
        put(turn, "variant", [*(f"variant:{axis}:{value}" for value in variant.values), "dont_know"],
            axis=axis, ask=variant.ask)
        return True
    return False


def _twice_failed(evidence: Evidence) -> bool:
    done = [item.repair for item in evidence.history if isinstance(item, Repaired)]
    return any(done.count(repair) >= SAME_REPAIR_TWICE for repair in done)


def _unsure(turn: Turn, belief: Belief) -> None:
    """No step of the tech's own is worth it: say which of the reasons it is.

    Where only a tool is lacking, first comes what can be asked without it and narrows it down for who brings the tool.
    """
    if runs_after_all(turn):
        advance(turn)
        return
    theirs = beyond(turn, belief)
    if sum(theirs.values()) >= MOSTLY:
        hand_off(turn, "licensed", belief, fault=next(iter(theirs)))
        return
    tools = {f.subject for f in turn.job.standing("cannot")} & set(turn.context.release.knowledge.common.tools)
    if tools:
        evidence = evidence_of(turn.job)
        here = plan(turn.model, evidence, _in_person(turn)).best
        if here.do == "check" and _told_since(turn, tools) < WITHOUT_IT:
            if not _variant_first(turn, belief, here.id):
                _ask_check(turn, Decision(here, (here,)))
            return
        best = plan(turn.model, replace(evidence, cannot=evidence.cannot - tools),
                    situation_of(turn.job, turn.context)).best
        first = next((f for f, p in belief.faults if f in turn.pack.faults and p >= MOSTLY), None)
        if best.do == "check" or (first is not None and tools & set(turn.pack.repair_of(first)[1].tools)):
            hand_off(turn, "lacks_tool", belief)
            return
    hand_off(turn, "unsure", belief)


def _told_since(turn: Turn, tools: Iterable[str]) -> int:
    """Checks that were answered or passed over since the first of these tools turned out to be lacking."""
    standing = turn.job.standing("cannot", "result", "declined")
    first = next(i for i, f in enumerate(standing) if f.kind == "cannot" and f.subject in tools)
    return len({f.subject for f in standing[first:] if f.subject in turn.pack.checks})


def _in_person(turn: Turn) -> Situation:
    """The situation where a senior has to come with the tool; without the checks that only tell what was told."""
    situation = situation_of(turn.job, turn.context)
    return replace(situation, declined=situation.declined | told_already(turn.job, turn.context),
                   handoff_minutes=situation.handoff_minutes * BRINGS_IT)


def _trace_belief(turn: Turn, belief: Belief) -> None:
    turn.trace("belief", faults=[[f, round(p, 4)] for f, p in belief.faults[:SHOWN]], misfit=round(belief.misfit, 3),
               unknown=round(dict(belief.faults).get(UNKNOWN, 0.0), 4))


def _trace_decision(turn: Turn, decision: Decision) -> None:
    turn.trace("weighed", options=[[o.do, o.id, round(o.minutes, 1), round(o.expected_minutes, 1)]
                                   for o in decision.options[:SHOWN]])


def leaning(turn: Turn, belief: Belief) -> Text:
    """What the case points at, or that nothing stands out, for a senior and for `where`."""
    best = max((p for _, p in belief.faults), default=0.0)
    return Text("belief.lean" if best >= STANDS_OUT else "belief.open", {"leading": leading(turn, belief)})


def leading(turn: Turn, belief: Belief) -> Text:
    """The best three faults with their chances."""
    faults = [Text("belief.one", {"name": fault_name(turn, key), "chance": Text("chance", {"p": stated(p)})})
              for key, p in belief.faults[:3] if p >= 0.02]
    return Text("belief.list", {"faults": faults})


def fault_name(turn: Turn, key: str) -> str | Text:
    """A fault's name, a pair's both; of what was repaired already, and did not cure, that is said."""
    if key == UNKNOWN:
        return Text("belief.unknown")
    done = {f.subject for f in turn.job.standing("done_before", "repaired")}
    parts = key.split("+")
    named = " and ".join(turn.pack.faults[part].name for part in parts)
    again = any(done & {part, turn.pack.repair_of(part)[0]} for part in parts)
    return Text("belief.repaired", {"name": named}) if again else named
