"""Detail when asked: how to do a step, why it is asked, where things stand, the likely course on one sheet."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from bot.conversation.advance import fault_name, leading, leaning
from bot.conversation.echo import machine_name, phrases, said_of
from bot.conversation.effects import Text
from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.job import Phase
from bot.conversation.questions.asking import put_again
from bot.conversation.repair.finding import current_repair
from bot.conversation.safety.danger import not_safe_yet
from bot.conversation.safety.machine import covers_needed
from bot.conversation.safety.making_safe import left_safe
from bot.conversation.turn import Turn, capital
from bot.diagnosis.belief import believe
from bot.diagnosis.evidence import UNKNOWN, Evidence, Seen
from bot.diagnosis.explain import moves, to_one
from bot.diagnosis.planner import plan
from bot.diagnosis.setting import holds_as_told
from bot.diagnosis.stated import stated
from bot.language.answers.about import stems
from knowledge.schema import Check, Repair


def tell_how(turn: Turn) -> None:
    """The steps of what is open: cautions first, then where and how, what a good part shows, how it is misread."""
    question = turn.job.question
    if question is not None and question.kind == "check":
        _open_steps(turn, [turn.pack.checks[key] for key in question.checks])
    elif turn.job.position.fault is not None and turn.job.phase in {Phase.FINDING, Phase.CONSENT, Phase.REPAIR,
                                                                    Phase.WAITING}:
        _repair_steps(turn, current_repair(turn))
    elif question is not None and question.kind == "proof":
        turn.note("how.proof")
    else:
        turn.note("how.variant" if question is not None and question.kind == "variant" else "how.nothing")
        if question is not None:
            put_again(turn, question)
            return
    turn.send()


def _check_steps(turn: Turn, check: Check) -> None:
    _numbered(turn, check.cautions, check.steps or (check.ask,))
    if check.reading is not None and check.reading.pins:
        turn.note("how.pins", pins=check.reading.pins)
    if check.good:
        turn.note("check.good", good=check.good)
    if check.misread:
        turn.note("how.misread", misread=check.misread)


def _repair_steps(turn: Turn, repair: Repair) -> None:
    _covers_how(turn, repair.access)
    _numbered(turn, repair.cautions, repair.steps)
    if repair.parts:
        turn.note("how.parts", parts=list(repair.parts))


def _covers_how(turn: Turn, access: Iterable[str]) -> None:
    for cover in covers_needed(turn.pack, access):
        turn.quote(turn.pack.covers[cover].how)


def _numbered(turn: Turn, cautions: Iterable[str], steps: Iterable[str]) -> None:
    for caution in cautions:
        turn.note("caution", text=caution)
    for number, step in enumerate(steps, 1):
        turn.note("how.step", number=number, step=step)


def say_steps(turn: Turn, topic: frozenset[str], *, where: bool) -> None:
    """How something is done, or where a part sits: of the repair on the table or the open check where the words are of
    that (or of nothing), else of what the pack has on the part."""
    question = turn.job.question
    repair = current_repair(turn) if turn.job.position.fault is not None and (
        turn.job.phase in {Phase.FINDING, Phase.CONSENT, Phase.REPAIR, Phase.WAITING, Phase.PROOF}) else None
    if repair is not None and topic <= _said_in(repair.name, *repair.parts, *repair.steps):
        _repair_steps(turn, repair)
        return
    checks = [turn.pack.checks[key] for key in question.checks] if question is not None else []
    here = bool(checks) and topic <= _said_in(*(t for c in checks for t in (c.name, c.ask, *c.steps)))
    if here and not (where and topic):
        _open_steps(turn, checks)
        return
    if not _steps_elsewhere(turn, topic, where=where):
        if repair is not None:
            _repair_steps(turn, repair)
        elif checks:
            _open_steps(turn, checks)
        else:
            turn.note("how.proof" if question is not None and question.kind == "proof" else "how.nothing")


def _open_steps(turn: Turn, checks: Iterable[Check]) -> None:
    own = list(checks)
    _covers_how(turn, [cover for check in own for cover in check.access])
    for check in own:
        _check_steps(turn, check)


def _steps_elsewhere(turn: Turn, topic: frozenset[str], *, where: bool) -> bool:
    """The look at the part that the words name, or the repair of it; where it sits: behind which cover. False if the
    pack names no such part."""
    evidence = evidence_of(turn.job)
    looks = [check for key, check in turn.pack.checks.items() if topic and holds_as_told(check, evidence)
             and topic <= _said_in(key.replace("_", " "), check.name)]
    looks.sort(key=lambda check: (not check.access, check.minutes))
    if looks and (looks[0].access or not where):
        look = looks[0]
        behind = [turn.pack.covers[cover].name for cover in covers_needed(turn.pack, look.access)]
        turn.note("asked.behind", covers=behind) if where else turn.note("asked.about", name=capital(look.name))
        for caution in _cover_cautions(turn, look.access):
            turn.note("caution", text=caution)
        _covers_how(turn, look.access)
        if not where:
            _numbered(turn, look.cautions, look.steps or (look.ask,))
        return True
    repairs = (turn.pack.repair_of(fault)[1] for fault in turn.pack.faults)
    fix = next((fix for fix in repairs if topic and topic <= _said_in(fix.name, *fix.parts) and not fix.signoff), None)
    if fix is None:
        return False
    turn.note("asked.about", name=fix.name)
    for caution in _cover_cautions(turn, fix.access):
        turn.note("caution", text=caution)
    _repair_steps(turn, fix)
    return True


def _cover_cautions(turn: Turn, access: Iterable[str]) -> list[str]:
    return [caution for cover in covers_needed(turn.pack, access) for caution in turn.pack.covers[cover].cautions]


def _said_in(*texts: str) -> frozenset[str]:
    return stems(" ".join(texts))


def tell_why(turn: Turn) -> None:
    """The reasoning with its numbers: what each answer would point to, and what is believed now."""
    if turn.job.family is None or turn.job.family not in turn.context.release.models:
        turn.note("why.family")
    else:
        say_why(turn, "")
    turn.send()


def say_why(turn: Turn, about: str) -> None:
    """Why it is asked: where each answer would point. Why it is thought so, also while what brought it on is looked
    for: what the fault shows that was told, what speaks for it, and its causes. `about`: the question, as far as it
    says more than 'why'."""
    evidence = evidence_of(turn.job)
    question, fault = turn.job.question, turn.job.position.fault
    asked = question.checks[:1] if question is not None and question.kind == "check" else ()
    causes = turn.pack.faults[fault].root_causes if fault is not None else ()
    looked_for = [cause for cause in causes if cause.check in asked]
    if fault is not None and (looked_for or not asked):
        _why_thought(turn, evidence, fault, brought_on=bool(BROUGHT_ON.search(about)), told=not asked)
        for cause in looked_for or causes:
            turn.quote(cause.why)
        if not causes and BROUGHT_ON.search(about):
            turn.note("why.no_cause")
    for key in asked if not looked_for else ():
        for line in points_to(turn, evidence, key):
            turn.texts.append(line)
    turn.note("why.now", leading=leading(turn, believe(turn.model, evidence)))


def _why_thought(turn: Turn, evidence: Evidence, fault: str, *, brought_on: bool, told: bool) -> None:
    """What of the complaints the fault shows, where they are `told`, and what was found that moved its odds most; none
    of it to who asks what brought it on."""
    if brought_on:
        return
    entry, complaints = turn.pack.faults[fault], turn.pack.complaints
    shows = [complaints[fact.subject].says for fact in turn.job.standing("complaint")
             if fact.subject in entry.shows and fact.subject in complaints]
    if shows and told:
        turn.note("why.shows", fault=capital(entry.name), said=shows)
    facts = {f"check:{fact.subject}": fact for fact in turn.job.standing("result")}
    moved = [move for move in moves(turn.model, evidence) if move.fault == fault and move.evidence in facts]
    for key, speak in (("why.for", [m for m in moved if m.bans >= SPEAKS][:2]),
                       ("why.against", [m for m in moved if m.bans <= -SPEAKS][:1])):
        said = [Text("why.odds", {"said": said_of(turn, facts[m.evidence]), "odds": to_one(m.bans)}) for m in speak]
        if said:
            turn.note(key, fault=entry.name, said=said)


SPEAKS: Final = 0.3
"""Bans (log10 of odds) from which on a finding speaks for or against a fault: two to one. Judgement."""
BROUGHT_ON: Final = re.compile(
    r"\b(?:burn\w*|fail\w*|brea?k\w*|broke|blow\w*|blew|go|went|gone|die|died|wear|wore|worn|happen\w*|caus\w*|pop\w*|"
    r"trip\w*|open|opened|quit|crack\w*|tear|tore|clog\w*|seiz\w*|fry|fried|quemo|rompi\w*)\b", re.IGNORECASE)
"""Words of a question that ask what brought a fault on, and not what speaks for it."""


def points_to(turn: Turn, evidence: Evidence, key: str) -> list[Text]:
    """For each result of a check that may well come: which fault it would point to, and how surely."""
    lines = []
    for result, entry in turn.pack.checks[key].results.items():
        after = believe(turn.model, replace(evidence, history=(*evidence.history, Seen(key, result))))
        fault, p = next(((f, p) for f, p in after.faults if f != UNKNOWN), (UNKNOWN, 1.0))
        says = capital(entry.says)
        lines.append(Text("why.result", {"result": says, "fault": fault_name(turn, fault),
                                         "chance": Text("chance", {"p": stated(p)})}))
    return lines


def tell_where(turn: Turn) -> None:
    """What is known, what is believed, how the machine stands; then the open question once more."""
    if turn.job.family is None:
        turn.note("where.nothing")
    else:
        facts = turn.job.standing("complaint", "denied", "result", "cannot")
        machine = machine_name(turn, turn.job.standing("variant"))
        turn.note("where.known", machine=capital(machine),
                  said=phrases(turn, facts) or [Text("where.no_facts")])
        if (found := _found_by_senior(turn)) is not None:
            turn.texts.append(found)
        elif facts and not not_safe_yet(turn.job):
            turn.texts.append(leaning(turn, believe(turn.model, evidence_of(turn.job))))
        machine_state = turn.job.position.machine
        if machine_state.power == "off" or machine_state.covers:
            turn.note("where.machine", power=Text(f"power.{machine_state.power}"),
                      covers=[turn.pack.covers[c].name for c in machine_state.covers] or [Text("where.no_covers")])
    _again_or_send(turn)


def _found_by_senior(turn: Turn) -> Text | None:
    """The finding that the visit is on, where a senior named it; None where it is ours, or doubted since."""
    named = next((f for f in reversed(turn.job.standing("verdict"))), None)
    if named is None or named.subject != turn.job.position.fault or turn.job.phase in {Phase.CHECKS, Phase.INTAKE}:
        return None
    who = turn.context.people.get(named.value)
    fault = turn.pack.faults[named.subject].name
    return Text("where.found_by", {"name": who.name, "fault": fault}) if who else Text("where.found", {"fault": fault})


def tell_sheet(turn: Turn) -> None:
    """The likely course in one message, for places without signal: this step, and what follows each answer."""
    question = turn.job.question
    if turn.job.family is None or question is None or question.kind != "check":
        turn.note("sheet.nothing")
        _again_or_send(turn)
        return
    evidence = evidence_of(turn.job)
    key = question.checks[0]
    turn.note("sheet.title", ask=turn.pack.checks[key].ask)
    for result, entry in turn.pack.checks[key].results.items():
        turn.note("sheet.branch", result=entry.says, then=_then(turn, evidence, key, result))
    turn.note("sheet.safe", make_safe=left_safe(turn))
    turn.send()


def _then(turn: Turn, evidence: Evidence, key: str, result: str) -> Text:
    """What would follow a result: the next check with its question, the likely repair, or the senior."""
    after = replace(evidence, history=(*evidence.history, Seen(key, result)))
    best = plan(turn.model, after, situation_of(turn.job, turn.context)).best
    if best.do == "check":
        return Text("sheet.check", {"ask": turn.pack.checks[best.id].ask})
    if best.do in {"repair", "stop"} and turn.pack.faults_of(best.id):
        fault = next((part for f, _ in believe(turn.model, after).faults for part in f.split("+")
                      if part in turn.pack.faults_of(best.id)), turn.pack.faults_of(best.id)[0])
        repair = turn.pack.repair_of(fault)[1]
        return Text("sheet.repair", {"fault": turn.pack.faults[fault].name, "repair": repair.name})
    return Text("sheet.senior")


def _again_or_send(turn: Turn) -> None:
    if turn.job.question is not None:
        put_again(turn, turn.job.question)
    else:
        turn.send()
