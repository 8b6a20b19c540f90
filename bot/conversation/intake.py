"""Taking in a message: family, variants, complaints, what works, results; asking only for what is missing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from bot.conversation.facts import evidence_of
from bot.conversation.job import Phase, Question
from bot.conversation.questions.asking import put
from bot.conversation.safety.cautions import for_machine
from bot.conversation.safety.heat_unasked import with_unasked_heat
from bot.conversation.safety.machine import opened
from bot.conversation.told.fills_off import with_filling_off
from bot.conversation.told.hard_wired import has_no_outlet
from bot.conversation.told.watts_open import ask_for_watts, judged_as
from bot.conversation.turn import Turn
from bot.conversation.wording.corrects import CORRECTING
from bot.diagnosis.setting import senseless
from bot.language.answers.bands import usual
from bot.language.complaints.by_itself import without_helped
from bot.language.machine.variants import builds_named, fuel_after_name, fuel_at_end, said_alone
from bot.language.meaning import HeardResult, Meaning
from bot.language.understand import understand
from bot.language.words.text import plain_words

SURE: Final = 0.5
"""A complaint counts from here on when the message as a whole was clear."""
FEW_LEFT: Final = 0.85
"""Chance of two or three families together from which on the others are not offered."""
SURE_ALONE: Final = 0.8
"""The same when the message as a whole was not: the others are asked about."""


def absorb(turn: Turn, meaning: Meaning) -> bool:
    """File what the message told. True if anything was new. A contradiction replaces what stood."""
    before = turn.job.facts
    _family(turn, meaning)
    if turn.job.family is None or turn.job.family not in turn.context.release.knowledge.packs:
        return turn.job.facts != before
    for axis, value in meaning.variant.items():
        if meaning.family in {None, turn.job.family}:  # 'a gas dryer next to it' is no build of the washer
            _set(turn, "variant", axis, value)
    for guess in meaning.complaints:
        if guess.p >= (SURE if meaning.confident else SURE_ALONE):
            _complaint(turn, guess.id)
    for complaint in meaning.denied:
        _denied(turn, complaint)
    for heard in meaning.results:
        if heard.p >= SURE and not _takes_apart_nothing(turn, heard):
            file_heard(turn, heard)
    return turn.job.facts != before


def _takes_apart_nothing(turn: Turn, heard: HeardResult) -> bool:
    """Whether it answers a question on a complaint that nobody told: 'front left burner dead' is none that lights
    late."""
    check = turn.pack.checks.get(heard.check)
    if check is None or check.kind != "ask" or not check.presumes:
        return False
    return senseless(turn.pack, check, evidence_of(turn.job))


def keep_for_later(turn: Turn, text: str) -> None:
    """Words that could not be placed for want of a family."""
    if turn.job.family is None:
        turn.mark()
        turn.place(unplaced=(*turn.job.position.unplaced, text[:1000])[-3:])


def hear_again(turn: Turn) -> None:
    """Now that the family is known: what was said before it, heard as about that machine."""
    unplaced = turn.job.position.unplaced
    if turn.job.family is None or not unplaced:
        return
    turn.place(unplaced=())
    for text in unplaced:
        heard = understand(turn.context.release.index, without_helped(text), family=turn.job.family)
        absorb(turn, with_filling_off(turn, with_unasked_heat(turn, with_build(turn, heard, text), text), text))


def with_build(turn: Turn, meaning: Meaning, text: str) -> Meaning:
    """While the machine is being told: also its build, where that stands by itself between commas."""
    packs, family = turn.context.release.knowledge.packs, turn.job.family or meaning.family
    if turn.job.phase is not Phase.INTAKE or family not in packs:
        return meaning
    alone = {**fuel_at_end(packs[family], text), **fuel_after_name(packs[family], text),
             **said_alone(packs[family], text)}
    return replace(meaning, variant={**meaning.variant, **{a: v for a, v in alone.items() if a not in meaning.variant}})


def take_builds(turn: Turn, text: str) -> bool:
    """File how the machine is built where a line tells that and nothing else, as far as it was not told before; 'no
    wait, its a gas one' puts right what was."""
    if turn.job.family not in turn.context.release.knowledge.packs:
        return False
    anew = CORRECTING.search(text) is not None
    known = set() if anew else {fact.subject for fact in turn.job.standing("variant")}
    new = {axis: value for axis, value in _builds_in(turn, text).items() if axis not in known}
    for axis, value in new.items():
        _set(turn, "variant", axis, value)
    return bool(new)


def _builds_in(turn: Turn, text: str) -> dict[str, str]:
    """Axis -> value where a line is nothing but builds; at a check the name of one in full, too: 'glow igniter'."""
    at_check = turn.job.question is not None and turn.job.question.kind == "check" and len(text.split()) > 1
    builds = turn.context.release.index.builds_of(turn.pack.family.id)
    return builds_named(builds, text) or (builds_named(builds, f"it has {text}") if at_check else {})


def names_build(turn: Turn, text: str) -> bool:
    """Whether a line at a check is the name of a build and no answer of the check's own: 'glow igniter' is no igniter
    that glows."""
    question = turn.job.question
    if question is None or turn.job.family not in turn.context.release.knowledge.packs or not _builds_in(turn, text):
        return False
    said = plain_words(text)
    checks = [turn.pack.checks[key] for key in question.checks]
    ways = [way for check in checks for entry in check.results.values()
            for way in (entry.label, *(phrase for those in entry.phrases.values() for phrase in those))]
    asked = any(all(entry.identifies for entry in check.results.values()) for check in checks)
    return not asked and all(plain_words(way) != said for way in ways)


def file_heard(turn: Turn, heard: HeardResult) -> str | None:
    """The result of a check heard in free words; a bare value is put into its band. The result that was filed."""
    check = turn.pack.checks.get(heard.check)
    if check is None or has_no_outlet(turn, heard.check):
        return None
    result = heard.result
    if heard.value is not None and check.reading is not None and result not in check.results:
        result = judged_as(turn, heard.check, heard.value).result
        ask_for_watts(turn, heard.check, heard.value)
    if result not in check.results:
        return None
    file_result(turn, heard.check, result, number=heard.value)
    return result


def file_result(turn: Turn, check: str, result: str, *, number: float | None = None, low: float | None = None,
                high: float | None = None) -> None:
    """The answer to a check; one that stood since the last repair is replaced. What the result proves is filed too, and
    one that must not wait gets its instruction at once, however it was told."""
    repairs = [i for i, f in enumerate(turn.job.facts) if f.kind == "repaired" and not f.withdrawn]
    last_repair = max(repairs, default=-1)
    old = [f for i, f in enumerate(turn.job.facts)
           if i > last_repair and f.kind == "result" and f.subject == check and not f.withdrawn]
    if any(f.value == result and f.number == number for f in old):
        return
    turn.withdraw(old)
    turn.fact("result", check, result, number=number, low=low, high=high)
    if turn.pack.checks[check].power == "off":
        turn.machine(proven=True)
        opened(turn, turn.pack.checks[check])
    entry = turn.pack.checks[check].results.get(result)
    if entry is not None:
        for axis, value in entry.identifies.items():
            _set(turn, "variant", axis, value)
        for complaint in entry.complaints:
            _complaint(turn, complaint)
        if entry.unsafe:
            turn.note("unsafe.now", instruction=entry.unsafe)
            turn.record("unsafe", check=check, result=result)


def ask_missing(turn: Turn, meaning: Meaning | None) -> bool:
    """Ask for the family, or for the complaint, if one is missing. True if a question went out."""
    if turn.job.family is None:
        put(turn, "family", _likely_families(turn, meaning))
        return True
    if turn.job.standing("complaint", "result"):
        return False
    known = [g.id for g in meaning.candidates if g.id in turn.pack.complaints][:4] if meaning else []
    if len(known) >= 2 and meaning is not None and not meaning.confident:
        put(turn, "complaint", [*known, "other"])
    else:
        _put_menu(turn)
    return True


def ask_complaint_once(turn: Turn) -> bool:
    """What it does or does not do, where only results were told. False if that was told, or asked before."""
    if turn.job.standing("complaint") or trouble_seen(turn) or any(
            asked.question.kind in {"menu", "complaint"} for asked in turn.job.asked):
        return False
    _put_menu(turn)
    return True


def trouble_seen(turn: Turn) -> bool:
    """Whether a run already showed what it does wrong: 'never gets full' needs no other name."""
    seen = [(turn.pack.checks[f.subject], f.value) for f in turn.job.standing("result")
            if f.subject in turn.pack.checks]
    return any(check.kind in {"run", "time"} and usual(check) not in {None, result} for check, result in seen)


def _put_menu(turn: Turn) -> None:
    put(turn, "menu", [*(str(i) for i in range(len(turn.pack.family.menu))), "other"])


def ask_which_family(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """'Washer', where any machine was asked for: which of the two. False if the words leave no few open."""
    near = [family for family in _few_families(turn, meaning) if family in question.values]
    if question.kind != "family" or len(near) < 2:
        return False
    keep_for_later(turn, text)
    turn.place(misses=0)
    put(turn, "family", near, asked=2 if len(near) == len(question.values) else 1)
    return True


def _likely_families(turn: Turn, meaning: Meaning | None) -> list[str]:
    """The families to choose from: the few that words left open, the last first; 'dead and safe' answers a question and
    tells less of it than what was said before. Else all."""
    index = turn.context.release.index
    answer = [meaning] if meaning else []
    for heard in [*(understand(index, text) for text in reversed(turn.job.position.unplaced)), *answer]:
        if near := _few_families(turn, heard):
            return near
    return list(turn.context.release.knowledge.packs)


def _few_families(turn: Turn, heard: Meaning) -> list[str]:
    """Two or three families that words leave open, the likeliest first; empty if they leave more, or one."""
    near = [g.id for g in heard.families if g.id in turn.context.release.knowledge.packs]
    few = 2 <= len(near) <= 3 and sum(g.p for g in heard.families if g.id in near) >= FEW_LEFT
    return near if few else []


def told_again(turn: Turn, meaning: Meaning) -> dict[str, Any]:
    """What was understood, for the trace."""
    return {"family": meaning.family, "complaints": [[g.id, round(g.p, 3)] for g in meaning.complaints],
            "denied": list(meaning.denied), "variant": dict(meaning.variant),
            "results": [[r.check, r.result, round(r.p, 3)] for r in meaning.results], "hazard": meaning.hazard,
            "confident": meaning.confident, "clues": [[c.start, c.end, c.meaning] for c in meaning.clues],
            "phase": str(turn.job.phase)}


def _family(turn: Turn, meaning: Meaning) -> None:
    job = turn.job
    known = turn.context.release.knowledge.packs
    if meaning.family is None or meaning.family == job.family or meaning.family not in known:
        return
    settled = job.family is not None and (job.phase is not Phase.INTAKE or job.standing("complaint"))
    if settled or meaning.family_p < SURE:
        return
    turn.fact("family", meaning.family)
    set_family(turn, meaning.family)


def set_family(turn: Turn, family: str) -> None:
    """From now on the visit is about a machine of this family."""
    turn.job = replace(turn.job, family=family)


def _set(turn: Turn, kind: Any, subject: str, value: str) -> None:
    old = [f for f in turn.job.standing(kind) if f.subject == subject]
    if old and old[-1].value == value:
        return
    turn.withdraw(old)
    turn.fact(kind, subject, value)


def stands_told(turn: Turn, complaint: str) -> bool:
    """File a complaint, with what is to be done at once about it. False if it stood already."""
    if any(f.subject == complaint for f in turn.job.standing("complaint")):
        return False
    _complaint(turn, complaint)
    return True


def _complaint(turn: Turn, complaint: str) -> None:
    if complaint not in turn.pack.complaints:
        return
    turn.withdraw([f for f in turn.job.standing("denied") if f.subject == complaint])
    if all(f.subject != complaint for f in turn.job.standing("complaint")):
        turn.fact("complaint", complaint)
        if (unsafe := turn.pack.complaints[complaint].unsafe) is not None:
            turn.note("unsafe.now", instruction=for_machine(turn, unsafe))


def _denied(turn: Turn, complaint: str) -> None:
    if complaint not in turn.pack.complaints:
        return
    turn.withdraw([f for f in turn.job.standing("complaint") if f.subject == complaint])
    if all(f.subject != complaint for f in turn.job.standing("denied")):
        turn.fact("denied", complaint)
