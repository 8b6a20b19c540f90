"""From the log of facts to what diagnosis is given."""

from __future__ import annotations

from typing import Final

from bot.conversation.context import Context
from bot.conversation.job import BY_LAYMAN, Fact, Job
from bot.conversation.safety.machine import covers_needed
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import Evidence, Repaired, Seen, Situation
from bot.diagnosis.setting import kind_known
from bot.diagnosis.unsafe import unsafe_complaint, unsafe_results
from knowledge.schema import Pack

GIVEN_BACK_FACTOR: Final = 10
"""After a senior gave the job back, asking again costs this many times as much: first comes what is left to try."""


POINTING: Final = 3.0
"""A result this many times as likely with a fault as without points to it. Judgement."""
WILL_NOT: Final = "will_not"
STAYS_OPEN: Final = "open"


def given_of(job: Job) -> dict[str, float]:
    """Plate values and temperatures that were told: watts, volts, ambient_c, leads_ohm."""
    return {f.subject: f.number for f in job.standing("given") if f.number is not None}


def evidence_of(job: Job) -> Evidence:
    """Everything that stands in the log, in order. Needs a known family."""
    if job.family is None:
        raise ValueError("no family yet: ask for it before diagnosing")
    return Evidence(
        family=job.family,
        variant={f.subject: f.value for f in job.standing("variant")},
        complaints=_distinct(job, "complaint"),
        denied=tuple(c for c in _distinct(job, "denied") if c not in _distinct(job, "complaint")),
        history=_history(job),
        cannot=frozenset(f.subject for f in job.standing("cannot")),
        given=given_of(job),
    )


def stays_dead(job: Job, pack: Pack) -> bool:
    """Whether nothing may run before the repair: after fire, shock or flood, and after a result or complaint that is
    unsafe."""
    if job.position.machine.stays_dead:
        return True
    since = job.standing("result", "repaired", "complaint")
    last = max((place for place, fact in enumerate(since) if fact.kind == "repaired"), default=-1)
    if any(f.kind == "complaint" and unsafe_complaint(pack, f.subject) for f in since[last + 1:]):
        return True
    seen = [(f.subject, f.value) for f in since[last + 1:] if f.kind == "result"]
    return any(True for _ in unsafe_results(pack, seen))


def kept_from_running(job: Job) -> str | None:
    """Why the tech does not run the machine, as told since the last repair: WILL_NOT, STAYS_OPEN, or None."""
    why = None
    for fact in job.standing("declined", "repaired"):
        if fact.kind == "repaired":
            why = None
        elif fact.subject == "run":
            why = fact.value
    return why


def not_to_run(job: Job, pack: Pack) -> bool:
    """Whether no run may be asked for now: it stays dead, or the tech does not run it."""
    return stays_dead(job, pack) or kept_from_running(job) is not None


def situation_of(job: Job, context: Context, *, runs: bool = False) -> Situation:
    """Who stands there and how the machine stands. `runs`: as if the tech would run it after all."""
    tech = context.people[job.tech]
    shut, pack = shut_covers(job), context.release.knowledge.packs.get(job.family or "")
    declined = frozenset(f.subject for f in job.standing("declined")) - _shown_since(job, context)
    if pack is not None and stays_dead(job, pack):
        declined |= {key for key, check in pack.checks.items()
                     if check.power in {"run", "live"} or check.at_outlet or check.resets}
    if pack is not None and kept_from_running(job) is not None and not runs:
        declined |= {key for key, check in pack.checks.items() if check.power in {"run", "live"}}
    if shut and pack is not None:
        declined |= {key for key, check in pack.checks.items() if shut & set(covers_needed(pack, check.access))}
    handoff = context.firm.handoff_minutes * (GIVEN_BACK_FACTOR if "handoff" in declined else 1)
    return Situation(
        signoffs=frozenset(tech.signoffs),
        open_covers=frozenset(job.position.machine.covers),
        power=job.position.machine.power,
        declined=declined,
        again=frozenset(f.subject for f in job.standing("misfit_accepted")),
        handoff_minutes=handoff,
    )


def _shown_since(job: Job, context: Context) -> frozenset[str]:
    """Repairs that somebody was not convinced of, and that a result since then points to."""
    model = context.release.models.get(job.family or "")
    if model is None:
        return frozenset()
    doubted: dict[str, bool] = {}
    for fact in job.standing("declined", "result"):
        if fact.kind == "declined" and fact.subject in model.repair_index:
            doubted[fact.subject] = False
        elif fact.kind == "result":
            doubted |= {repair: True for repair in doubted if _points_to(model, repair, fact)}
    return frozenset(repair for repair, shown in doubted.items() if shown)


def _points_to(model: Model, repair: str, seen: Fact) -> bool:
    """Whether a result is POINTING times as likely with a fault that the repair cures as on a good machine."""
    if seen.subject not in model.check_index or seen.value not in model.pack.checks[seen.subject].results:
        return False
    c, o = model.check_index[seen.subject], model.result_index(seen.subject, seen.value)
    mine = [h for h, f in enumerate(model.fault_of) if model.name(int(f)) in model.cured_by(repair)]
    return any(model.rows[c, o, h] > POINTING * model.normal[c, o, model.kind_of[h]] for h in mine)


def shut_covers(job: Job) -> frozenset[str]:
    """Covers that cannot be opened here."""
    return frozenset(f.subject.removeprefix("cover:") for f in job.standing("cannot") if f.subject.startswith("cover:"))


def told_already(job: Job, context: Context) -> frozenset[str]:
    """Checks that only tell how the machine is built, where that was told: 'gas or electric?'."""
    known = {f.subject for f in job.standing("variant")}
    pack = context.release.knowledge.packs.get(job.family or "")
    return frozenset(key for key, check in pack.checks.items() if kind_known(check, known)) if pack else frozenset()


def answered_checks(job: Job) -> dict[str, str]:
    """Check -> result that stands now (the last one, after the last repair or before it)."""
    return {f.subject: f.value for f in job.standing("result")}


def _distinct(job: Job, kind: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f.subject for f in job.standing(kind)))  # type: ignore[arg-type]


def _history(job: Job) -> tuple[Seen | Repaired, ...]:
    """Results and failed repairs in order, those of others of the trade before the visit first. A second answer
    replaces the first unless a repair lies between; one that was asked for because the first fitted badly leaves that
    its share."""
    history: list[Seen | Repaired] = [
        Repaired(fact.subject) for fact in job.standing("done_before") if fact.value != BY_LAYMAN]
    since: dict[str, int] = {}
    first = _first_looks(job)
    for fact in job.standing("result", "repaired"):
        if fact.kind == "repaired":
            history.append(Repaired(fact.subject))
            since.clear()
            continue
        seen = Seen(fact.subject, fact.value or None, fact.number, fact.low, fact.high,
                    first.get((fact.turn, fact.subject)))
        if fact.subject in since:
            history[since[fact.subject]] = seen
        else:
            since[fact.subject] = len(history)
            history.append(seen)
    return tuple(history)


def _first_looks(job: Job) -> dict[tuple[str, str], str]:
    """Turn and check of a second look -> what the first had shown, which fitted badly and which the second gainsays."""
    found = {}
    for place, doubted in enumerate(job.facts):
        if doubted.kind != "misfit_accepted" or doubted.withdrawn is not None:
            continue
        first = [f for f in job.facts[:place] if _plain_result(f, doubted.subject)][-1:]
        second = [f for f in job.facts[place:] if _plain_result(f, doubted.subject) and f.withdrawn is None][:1]
        for one, other in zip(first, second, strict=False):
            if one.withdrawn == other.turn and one.value != other.value:
                found[other.turn, other.subject] = one.value
    return found


def _plain_result(fact: Fact, check: str) -> bool:
    """Whether a fact is a result of a check that no figure goes with."""
    return fact.kind == "result" and fact.subject == check and bool(fact.value) and fact.number is None
