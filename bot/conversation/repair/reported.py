"""A repair that the tech reports himself, whatever is asked: which one it was, and what comes of it.

Cured: its proof. The same: a repair that did not cure, and on. Neither: the proof is asked for.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Final

from bot.conversation.effects import Text
from bot.conversation.facts import evidence_of, stays_dead
from bot.conversation.intake import file_heard, trouble_seen
from bot.conversation.job import Phase, Question
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put
from bot.conversation.questions.worded import answer_to
from bot.conversation.repair.finding import CLEANS, EITHER, NO_FAULT, beyond_signoffs, current_repair
from bot.conversation.repair.handing import hand_off
from bot.conversation.repair.proof import joins_beside_work
from bot.conversation.repair.repairing import GO_AHEAD, answer_repair, answer_repair_failed
from bot.conversation.safety.taped import taped_wires
from bot.conversation.told.before_asked import file_what_comes
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import (
    IS_IN,
    SET_RIGHT,
    Told,
    cause_in,
    done_and,
    how_it_went,
    names_nothing,
    partly,
    plain,
    put_back_in,
    told_of_repair,
    work_in,
)
from bot.conversation.wording.over import clearly_over, only_quiet, puts_a_part_in, told_over
from bot.conversation.wording.ways import agrees_in_part, way_of
from bot.diagnosis.belief import believe
from bot.diagnosis.evidence import Belief
from bot.diagnosis.thresholds import SURE_OF_FAULT
from bot.language.answers.about import parts_of, stems
from bot.language.answers.bands import usual
from bot.language.answers.unasked import SURE
from bot.language.machine.variants import name_words
from bot.language.meaning import HeardResult, Meaning
from bot.language.words.text import drop_apostrophes, word_set
from knowledge.schema import Repair

ON_THE_WAY: Final = frozenset({"check", "variant", "which_check", "doubt_reading", "cover"})
"""Questions at which nothing is on the table yet, or only a root cause is asked."""
FEW: Final = 4
"""Words of an answer that is taken for one whatever repair it sounds like."""
ON_THE_TABLE: Final = frozenset({"finding", "consent", "thinking", "waiting", "repair", "plate", "due"})
"""Questions at which a repair is."""
OF_THE_PART: Final = frozenset({"plate", "due"})
"""Those of them that are answered with what stands on a plate, or a day: 'its on the door' is no part that is in."""
_WAYS: Final[dict[Phase, tuple[Move, ...]]] = {
    Phase.CHECKS: (Move.SETTLED, Move.NOTHING_TO_PAY), Phase.FINDING: (Move.NOTHING_TO_PAY,),
    Phase.CONSENT: (Move.AGREED,), Phase.WAITING: (Move.ARRIVED,), Phase.REPAIR: ()}
_NO_PART: Final = word_set(
    "replace clean clear fit refit get take free seat set knock mend make remake fill put have show dry level restore "
    "swap cure stop settle new it and or the its back where not sold apart with good right replaced cleaned cleared "
    "relit found mended measured turned opened recharge by fitting fittings fitted")
"""What is done to a part, and no name of one: 'cleaned it' is no 'pilot cleaned'."""
_OR: Final = re.compile(r",| or | with | where | and | for ")


def takes_report(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """Deal with a repair that words tell of. True if they did."""
    if turn.job.family not in turn.context.release.knowledge.packs or turn.job.phase not in _WAYS:
        return False
    if question.kind not in ON_THE_WAY | ON_THE_TABLE:
        return False
    told = _told(turn, question, text)
    if told is None:
        return False
    work = work_in(text)
    repair = repair_named(turn, work, told)
    if not told.fitted and repair != turn.job.position.repair:
        repair = repair_named(turn, _WITH_WHAT.sub(" ", work), told)
    if question.kind == "repair" and repair is not None and cleans(turn, repair) and _done_beside(turn, text, told):
        repair = turn.job.position.repair
    before = {fact.subject for fact in turn.job.standing("repaired")}
    if repair in before and repair != turn.job.position.repair:
        return False  # 'the new belt is on and grips' is no second one
    if question.kind in ON_THE_TABLE:
        taken = _of_the_table(turn, question, text, told, repair)
    else:
        again = repair in before and told.how is None
        bare = names_nothing(_WITH_WHAT.sub(" ", work))  # 'cleared it'
        seen = (_found_so(turn, repair) if repair is not None  # 'put up the loop' after it was seen low
                else bare and _cleaned_as_found(turn, told, "") is not None)
        taken = (not again and (seen or not _says_what_is_asked(turn, question, text))
                 and _on_the_way(turn, text, told, repair, meaning))
    if not taken:
        return False
    turn.place(misses=0)
    _file_what_is_asked(turn, question, text)
    cause = cause_in(text)
    if repair is None:
        repair = repair_meant(turn, cause, told) or _cleaned_as_found(turn, told, cause) or _the_last(turn, told)
    if repair is None and not cause:
        turn.close_question()
        put(turn, "cause", ("dont_know",))
        return True
    complained = {fact.subject for fact in turn.job.standing("complaint")}
    settle(turn, repair, told, text, cause)
    if told.how == "same" and turn.job.phase is not Phase.HANDED_OFF:
        joins_beside_work(turn, text, complained)
    return True


def _the_last(turn: Turn, told: Told) -> str | None:
    """'That did it' at a check after a repair that seemed not to cure: that one."""
    made = [fact.subject for fact in turn.job.standing("repaired")]
    return made[-1] if made and told.did and told.plainly else None


def _of_what_was_found(turn: Turn, question: Question, text: str) -> bool:
    """'Belt's on' where a cause of the worn belt is asked for: the part of the repair that was named just now."""
    table = turn.job.position.repair if turn.job.phase is Phase.FINDING and question.kind == "check" else None
    if table is None or not IS_IN.search(plain(text)):
        return False
    told = Told(fitted=True, cleaned=False, did=False, how=None, now=False, plainly=False)
    return repair_named(turn, text, told) == table


def _done_beside(turn: Turn, text: str, told: Told) -> bool:
    """'Its in, coil all thawed out', 'fan in n coil cleaned': whether one part of a line says that what is on the table
    is done, whatever was set right with it."""
    table = turn.job.position.repair
    return any(repair_named(turn, part, told) in {None, table} and (
        way_of("repair", f"{part} now") == "done" or IS_IN.search(part)) for part in parts_of(text))


_WITH_WHAT: Final = re.compile(
    r"\b(?:with|w/?|using|con) (?:(?!(?:no|and|n|now|it|works?)\b)\w+ ?){1,5}", re.IGNORECASE)
"""'Flushed it with warm water' names no water: it is what it was cleaned with."""


_SINCE: Final = re.compile(r"\W*(?:it |its |all )?(?:right |just |ever |started |began )*(?:after|since|when)\b",
                            re.IGNORECASE)


def _told(turn: Turn, question: Question, text: str) -> Told | None:
    """What a line tells of a repair, as far as the question lets it mean that."""
    told = told_of_repair(text, asked_for=question.kind in ON_THE_TABLE - OF_THE_PART or _of_what_was_found(
        turn, question, text))
    if question.kind in ON_THE_WAY and only_quiet(text) and not (told and (told.fitted or told.cleaned)):
        return None  # 'quiet now' before anything was done is how the trouble comes and goes
    if told is None and question.kind == "repair" and done_and(text):
        how = how_it_went(text)
        return Told(fitted=False, cleaned=False, did=True, how=how, now=how == "cured", plainly=how == "cured")
    if told is None and question.kind == "check" and turn.job.standing("repaired") and clearly_over(text):
        return told_over(text)
    if told is None and question.kind in {"finding", "repair"} and partly(text):
        return Told(fitted=False, cleaned=False, did=True, how="same", now=False, plainly=False)
    if question.kind == "check" and all(turn.pack.checks[key].begins for key in question.checks):
        if _SINCE.match(text):
            return None  # 'after the new counter went in' is how it began
        return told_over(text) if clearly_over(text) else told  # 'works' is no word on how it began
    if question.kind not in ON_THE_TABLE - {"repair"}:
        return told
    over = told_over(text)
    if over is None:
        return told
    if told is not None:
        return replace(over, fitted=told.fitted, cleaned=told.cleaned)
    of_order = question.kind in OF_THE_PART | {"thinking", "waiting"}
    return None if of_order and over.how is None else over  # 'done' may be said of the order, too


def mended_at_first(turn: Turn, text: str) -> bool:
    """Whether a first line tells that something was put back and that it works now, and nothing unsafe stands."""
    if turn.job.phase is not Phase.INTAKE or turn.job.question is not None or turn.job.position.machine.stays_dead:
        return False
    told = told_of_repair(put_back_in(text), asked_for=False)
    return told is not None and told.how == "cured" and told.now and not taped_wires(text, hurt=False)


def takes_mended_at_first(turn: Turn, text: str) -> bool:
    """'Plug on the lock was half off, I pushed it in and it locks now' before anything was asked: on to its proof."""
    told = told_of_repair(put_back_in(text), asked_for=False)
    if told is None or not turn.job.standing("complaint") or stays_dead(turn.job, turn.pack):
        return False
    turn.move(Move.KNOWN)
    settle(turn, repair_named(turn, text, told), told, text, " ".join(work_in(text).split())[:120])
    return True


def answer_cause(turn: Turn, text: str) -> None:
    """What it was, after 'it works now': a repair of ours if the words name one, else as they say it."""
    told = Told(fitted=False, cleaned=False, did=False, how="cured", now=True, plainly=True)
    settle(turn, repair_named(turn, text, told), told, "", " ".join(text.split())[:120])


def settle(turn: Turn, repair: str | None, told: Told, text: str, cause: str) -> None:
    """The repair is done: proof, or on where it did not cure."""
    turn.close_question()
    agreed, priced = turn.job.position.agreed or agrees_in_part(text), turn.job.phase is Phase.CONSENT
    fault = likeliest(turn, repair) if repair is not None else None
    if repair is None and stays_dead(turn.job, turn.pack):
        hand_off(turn, "hazard", None)  # what was unsafe is not run on somebody's word that it is gone
        return
    for move in _WAYS[turn.job.phase]:
        turn.move(move)
    turn.place(fault=fault, repair=repair)
    if fault is not None and fault != NO_FAULT and beyond_signoffs(turn, fault):
        turn.record("repair", repair=repair, fault=fault, reported=True)
        hand_off(turn, "licensed", None, fault=fault)
        return
    if told.how == "same":
        answer_repair_failed(turn)
        file_what_comes(turn, text)
        return
    again = repair in {fact.subject for fact in turn.job.standing("repaired")}
    if fault is not None and not (agreed or again) and (told.fitted or (told.did and not told.cleaned)):
        _price_late(turn, told, priced=priced)
    if told.how == "cured":
        turn.note("repair.prove")
    answer_repair(turn, "done", cause=cause)


def _price_late(turn: Turn, told: Told, *, priced: bool) -> None:
    """A part that went in before the customer said yes to its price. Who was not asked for a yes, or told of one before
    there was a price, is only reminded."""
    entry = current_repair(turn)
    if entry.parts and entry.cost != "none" and (told.fitted or not goes_without_part(entry)):
        early = any(fact.subject == GO_AHEAD for fact in turn.job.standing("payer"))
        turn.note("repair.unpriced" if priced and not early else "repair.price_now",
                  price=Text("price", {"band": entry.cost}))


def cleans(turn: Turn, repair: str) -> bool:
    """Whether a repair may be no more than cleaning."""
    entry = turn.pack.repair_of(turn.pack.faults_of(repair)[0])[1]
    return not entry.parts or goes_without_part(entry)


def goes_without_part(entry: Repair) -> bool:
    """Whether a repair may be made without its part: dried, reset, cleaned."""
    return CLEANS.match(entry.name) is not None or EITHER.match(entry.name) is not None


def repair_named(turn: Turn, text: str, told: Told) -> str | None:
    """The repair whose part the words name; of several the one on the table, else the likeliest."""
    said = stems(text) | _without_s(text)
    fits: dict[str, int] = {}
    for key, entry in _repairs(turn):
        best = max((_fit(phrase, said) for phrase in _phrases(turn, key, entry)), default=0)
        if best > 0:
            fits[key] = best
    if not fits:
        return None
    near = [key for key, fit in fits.items() if fit == max(fits.values())]
    entries = dict(_repairs(turn))
    alike = [key for key in near if (told.fitted and entries[key].parts and entries[key].cost != "none")
             or (told.cleaned and not told.fitted and (not entries[key].parts or CLEANS.match(entries[key].name)))]
    near = alike or near
    table = turn.job.position.repair
    if table in near:
        return table
    chance = _chance_of(turn)
    return max(near, key=lambda key: (chance(turn.pack.faults_of(key)), key))


def _of_the_table(turn: Turn, question: Question, text: str, told: Told, repair: str | None) -> bool:
    """Whether words at a finding, its price or its repair tell of a repair that is done."""
    if question.kind == "repair" and told.did and done_and(text):
        return told.how is not None or " but " in f" {plain(text)} "
    if question.kind == "repair":  # there 'done' needs no telling; this is for how it went, and for another part
        other = repair is not None and repair != turn.job.position.repair
        cured = told.how == "cured" and (told.did or told.now)
        return told.how == "same" or cured or (other and (told.fitted or told.cleaned))
    done = told.fitted or told.cleaned
    return told.did or told.plainly or (repair is not None and (done or told.now)) or (
        done and names_nothing(_WITH_WHAT.sub(" ", work_in(text)))) or puts_a_part_in(text)


def _on_the_way(turn: Turn, text: str, told: Told, repair: str | None, meaning: Meaning) -> bool:
    """Whether words while a check is open tell of a repair, and not of what the check shows."""
    plainly = told.now or told.how == "same"
    if repair is not None and (told.fitted or (told.cleaned and (plainly or _found_so(turn, repair)))):
        return True
    work = _WITH_WHAT.sub(" ", work_in(text))
    if repair is None and names_nothing(work) and _cleaned_as_found(turn, told, "") is not None:
        return True  # 'cleaned it out' of what was just found
    if told.cleaned and told.now and repair is None and (
            names_nothing(work) or repair_meant(turn, "", told) is not None):
        return True  # 'straightened it out, blows hard now'
    complained = {fact.subject for fact in turn.job.standing("complaint")}
    gone = told.now and bool(complained & set(meaning.denied)) and not complained & {c.id for c in meaning.complaints}
    set_right = told.now and put_back_in(text) != "" and names_nothing(SET_RIGHT.sub(" ", work_in(text)))
    return (bool(complained) or trouble_seen(turn)) and told.how == "cured" and (told.plainly or gone or set_right)


def _cleaned_as_found(turn: Turn, told: Told, cause: str) -> str | None:
    """'Cleaned it, fills now' after something was seen clogged: the repair of that, where no other cause is told."""
    if not told.cleaned or told.fitted or cause:
        return None
    best = _best(turn)
    if cleans(turn, best) and _found_so(turn, best):
        return best
    latest = next((f for f in reversed(turn.job.standing("result")) if f.subject in turn.pack.checks), None)
    check = turn.pack.checks[latest.subject] if latest is not None else None
    if latest is None or check is None or latest.value not in check.results or latest.value == usual(check):
        return None
    named = repair_named(turn, check.results[latest.value].says, told)
    return named if named is not None and cleans(turn, named) and chance_of(
        turn, turn.pack.faults_of(named)) >= UNLIKELY else None


UNLIKELY: Final = 0.05
"""Chance below which a repair that only shares a word with what was found is not it. Judgement."""


def _best(turn: Turn) -> str:
    """The repair that would most likely cure."""
    chance = _chance_of(turn)
    return max((key for key, _ in _repairs(turn)), key=lambda key: chance(turn.pack.faults_of(key)))


def _found_so(turn: Turn, repair: str) -> bool:
    """Whether what was seen so far speaks for what a repair sets right: 'cleaned the vent' of one that was clogged."""
    return any(fact.kind == "result" for fact in turn.job.standing()) and (
        chance_of(turn, turn.pack.faults_of(repair)) >= LEADS)


LEADS: Final = 0.4
"""Chance from which a trouble that was seen is the one that a tech says he cleaned. Judgement; the proof follows."""


def repair_meant(turn: Turn, cause: str, told: Told) -> str | None:
    """The repair that is meant where none is named: the one on the table, or the one that what was told leaves."""
    if cause:
        named = repair_named(turn, cause, told)
        if named is not None:
            return named
    elif turn.job.position.repair is not None and turn.job.phase is not Phase.CHECKS:
        return turn.job.position.repair
    best, chance = _best(turn), _chance_of(turn)
    fresh = any(fact.kind == "result" and (fact.turn == turn.key or told.cleaned) for fact in turn.job.standing())
    return best if fresh and chance(turn.pack.faults_of(best)) >= SURE_OF_FAULT else None


def _says_what_is_asked(turn: Turn, question: Question, text: str) -> bool:
    """'Works now' after a reset, 'wires swapped' at the terminal block: an answer in its own words, and where a breaker
    was to be put off and on in any number of them."""
    resets = any(turn.pack.checks[key].resets for key in question.checks)
    heard = [answer_to(turn, key, text) for key in question.checks]
    return (resets or len(text.split()) <= FEW) and any(its.result is not None and its.p >= SURE for its in heard)


def _file_what_is_asked(turn: Turn, question: Question, text: str) -> None:
    """'It lit now, cap was crooked' answers the check of the cap too."""
    for key in question.checks if question.kind == "check" else ():
        heard = answer_to(turn, key, text, aside=True)
        if cause_in(text) and heard.result is not None and heard.p >= SURE:
            file_heard(turn, HeardResult(key, heard.result, heard.p))


def _repairs(turn: Turn) -> list[tuple[str, Repair]]:
    """Repairs of this family that a tech of ours makes, once each."""
    own = {turn.pack.repair_of(fault)[0]: turn.pack.repair_of(fault)[1] for fault, entry in turn.pack.faults.items()
           if entry.trade is None and fault != NO_FAULT}
    return [(key, entry) for key, entry in own.items() if entry.trade is None]


def _phrases(turn: Turn, key: str, entry: Repair) -> Iterable[list[str]]:
    """The names of what a repair puts in or sets right, word by word: its parts, its own name, its faults' ids."""
    texts = [*entry.parts, entry.name, *(fault.split(".")[0].replace("_", " ") for fault in turn.pack.faults_of(key))]
    machine = name_words(turn.pack)
    for text in texts:
        for phrase in _OR.split(text.lower()):
            words = [word for word in re.findall(r"[a-z]+", phrase) if word not in _NO_PART]
            if words and not machine.issuperset(words):  # 'dishwasher' is said of the machine, not of a new one
                yield [next(iter(stems(word)), word) for word in words]


def _fit(phrase: list[str], said: frozenset[str]) -> int:
    """How many words of a name are said, if the last one is: 'belt' names a drive belt and no belt switch. A plug or a
    wire of what is to be said besides."""
    fits = sum(word in said for word in phrase) if phrase[-1] in said else 0
    return 0 if fits == 1 < len(phrase) and phrase[-1] in _OF_MANY else fits


_OF_MANY: Final = word_set("plug wire connection connector terminal clip")


def _without_s(text: str) -> frozenset[str]:
    """'Belts on' is 'belt is on'."""
    words = re.findall(r"\b([a-z]{3,})s\b", drop_apostrophes(text.lower()))
    return frozenset(stem for word in words for stem in stems(word))


def likeliest(turn: Turn, repair: str) -> str:
    """The fault that a repair most likely cures here."""
    chance = _chance_of(turn)
    return max(turn.pack.faults_of(repair), key=lambda fault: chance((fault,)))


def chance_of(turn: Turn, faults: Iterable[str]) -> float:
    """How likely it is that one of these faults is there."""
    return _chance_of(turn)(faults)


def _chance_of(turn: Turn) -> Callable[[Iterable[str]], float]:
    belief: Belief = believe(turn.model, evidence_of(turn.job))

    def chance(faults: Iterable[str]) -> float:
        those = set(faults)
        return sum(p for fault, p in belief.faults if those & set(fault.split("+")))

    return chance
