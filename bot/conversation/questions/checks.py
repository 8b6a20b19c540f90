"""Answers to checks: by choice, number, word or reading; several behind one cover; late ones and corrections."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.effects import Text
from bot.conversation.events import PhotoSent
from bot.conversation.facts import evidence_of, given_of
from bot.conversation.intake import file_heard, file_result
from bot.conversation.job import Question
from bot.conversation.questions.asking import put, put_again
from bot.conversation.questions.choosing import choose, number_of
from bot.conversation.questions.none_of_it import SURELY, cannot_be_made, cannot_make, pass_over, says_none
from bot.conversation.questions.plain_yes import heard_as_asked, is_bare
from bot.conversation.questions.sharing import reading_of_another, share_out
from bot.conversation.questions.shut import note_shut, shut_elsewhere
from bot.conversation.questions.too_warm import read_too_warm
from bot.conversation.questions.tools import do_without, lacking
from bot.conversation.questions.which_unit import ask_unit, unit_in_doubt, with_each_unit
from bot.conversation.questions.worded import answer_to, told_by_a_part
from bot.conversation.safety.alarming import other_end
from bot.conversation.told.watts_open import ask_for_watts
from bot.conversation.turn import Turn, raw
from bot.conversation.wording import render_choice
from bot.diagnosis.evidence import Seen
from bot.diagnosis.readings import expected, judge, plausible
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.gainsaid import only_sounds_like
from bot.language.meaning import Answer, Heard
from bot.language.readings.metertalk import open_when_touched
from bot.language.status.status import SURE
from bot.language.words.text import plain_words

CLEAR: Final = 0.6
"""An answer in free text counts from this probability on; below it the tech is asked which result is meant."""
PLAIN: Final = 0.8
"""A result from here on goes before a 'can't' in the same words: 'can't see any break'."""
_CANNOT: Final = re.compile(
    r"\b(can'?t|cannot|can not|couldn'?t|no way to|not able to|unable to|no puedo)\b.{0,12}"
    r"\b(get|reach|see|do|access|measure|open|tell|test|check|find|move|pull|hear|llegar|ver|medir)\b"
    r"|\b(dont|don't|do not|didnt|didn't) (have|got|carry) (a|my|the|any)\b|\bno access\b|^(can'?t|cannot|no puedo)$")
LONG_WINDED: Final = 80
"""Characters of an answer from which on a "can't" in it may be about something else."""
_DONT_KNOW: Final = re.compile(
    r"\W*(i )?(don'?t know|dunno|not sure|no idea|idk|unsure|hard to (say|tell)|can'?t (tell|say)|"
    r"no se|no sé|quien sabe|maybe)\W*", re.IGNORECASE)

_OF_THE_METER: Final = re.compile(
    r"\b(meter|multimeter|dmm|tester|leads?|probes?|batter\w+|multimetro|medidor)\b", re.IGNORECASE)
_NUMBER: Final = r"(\d+|one|two|three|four|five|six|seven|eight|nine|ten)"
_TRIES: Final = re.compile(rf"\b{_NUMBER} (times )?(out )?of (every )?{_NUMBER}\b", re.IGNORECASE)
"""'3 out of ten' counts tries and is no reading."""


def press_result(turn: Turn, value: str) -> None:
    """A result by its choice."""
    check, result = value.removeprefix("result:").split("/")
    turn.close_question(raw(turn.pack.checks[check].results[result].label))
    take_result(turn, check, result)


def take_result(turn: Turn, check: str, result: str, *, number: float | None = None, low: float | None = None,
                high: float | None = None) -> None:
    """File a result and go on."""
    file_result(turn, check, result, number=number, low=low, high=high)
    other_end(turn, check, result)
    turn.go_on = True


def answer_check(turn: Turn, question: Question, text: str) -> bool:
    """An answer to the open check(s), typed. True if the message was one."""
    needed = {tool for key in question.checks for tool in turn.pack.checks[key].tools}
    tool, besides = lacking(turn, text, needed)
    if tool is not None:
        _answer_without(turn, question, tool, besides, tool in needed)
        return True
    if _cover_shut(turn, question, text):
        return True
    if len(question.checks) > 1:
        if _DONT_KNOW.fullmatch(text):
            pass_over(turn, "declined", question.checks, "check.unsure")
            return True
        return (says_none(turn, question, text, SURELY) or _cannot(turn, question, text)
                or _answer_together(turn, question, text) or says_none(turn, question, text, SURE))
    key = question.checks[0]
    check = turn.pack.checks[key]
    number = number_of(text, len(question.values))
    if number is not None and question.values:
        return _by_number(turn, question, key, number, text)
    labels = {v: render_choice(raw(check.results[v.split("/")[1]].label), turn.context.firm)
              for v in question.values if v.startswith("result:")}
    value = choose(text, question.values, labels, turn.tech.language)
    if value is not None and not (
            value in labels and only_sounds_like(check, value.rpartition("/")[2], text)):
        press_result(turn, value)
        return True
    if _DONT_KNOW.fullmatch(text):
        pass_over(turn, "declined", (key,), "check.unsure")
        return True
    heard = heard_as_asked(turn, question, key, text)
    if says_none(turn, question, text, SURELY, told=heard.result is not None and heard.p >= PLAIN):
        return True
    if heard.none == "cannot":
        heard = told_by_a_part(turn, key, text) or heard
    if (heard.result is None or heard.p < PLAIN) and heard.none != "unsure" and (
            _cannot(turn, question, text) or says_none(turn, question, text, SURE)):
        return True
    if _of_another_part(turn, key, heard, text) or take_answer(turn, key, heard, text, question):
        return True
    if is_bare(text) and question.values and not _told_now(turn):
        turn.note("check.either")
        put_again(turn, question)
        return True
    return False


def _of_another_part(turn: Turn, key: str, heard: Answer, text: str) -> bool:
    """'High limit 0.1' where the fuse is asked: which of them was measured?"""
    if heard.heard is None or (heard.heard.value is None and heard.heard.special != "open"):
        return False
    other = reading_of_another(turn, (key,), text)
    if other is None:
        return False
    turn.close_question()
    put(turn, "which_check", (f"check:{key}", f"check:{other}"), said=text)
    return True


def take_answer(turn: Turn, key: str, heard: Answer, text: str, question: Question | None = None) -> bool:
    """What was heard as an answer to one check: file it, or ask what is doubtful about it."""
    check = turn.pack.checks[key]
    if read_too_warm(turn, key, heard, text):
        return True
    reading = heard.heard if check.reading is not None and not _TRIES.search(text) else None
    if reading is not None and _reading(turn, key, reading, text):
        return True
    if heard.result is not None and heard.p >= CLEAR:
        turn.close_question()
        take_result(turn, key, heard.result)
        return True
    if question is not None and heard.none is not None:
        if heard.none == "cannot":
            note_shut(turn, key, text)
            _mark_cannot(turn, key)
        else:
            pass_over(turn, "declined", (key,), "check.unsure")
        return True
    if question is not None and not _told_now(turn) and len(heard.near) >= 2 and heard.near[0].p >= CLEAR / 2:
        turn.note("check.which")
        put_again(turn, question)
        return True
    return False


def _told_now(turn: Turn) -> bool:
    """Whether the message has told some result already."""
    return any(f.turn == turn.key and f.kind == "result" for f in turn.job.facts)


def answer_doubt(turn: Turn, value: str) -> None:
    """The tech's word on a reading that could not be, or could be read two ways."""
    question = turn.job.question
    check = question.data["check"] if question else ""
    turn.close_question()
    if value.startswith("result:"):
        take_result(turn, check, value.split("/")[1])
    elif value.startswith("value:"):
        number = float(value.split(":")[1])
        _file_reading(turn, check, number, number, number)
    elif value == "dont_know":
        pass_over(turn, "declined", (check,), "check.unsure")
    else:
        put(turn, "check", checks=(check,), asked=2)


def _by_number(turn: Turn, question: Question, key: str, number: int, text: str) -> bool:
    """A bare number: a choice, unless the check asks for a reading and the number could be one that says otherwise."""
    check = turn.pack.checks[key]
    value = question.values[number - 1]
    if check.reading is not None:
        read = judge(check, Seen(key, value=float(number)), given_of(turn.job)).result
        doubt = unit_in_doubt(check, number)
        if doubt or f"result:{key}/{read}" != value:
            turn.note("reading.choice_or_value", number=number)
            readings = with_each_unit(number) if doubt else (f"value:{number}:{check.reading.quantity}",)
            put(turn, "doubt_reading", (value, *readings), check=key)
            return True
    press_result(turn, value)
    return True


def _reading(turn: Turn, key: str, heard: Heard, text: str) -> bool:
    check = turn.pack.checks[key]
    assert check.reading is not None
    quantity = check.reading.quantity
    if heard.special == "cant_measure":
        if "meter" in check.tools and _OF_THE_METER.search(text):
            if open_when_touched(plain_words(text)):
                _forget_what_read_open(turn)
            _mark_cannot(turn, "meter")
        else:
            note_shut(turn, key, text)
            _mark_cannot(turn, key)
        return True
    if heard.unit_mismatch:
        turn.note("reading.wrong_unit", wanted=Text(f"quantity.{quantity}"))
        put(turn, "check", checks=(key,), asked=2)
        return True
    if heard.multiple:
        values = [0.0 if v == "zero" else v for v in heard.multiple if v == "zero" or isinstance(v, float | int)][:4]
        turn.note("reading.several")
        put(turn, "doubt_reading", [f"value:{v:g}:{quantity}" for v in values] + ["measure_again"], check=key)
        return True
    if heard.special in {"open", "no_beep"}:
        return _open_band(turn, key)
    if heard.value is None:
        if heard.special in {"zero", "beeps"}:
            _file_reading(turn, key, 0.0, None, None)
            return True
        return False
    if not heard.plausible or not plausible(check, heard.value):
        _doubt_value(turn, key, heard.value)
        return True
    if heard.bare and unit_in_doubt(check, heard.value):
        ask_unit(turn, key, heard.value)
        return True
    _file_reading(turn, key, heard.value, heard.low, heard.high)
    return True


def _doubt_value(turn: Turn, key: str, value: float) -> None:
    """A value that cannot be there is asked about before it counts; a thousandth or a thousandfold may be meant."""
    check = turn.pack.checks[key]
    assert check.reading is not None
    quantity = check.reading.quantity
    good = expected(check, given_of(turn.job))
    likely = [v for v in (value / 1000, value * 1000) if plausible(check, v)]
    if good is not None:
        turn.note("reading.cannot_be_near", value=Text("reading", {"value": value, "quantity": quantity}),
                  good=Text("reading", {"value": good.value, "quantity": quantity}))
    else:
        turn.note("reading.cannot_be", value=Text("reading", {"value": value, "quantity": quantity}))
    put(turn, "doubt_reading", [f"value:{value:g}:{quantity}", *(f"value:{v:g}:{quantity}" for v in likely[:1]),
                                "measure_again"], check=key)


def _open_band(turn: Turn, key: str) -> bool:
    check = turn.pack.checks[key]
    result = next((rid for rid, r in check.results.items() if r.band is not None and r.band.open), None)
    if result is None:
        result = judge(check, Seen(key, value=float("inf")), given_of(turn.job)).result
    turn.close_question()
    take_result(turn, key, result)
    return True


def _file_reading(turn: Turn, key: str, value: float, low: float | None, high: float | None) -> None:
    judged = judge(turn.pack.checks[key], Seen(key, value=value, low=low, high=high), given_of(turn.job))
    turn.close_question()
    ask_for_watts(turn, key, value)
    take_result(turn, key, judged.result, number=value, low=low, high=high)


def _answer_together(turn: Turn, question: Question, text: str) -> bool:
    """Several checks in one message: each is heard for itself; what stays open is asked alone afterwards."""
    shared = share_out(turn, question.checks, text, aside=isinstance(turn.event, PhotoSent))
    evidence = evidence_of(turn.job)
    filed = [file_heard(turn, heard) for heard in shared.found.values()
             if holds_as_told(turn.pack.checks[heard.check], evidence)]  # 'no actuator there' is no word on its cam
    if not any(filed) and not shared.among:
        return False
    turn.close_question()
    if shared.among:
        put(turn, "which_check", (*(f"check:{key}" for key in shared.among), "each"), said=shared.unclear)
    else:
        turn.go_on = True
    return True


def _answer_without(turn: Turn, question: Question, tool: str, besides: str, needed: bool) -> None:
    """'No meter': an answer that the planner uses; what else the line says may still answer what was asked."""
    lacking_it = do_without(turn, tool)
    if any(c.isalnum() for c in besides) and not (needed and lacking_it and cannot_be_made(besides)) and answer_check(
            turn, question, besides):
        return
    if lacking_it:
        turn.note("check.without_tool")
    if needed and lacking_it:
        turn.close_question(closed="passed")
        turn.go_on = True
    else:
        put_again(turn, question)


def _cover_shut(turn: Turn, question: Question, text: str) -> bool:
    """'Can't pull it out' where nothing behind it is asked for: kept for later, and the question stays."""
    if len(text) >= LONG_WINDED or any(answer_to(turn, key, text).result is not None for key in question.checks):
        return False
    shut = shut_elsewhere(turn, question.checks, text)
    if shut is None:
        return False
    turn.note("cover.stays", name=shut)
    put_again(turn, question)
    return True


def _cannot(turn: Turn, question: Question, text: str) -> bool:
    """'Can't get to it', 'no access'."""
    if len(text) >= LONG_WINDED or not _CANNOT.search(text.lower().replace("’", "'")):
        return False
    cannot_make(turn, question, text)
    return True


def _mark_cannot(turn: Turn, subject: str) -> None:
    tool = subject in turn.context.release.knowledge.common.tools
    pass_over(turn, "cannot", (subject,), "check.without_tool" if tool else "check.cannot")


def skip_check(turn: Turn, question: Question) -> None:
    """`skip`: the planner does without."""
    pass_over(turn, "declined", question.checks, "check.skipped")


def _forget_what_read_open(turn: Turn) -> None:
    """A meter that shows OL with its leads together showed it of every part."""
    checks = turn.pack.checks
    gone = [f for f in turn.job.standing("result") if f.subject in checks and f.value in checks[f.subject].results
            and (band := checks[f.subject].results[f.value].band) is not None and band.open]
    if gone:
        turn.withdraw(gone)
        turn.note("reading.forgotten", names=", ".join(checks[f.subject].name for f in gone))
