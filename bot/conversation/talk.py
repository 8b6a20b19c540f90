"""One event of one visit: what it means where the visit stands, and what comes of it. The talk's table of contents.

Order of hearing, for typed words: nothing to read; steering words; hazards; appliances we do not cover; late answers;
the open question; corrections; whatever else the message tells; and if nothing of that fits, the question again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from bot.conversation import explaining, undoing
from bot.conversation.advance import advance
from bot.conversation.asking import labels, put, put_again
from bot.conversation.checks import (
    CLEAR,
    answer_check,
    answer_doubt,
    given,
    press_result,
    skip_check,
    take_answer,
    take_result,
)
from bot.conversation.choosing import choose
from bot.conversation.closing import answer_closing, answer_site, start_closing
from bot.conversation.context import Context
from bot.conversation.echo import echo, said_of
from bot.conversation.effects import Effect, Text
from bot.conversation.events import Due, Edited, Event, Other, PhotoSent, Pressed, Redacted, Typed, Undelivered
from bot.conversation.handing import hand_off
from bot.conversation.hazards import raise_hazard, settle_hazard
from bot.conversation.intake import CORRECTING, absorb, set_family, told_again
from bot.conversation.job import Fact, Job, Outcome, Phase, Question
from bot.conversation.leaving import answer_age, answer_leave, ask_how_left
from bot.conversation.phases import Move
from bot.conversation.photos import again, take_photos
from bot.conversation.repairing import (
    answer_consent,
    answer_finding,
    answer_plate,
    answer_proof,
    answer_repair,
    answer_waiting,
)
from bot.conversation.steering import Steer, steering
from bot.conversation.turn import Turn
from bot.conversation.wording import render_choice
from bot.language.answers import answer
from bot.language.meaning import Meaning
from bot.language.reading import read
from bot.language.understanding import understand

MISSES: Final = 3
"""Messages in a row that were not understood before a person is brought in."""
LATEST: Final = 4
"""How many answers back a correction may mean."""


def talk(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Apply one event to a visit. Pure: the same three always give the same two."""
    turn = Turn(job, event, context)
    meaning: Meaning | None = None
    match event:
        case Typed():
            meaning = _typed(turn, event.text, event.reply_to)
        case Pressed():
            _pressed(turn, event)
        case PhotoSent():
            meaning = _photo(turn, event)
        case Edited():
            meaning = _edited(turn, event)
        case Redacted():
            _redacted(turn, event)
        case Other():
            meaning = _other(turn, event)
        case Due():
            _due(turn, event)
        case Undelivered():
            turn.trace("routed", undelivered=event.target, reason=event.reason)
    if turn.go_on:
        said = echo(turn) if isinstance(event, Typed | PhotoSent) else None
        if said is not None:
            turn.texts.insert(0, said)
        advance(turn, meaning)
    return replace(turn.job, touched=context.now), tuple(turn.effects)


def _typed(turn: Turn, text: str, reply_to: str | None) -> Meaning | None:
    if not any(c.isalnum() for c in text) and text.strip() not in {"?", "??"}:
        turn.note("input.nothing_to_read")
        again(turn)
        return None
    word = steering(text)
    if word is not None:
        _steer(turn, word)
        return None
    question = turn.job.question
    meaning = understand(turn.context.release.index, text, family=turn.job.family,
                         checks=question.checks if question else ())
    turn.trace("understood", **told_again(turn, meaning))
    if meaning.hazard is not None and not _answers_with_burnt(turn, text, meaning):
        absorb(turn, meaning, results=False)
        raise_hazard(turn, meaning.hazard)
        return meaning
    if meaning.handoff_only is not None and turn.job.family is None:
        entry = turn.context.release.knowledge.common.handoff_only[meaning.handoff_only]
        turn.trace("routed", handoff_only=meaning.handoff_only)
        hand_off(turn, "not_covered", None, caution=entry.caution)
        return meaning
    if _late_reply(turn, text, reply_to) or _answered(turn, text, meaning) or _corrected(turn, text, meaning):
        if turn.job.question is None and not turn.go_on:
            turn.send()
        return meaning
    if absorb(turn, meaning):
        _taken_in(turn)
    elif turn.job.phase is Phase.INTAKE and turn.job.question is None and meaning.small_talk is None:
        turn.go_on = True
    else:
        _missed(turn, meaning)
    return meaning


def _taken_in(turn: Turn) -> None:
    """New facts outside the open question: they are evidence, wherever the visit stands."""
    turn.place(misses=0)
    if turn.job.phase in {Phase.HANDED_OFF, Phase.HAZARD}:
        turn.note("handoff.kept")
        again(turn)
        return
    turn.go_on = True


def _answers_with_burnt(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Smells burnt' as the answer to a check of a dead part is a result; smoke and flames never are."""
    question = turn.job.question
    if meaning.hazard != "fire" or question is None or question.kind != "check":
        return turn.job.phase is Phase.HAZARD and question is not None and question.data.get("hazard") == meaning.hazard
    if any(word in text.lower() for word in ("smok", "flame", "fire", "humo", "fuego", "llama")):
        return False
    heard = answer(turn.context.release.index, turn.job.family or "", question.checks[0], text, given(turn))
    return heard.result is not None and heard.p >= CLEAR


# ---- the open question -------------------------------------------------------------------------------------------

def _answered(turn: Turn, text: str, meaning: Meaning) -> bool:
    """Whether the message answers the open question; if so it was dealt with."""
    question = turn.job.question
    if question is None:
        return False
    if question.kind == "check":
        done = answer_check(turn, question, text, meaning)
        if done:
            turn.place(misses=0)
            _besides(turn, meaning, question)
        return done
    shown = {v: render_choice(t, turn.context.firm, turn.tech.language) for v, t in labels(turn, question).items()}
    value = choose(text, question.values, shown, turn.tech.language)
    if value is None:
        return _free_answer(turn, question, text, meaning)
    turn.place(misses=0)
    _chosen(turn, question, value)
    return True


def _besides(turn: Turn, meaning: Meaning, question: Question) -> None:
    """What a clear answer says besides: only what works, and variants; its symptoms are the answer itself."""
    absorb(turn, replace(meaning, complaints=(), results=tuple(
        r for r in meaning.results if r.check not in question.checks and r.p >= 0.8)))


def _chosen(turn: Turn, question: Question, value: str) -> None:
    """A choice of the open question, by press, number or word."""
    match question.kind:
        case "check":
            press_result(turn, value)
        case "family":
            turn.close_question(labels(turn, question)[value])
            turn.fact("family", value)
            set_family(turn, value)
            turn.go_on = True
        case "menu":
            _menu(turn, question, value)
        case "complaint":
            _complaint(turn, question, value)
        case _:
            _HANDLERS[question.kind](turn, value)


_HANDLERS: Final[dict[str, Callable[[Turn, str], None]]] = {
    "doubt_reading": answer_doubt, "finding": answer_finding, "consent": answer_consent, "repair": answer_repair,
    "proof": answer_proof, "closing": answer_closing, "waiting": answer_waiting, "leave": answer_leave,
    "hazard": settle_hazard, "site": lambda turn, _: answer_site(turn, None),
    "plate": lambda turn, _: answer_plate(turn, None), "age": lambda turn, _: answer_age(turn, None),
    "handed_off": lambda turn, value: _after_hand_off(turn, value),
}


def _after_hand_off(turn: Turn, value: str) -> None:
    if value == "leave":
        ask_how_left(turn)
        return
    turn.close_question()
    turn.note("handoff.back_to_it")
    turn.go_on = True


def _menu(turn: Turn, question: Question, value: str) -> None:
    turn.close_question(labels(turn, question)[value])
    if value == "other":
        turn.note("menu.own_words")
        turn.send()
        return
    complaints = turn.pack.family.menu[int(value)].complaints
    if len(complaints) == 1:
        turn.fact("complaint", complaints[0])
        turn.go_on = True
    else:
        put(turn, "complaint", [*complaints[:5], "other"])


def _complaint(turn: Turn, question: Question, value: str) -> None:
    turn.close_question(labels(turn, question)[value])
    if value == "other":
        turn.note("menu.own_words")
        turn.send()
        return
    turn.fact("complaint", value)
    turn.go_on = True


def _free_answer(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """Answers to questions that take words: an address, a plate, an age, how the proof went, a reading that was meant."""
    match question.kind:
        case "site":
            answer_site(turn, text)
        case "plate":
            answer_plate(turn, text)
        case "age":
            years = read("minutes", f"{text} min").value
            answer_age(turn, years / 60 if years is not None else None)
        case "proof":
            return _proof_in_words(turn, meaning)
        case "doubt_reading":
            key = question.data["check"]
            heard = answer(turn.context.release.index, turn.job.family or "", key, text, given(turn))
            return take_answer(turn, key, heard, None)
        case _:
            return False
    return True


def _proof_in_words(turn: Turn, meaning: Meaning) -> bool:
    complained = {f.subject for f in turn.job.standing("complaint")}
    told = {g.id for g in meaning.complaints}
    if complained & told:
        answer_proof(turn, "same")
    elif complained & set(meaning.denied) and not told:
        answer_proof(turn, "holds")
    elif told:
        answer_proof(turn, "other")
        absorb(turn, meaning)
        turn.go_on = True
    else:
        return False
    return True


# ---- late answers, corrections, edits ----------------------------------------------------------------------------

def _late_reply(turn: Turn, text: str, reply_to: str | None) -> bool:
    """A reply to an earlier question lands on that question."""
    if reply_to is None or (turn.job.question is not None and turn.job.question.message == reply_to):
        return False
    earlier = next((a.question for a in reversed(turn.job.asked) if a.question.message == reply_to), None)
    return earlier is not None and earlier.kind == "check" and _revise(turn, earlier.checks, text)


def _corrected(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Wait, it was 5.2 ohm, not open': the latest answer that the words can be about is replaced."""
    if not CORRECTING.search(text) or turn.job.family is None:
        return False
    recent = [f.subject for f in turn.job.standing("result")][-LATEST:]
    return bool(recent) and _revise(turn, tuple(dict.fromkeys(reversed(recent))), text)


def _revise(turn: Turn, checks: tuple[str, ...], text: str) -> bool:
    best: tuple[float, str] | None = None
    for key in checks:
        heard = answer(turn.context.release.index, turn.job.family or "", key, text, given(turn))
        numeric = heard.heard is not None and heard.heard.value is not None and turn.pack.checks[key].reading is not None
        p = max(heard.p if heard.result is not None else 0.0, 0.9 if numeric else 0.0)
        if p >= CLEAR and (best is None or p > best[0]):
            best = (p, key)
    if best is None:
        return False
    key = best[1]
    was = next((f for f in reversed(turn.job.standing("result")) if f.subject == key), None)
    heard = answer(turn.context.release.index, turn.job.family or "", key, text, given(turn))
    open_question = turn.job.question
    if not take_answer(turn, key, heard, None):
        return False
    _say_revised(turn, was, key)
    if not turn.go_on and turn.job.question is None and open_question is not None:
        put_again(turn, open_question)
    return True


def _say_revised(turn: Turn, was: Fact | None, key: str) -> None:
    now = next((f for f in reversed(turn.job.standing("result")) if f.subject == key and f.turn == turn.key), None)
    if now is None:
        return
    if was is not None and was.value != now.value:
        turn.note("revised.instead", name=turn.pack.checks[key].name, now=said_of(turn, now), was=said_of(turn, was))
    else:
        turn.note("revised.noted", name=turn.pack.checks[key].name, now=said_of(turn, now))


def _edited(turn: Turn, event: Edited) -> Meaning | None:
    """An edited message replaces what it had told, on the question that it had answered."""
    told = any(f.turn == event.target for f in turn.job.facts)
    question = undoing.question_answered_by(turn.job, event.target)
    if not told and question is None:
        return _typed(turn, event.text, None)
    turn.mark()
    before = turn.job.standing()
    turn.job = undoing.unturned(turn.job, event.target, turn.key)
    meaning = understand(turn.context.release.index, event.text, family=turn.job.family,
                         checks=question.checks if question else ())
    turn.trace("understood", **told_again(turn, meaning))
    if meaning.hazard is not None:
        raise_hazard(turn, meaning.hazard)
        return meaning
    if question is not None and question.kind == "check":
        for key in question.checks:
            heard = answer(turn.context.release.index, turn.job.family or "", key, event.text, given(turn))
            chosen = choose(event.text, question.values, {}, turn.tech.language)
            if chosen is not None and chosen.startswith("result:"):
                take_result(turn, key, chosen.split("/")[1])
            else:
                take_answer(turn, key, heard, None)
    absorb(turn, meaning)
    if turn.job.standing() == before:
        turn.note("edit.nothing_new")
        again(turn)
        return None
    said = echo(turn)
    turn.note("edit.noted", said=said if said is not None else Text("edit.taken_out"))
    _go_on_unless_over(turn)
    return meaning


def _redacted(turn: Turn, event: Redacted) -> None:
    """A message that was taken back withdraws what it told."""
    if all(f.turn != event.target for f in turn.job.standing()):
        return
    turn.mark()
    turn.job = undoing.unturned(turn.job, event.target, turn.key)
    turn.note("edit.withdrawn")
    _go_on_unless_over(turn)


def _go_on_unless_over(turn: Turn) -> None:
    if turn.job.phase in {Phase.ENDED, Phase.HANDED_OFF, Phase.HAZARD}:
        again(turn)
    else:
        turn.go_on = True


def _pressed(turn: Turn, event: Pressed) -> None:
    """A pressed choice: of the open question, or a late one that lands on its own question."""
    question = turn.job.question
    if question is not None and event.question == question.id and 1 <= event.choice <= len(question.values):
        turn.place(misses=0)
        _chosen(turn, question, question.values[event.choice - 1])
        if turn.job.question is None and not turn.go_on:
            turn.send()
        return
    late = next((a.question for a in reversed(turn.job.asked) if a.question.id == event.question), None)
    if late is not None and late.kind == "check" and 1 <= event.choice <= len(late.values):
        check, result = late.values[event.choice - 1].removeprefix("result:").split("/")
        was = next((f for f in reversed(turn.job.standing("result")) if f.subject == check), None)
        if was is None or was.value != result:
            take_result(turn, check, result)
            _say_revised(turn, was, check)
            _go_on_unless_over(turn)
            return
    turn.note("press.settled")
    again(turn)


# ---- other kinds of events ---------------------------------------------------------------------------------------

def _photo(turn: Turn, event: PhotoSent) -> Meaning | None:
    take_photos(turn, event)
    if any(c.isalnum() for c in event.caption):
        return _typed(turn, event.caption, event.reply_to)
    again(turn)
    return None


def _other(turn: Turn, event: Other) -> Meaning | None:
    turn.note(f"other.{event.what}")
    if any(c.isalnum() for c in event.caption):
        return _typed(turn, event.caption, None)
    again(turn)
    return None


def _due(turn: Turn, event: Due) -> None:
    turn.trace("routed", timer=event.name)
    if event.name == "remind" and turn.job.question is not None:
        turn.note("timer.still_open")
        put_again(turn, turn.job.question)


def _missed(turn: Turn, meaning: Meaning) -> None:
    """Not understood: a word on it and the question again; at the third time in a row a person."""
    if meaning.small_talk is not None:
        turn.note(f"small.{meaning.small_talk}")
        again(turn)
        return
    misses = turn.job.position.misses + 1
    turn.place(misses=misses)
    turn.record("not_followed", misses=misses)
    if turn.job.phase in {Phase.HANDED_OFF, Phase.ENDED, Phase.HAZARD}:
        turn.note("handoff.kept" if turn.job.phase is Phase.HANDED_OFF else "miss.first")
        again(turn)
    elif misses >= MISSES:
        turn.place(misses=0)
        hand_off(turn, "not_understood", None)
    else:
        _ask_differently(turn, meaning, misses)


def _ask_differently(turn: Turn, meaning: Meaning, misses: int) -> None:
    turn.note("miss.first" if misses == 1 else "miss.second")
    question = turn.job.question
    if question is not None and question.kind == "check" and len(question.checks) > 1:
        put(turn, "check", checks=question.checks[:1], asked=2)
    elif question is not None:
        put_again(turn, question)
    else:
        turn.go_on = True


# ---- steering words ----------------------------------------------------------------------------------------------

def _steer(turn: Turn, word: Steer) -> None:
    """A steering word: works in every state."""
    match word:
        case Steer.HOW:
            explaining.tell_how(turn)
        case Steer.WHY:
            explaining.tell_why(turn)
        case Steer.WHERE | Steer.START:
            explaining.tell_where(turn)
        case Steer.SHEET:
            explaining.tell_sheet(turn)
        case Steer.BACK:
            undoing.go_back(turn)
        case Steer.SKIP:
            _skip(turn)
        case Steer.SENIOR:
            _senior(turn)
        case Steer.STOP:
            _stop(turn)
        case Steer.HELP | Steer.NEW | Steer.JOBS:
            turn.note("help")
            again(turn)


def _skip(turn: Turn) -> None:
    question = turn.job.question
    if question is None:
        turn.note("skip.nothing")
        turn.send()
    elif question.kind == "check":
        skip_check(turn, question)
    elif "skip" in question.values:
        _chosen(turn, question, "skip")
    elif question.kind == "consent":
        _chosen(turn, question, "later")
    elif question.kind == "closing":
        turn.note("skip.closing")
        _chosen(turn, question, "all_done")
    elif question.kind in {"finding", "complaint", "menu"}:
        _chosen(turn, question, "doubt" if question.kind == "finding" else "other")
    elif question.kind == "doubt_reading":
        turn.close_question(closed="passed")
        turn.fact("declined", question.data["check"])
        turn.note("check.skipped")
        turn.go_on = True
    else:
        turn.note("skip.needed")
        put_again(turn, question)


def _senior(turn: Turn) -> None:
    if turn.job.phase in {Phase.HANDED_OFF, Phase.ENDED}:
        turn.note("handoff.already" if turn.job.phase is Phase.HANDED_OFF else "ended.over")
        again(turn)
    else:
        turn.close_question(closed="passed")
        hand_off(turn, "asked", None)


def _stop(turn: Turn) -> None:
    if turn.job.phase is Phase.ENDED:
        turn.note("ended.over")
        turn.send()
    elif turn.job.phase is Phase.HAZARD:
        turn.note("hazard.before_stop")
        again(turn)
    elif turn.job.question is not None and turn.job.question.kind == "leave":
        put_again(turn, turn.job.question)
    else:
        ask_how_left(turn)
