"""Late answers, corrections, edits and withdrawn messages: each lands on the question it belongs to."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from bot.conversation.echo import echo, said_of
from bot.conversation.effects import Text
from bot.conversation.events import Edited, Pressed, Redacted
from bot.conversation.intake import absorb, file_heard, told_again
from bot.conversation.job import Fact, Phase
from bot.conversation.questions.after_no_wait import after_no_wait
from bot.conversation.questions.asking import put, put_again
from bot.conversation.questions.checks import CLEAR, take_answer, take_result
from bot.conversation.questions.choosing import choose
from bot.conversation.questions.photos import again
from bot.conversation.questions.sharing import reading_of_another, share_out
from bot.conversation.questions.worded import answer_to
from bot.conversation.safety.hazards import raise_hazard
from bot.conversation.steering import undoing
from bot.conversation.steering.not_that_trouble import denies_trouble
from bot.conversation.steering.other_part import was_of_another
from bot.conversation.steering.put_right import doubted, exchanged, put_right_by_part
from bot.conversation.told.of_another import NAMED_BY
from bot.conversation.told.readings import takes_named_readings, tells_reading
from bot.conversation.turn import Turn
from bot.conversation.wording.corrects import ANNOUNCING, CORRECTING
from bot.conversation.wording.mended import told_of_repair
from bot.conversation.wording.over import clearly_over
from bot.conversation.wording.ways import way_of
from bot.language.answers.about import about, parts_of
from bot.language.answers.bands import usual
from bot.language.answers.gainsaid import called_fine, denied_outright, only_sounds_like
from bot.language.answers.lids import lid_in
from bot.language.answers.measured import is_difference
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.answers.unasked import SURE
from bot.language.meaning import Meaning
from bot.language.understand import understand

MORE_THAN_ONE: Final = 2
LATEST: Final = 4
"""How many answers back a correction may mean."""


def late_reply(turn: Turn, text: str, reply_to: str | None) -> bool:
    """A reply to an earlier question lands on that question."""
    if reply_to is None or (turn.job.question is not None and turn.job.question.message == reply_to):
        return False
    earlier = next((a.question for a in reversed(turn.job.asked) if a.question.message == reply_to), None)
    return earlier is not None and earlier.kind == "check" and _revise(turn, earlier.checks, text)


def corrected(turn: Turn, text: str, meaning: Meaning) -> bool:
    """'Wait, it was 5.2 ohm, not open': the latest answer that the words can be about is replaced."""
    if not CORRECTING.search(text) or turn.job.family is None or turn.job.phase is Phase.HAZARD:
        return False  # while a danger stands, no question takes the place of its own
    if turn.job.question is not None and turn.job.question.kind == "which_check" and (
            lid_in(text) is not None or tells_reading(text)):
        return False  # 'wait i had the lid up': of the reading that is asked about
    if was_of_another(turn, text):
        return True
    if turn.job.standing("repaired") and clearly_over(_bare(text)):
        return False  # 'wait, it wasnt pushed home, works now' after a repair: that is cured after all
    recent = [f.subject for f in turn.job.standing("result")][-LATEST:]
    question = turn.job.question
    open_checks = question.checks if question else ()
    checks = tuple(dict.fromkeys(reversed(recent)))
    if _several_anew(turn, checks, open_checks, _bare(text)):
        return True
    if question is not None and open_checks and after_no_wait(turn, question, text) not in {text, _bare(text)}:
        return False  # what it takes back it has said itself
    before = {f.subject: f for f in turn.job.standing("result")}
    if anew := exchanged(turn, _bare(text)) or put_right_by_part(turn, checks, _bare(text)):
        for key in anew:
            say_revised(turn, before[key], key)
        turn.place(misses=0)
        turn.go_on = turn.job.question is None
        return True
    if (bad := doubted(turn, _bare(text))) is not None:
        return _asks_again(turn, bad)
    if takes_named_readings(turn, parts_of(_bare(text))):
        return True
    if recent and _of_another_part(turn, checks, _bare(text)):
        return True
    if recent and _revise(turn, checks, _bare(text), open_checks):
        return True
    return (_another_trouble(turn, meaning) or _asked_anew(turn, checks, _bare(text), open_checks)
            or (not _for_what_is_asked(turn, text) and denies_trouble(turn, text, meaning)))


def _several_anew(turn: Turn, checks: tuple[str, ...], asked: tuple[str, ...], text: str) -> bool:
    """'Sorry, its OL across and OL to the flange': readings put right in one go, or one of them and what is asked just
    now. False unless two are told and one of them differs from what stands."""
    metered = [key for key in checks if key in turn.pack.checks and turn.pack.checks[key].reading is not None]
    found = share_out(turn, tuple(dict.fromkeys((*asked, *metered))), text).found if metered else {}
    before = {f.subject: f for f in turn.job.standing("result") if f.subject in found}
    anew = [key for key, heard in found.items() if key not in before
            or (heard.result or heard.value) not in {before[key].value, before[key].number}]
    if max(len(found), len(metered)) < MORE_THAN_ONE or not set(anew) & before.keys():
        return False
    turn.close_question(closed="passed")
    turn.place(misses=0)
    for key in anew:
        file_heard(turn, found[key])
        if key in before:
            say_revised(turn, before[key], key)
    turn.go_on = True
    return True


def _of_another_part(turn: Turn, checks: tuple[str, ...], text: str) -> bool:
    """'Wait, the cut-off is OL' after the element was read: no correction of that one. True if it was filed."""
    if not (tells_open(text) or tells_continuity(text) or tells_reading(text)):
        return False
    named = reading_of_another(turn, [key for key in checks if key in turn.pack.checks], text)
    return named is not None and take_answer(turn, named, answer_to(turn, named, text), text)


def _asked_anew(turn: Turn, checks: tuple[str, ...], text: str, asked: tuple[str, ...]) -> bool:
    """'No wait, it does NOT lock, just clicks': on an answer that was given, and could be two others: asked again."""
    heard = {key: answer_to(turn, key, text) for key in (*checks, *asked)}
    leaning = {key: its.near[0].p for key, its in heard.items() if its.near}
    key = max(leaning, key=leaning.__getitem__, default=None)
    answers = any(heard[open_check].result is not None for open_check in asked)
    if key is None or key in asked or answers or leaning[key] < CLEAR / 2:
        return False
    return _asks_again(turn, key)


def _asks_again(turn: Turn, key: str) -> bool:
    """The check once more, in other words: what it showed is in doubt. Always True."""
    turn.close_question(closed="passed")
    turn.place(misses=0)
    turn.note("check.which")
    put(turn, "check", checks=(key,), asked=2)
    return True


def contrasted(turn: Turn, text: str) -> bool:
    """'Not washing, filling': the latest answer is denied in its own words, and another of its choices put for it."""
    found = _NOT_THAT.match(text)
    latest = next((f for f in reversed(turn.job.standing("result")[-LATEST:]) if f.subject in turn.pack.checks
                   and found is not None and _choice(turn, f.subject, found["was"]) == f.value), None)
    if found is None or latest is None or _choice(turn, latest.subject, found["now"]) in {None, latest.value}:
        return False
    return _revise(turn, (latest.subject,), found["now"])


def denies_last(turn: Turn, text: str) -> bool:
    """'Nah the lid is shut' after 'lid open' was noted: a line that begins with a no, answers nothing that is asked,
    and plainly tells another result of what was noted last. True if it was put right."""
    question, told = turn.job.question, turn.job.standing("result")[-LAST:]
    if not told or _NO_ITS.match(text) is None or question is None or _for_what_is_asked(turn, text):
        return False
    bare, asked = _bare(text), question.checks
    spoken = about(turn.context.release.index, turn.job.family or "", bare, turn.pack.checks)
    most = max(spoken.values(), default=0.0)
    for fact in reversed(told):
        if fact.subject not in turn.pack.checks or fact.subject in asked:
            continue
        if spoken.get(fact.subject, 0.0) < most and most >= NAMED_BY:
            continue  # 'no the cut off is ol' takes back no reading of the element
        heard = answer_to(turn, fact.subject, bare)
        if heard.result not in {None, fact.value} and heard.p >= SURE and _revise(turn, (fact.subject,), bare, asked):
            turn.place(misses=0)
            return True
    return False


def _for_what_is_asked(turn: Turn, text: str) -> bool:
    """Whether words may be an answer to the open check, or a danger stands, of which they are then."""
    question = turn.job.question
    asked = question.checks if question is not None and question.kind == "check" else ()
    return turn.job.phase is Phase.HAZARD or any(
        _clearness(turn, key, words) >= CLEAR / 2 for key in asked for words in (text, _bare(text)))


LAST: Final = 2
"""How many of the latest results a bare no may be on."""
_NO_ITS: Final = re.compile(
    r"\W*(?:no|nah|nope|na|naw)\b\W*(?:(?:i said|wait|man|mate) )*"
    r"(?:the|its|it|that|thats|this|theyre|they|those|there|theres)\b", re.IGNORECASE)


def takes_back(turn: Turn, text: str) -> bool:
    """'The rollers are fine' after 'rollers worn' was noted: words that deny one of the latest results and tell another
    of the same check replace it, however they begin."""
    index, family = turn.context.release.index, turn.job.family
    if told_of_repair(text, asked_for=False) is not None:
        return False  # 'put up the loop' tells what was done about it
    if turn.job.question is not None and turn.job.question.kind == "proof" and way_of("proof", text) is not None:
        return False  # 'quit ticking' tells how the repair went
    asked = turn.job.question.checks if turn.job.question is not None else ()
    for fact in reversed(turn.job.standing("result")[-LATEST:] if family is not None else ()):
        check = turn.pack.checks.get(fact.subject)
        if check is None or fact.value not in check.results or fact.value == usual(check) or fact.subject in asked:
            continue
        fine = next((part for part in parts_of(text) if called_fine(check, fact.value, part)), None)
        said = fine or (text if fact.value in denied_outright(index, family or "", fact.subject, text) else None)
        if said is not None and not _for_what_is_asked(turn, text) and _revise(turn, (fact.subject,), _bare(said)):
            turn.place(misses=0)
            return True
    return False


def _another_trouble(turn: Turn, meaning: Meaning) -> bool:
    """'No wait, it doesn't leak, it overflows': the complaint was another one, and no check is answered with it."""
    told = {fact.subject for fact in turn.job.standing("complaint")}
    others = [guess for guess in meaning.complaints if guess.id not in told]
    if not others or not told & set(meaning.denied):
        return False
    absorb(turn, replace(meaning, results=()))
    turn.place(misses=0)
    turn.go_on = True
    return True


_NOT_THAT: Final = re.compile(
    r"^\W*(?:(?:no|wait|sorry|its|it's|it is|it was)\b\W*)*not (?:on |at |while |when |"
    r"the )?(?P<was>[^,.;]{2,30})(?:[,.;]\W*|\s+)"
    r"(?:(?:but|its|it's|it is|it was|rather|only)\b\W*)*(?:on |at |while |when |"
    r"the )?(?P<now>[^,.;]{2,30})\W*$", re.IGNORECASE)


def _bare(text: str) -> str:
    """The words of a correction without those that only announce it; as it is where nothing would be left."""
    left = ANNOUNCING.sub("", text)
    return left if any(c.isalnum() for c in left) else text


def _choice(turn: Turn, key: str, text: str) -> str | None:
    """The result of a check that words name by its label: 'filling', 'on filling'."""
    results = turn.pack.checks[key].results
    said = re.sub(r"^\W*(?:on|at|in|while|when|the|during)\s+", "", text.strip(" .,!"), flags=re.IGNORECASE)
    chosen = choose(said, tuple(results), {name: entry.label for name, entry in results.items()}, turn.tech.language)
    return None if chosen is not None and only_sounds_like(turn.pack.checks[key], chosen, text) else chosen


def _revise(turn: Turn, checks: tuple[str, ...], text: str, asked: tuple[str, ...] = ()) -> bool:
    """Replace the answer that the words can be about; not if they answer what is asked just now (`asked`) better."""
    ranked = sorted(((_clearness(turn, key, text), key) for key in checks), reverse=True)
    p, key = ranked[0]
    if p < CLEAR or any(_clearness(turn, other, text) > p for other in asked):
        return False
    was = turn.job.result_of(key)
    open_question = turn.job.question
    chosen = _choice(turn, key, text)
    if chosen is not None:
        turn.close_question(closed="passed")
        take_result(turn, key, chosen)
    elif not take_answer(turn, key, answer_to(turn, key, text), text):
        return False
    say_revised(turn, was, key)
    if not turn.go_on and turn.job.question is None and open_question is not None:
        put_again(turn, open_question)
    return True


def _clearness(turn: Turn, key: str, text: str) -> float:
    """How clearly the words answer a check (0..1); a reading for a check that can be so much is clear."""
    if _choice(turn, key, text) is not None:
        return 1.0
    heard = answer_to(turn, key, text)
    read = (heard.heard is not None and heard.heard.value is not None and heard.heard.plausible
            and not is_difference(text))
    numeric = read and turn.pack.checks[key].reading is not None
    return max(heard.p if heard.result is not None else 0.0, 0.9 if numeric else 0.0)


def say_revised(turn: Turn, was: Fact | None, key: str) -> None:
    now = next((f for f in reversed(turn.job.standing("result")) if f.subject == key and f.turn == turn.key), None)
    if now is None:
        return
    if was is not None and was.value != now.value:
        turn.note("revised.instead", name=turn.pack.checks[key].name, now=said_of(turn, now), was=said_of(turn, was))
    else:
        turn.note("revised.noted", name=turn.pack.checks[key].name, now=said_of(turn, now))


def edited(turn: Turn, event: Edited, hear: Callable[[Turn, str, str | None], Meaning | None]) -> Meaning | None:
    """An edited message replaces what it had told, on the question that it had answered; else it is heard as new."""
    told = any(f.turn == event.target for f in turn.job.facts)
    question = undoing.question_answered_by(turn.job, event.target)
    if not told and question is None:
        return hear(turn, event.text, None)
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
            heard = answer_to(turn, key, event.text)
            chosen = choose(event.text, question.values, {}, turn.tech.language)
            if chosen is not None and chosen.startswith("result:"):
                take_result(turn, key, chosen.split("/")[1])
            else:
                take_answer(turn, key, heard, event.text)
    absorb(turn, meaning)
    if turn.job.standing() == before:
        turn.note("edit.nothing_new")
        again(turn)
        return None
    said = echo(turn)
    turn.note("edit.noted", said=said if said is not None else Text("edit.taken_out"))
    go_on_unless_over(turn)
    return meaning


def redacted(turn: Turn, event: Redacted) -> None:
    """A message that was taken back withdraws what it told."""
    if all(f.turn != event.target for f in turn.job.standing()):
        if turn.job.phase is Phase.HAZARD:
            turn.note("hazard.before_stop")
            again(turn)
        return
    turn.mark()
    turn.job = undoing.unturned(turn.job, event.target, turn.key)
    turn.note("edit.withdrawn")
    go_on_unless_over(turn)


def go_on_unless_over(turn: Turn) -> None:
    if turn.job.phase in {Phase.ENDED, Phase.HANDED_OFF, Phase.HAZARD}:
        again(turn)
    else:
        turn.go_on = True


def late_press(turn: Turn, event: Pressed) -> None:
    """A press on an earlier question: on a check it is an answer that came late, anything else is settled."""
    late = next((a.question for a in reversed(turn.job.asked) if a.question.id == event.question), None)
    if late is not None and late.kind == "check" and 1 <= event.choice <= len(late.values):
        check, result = late.values[event.choice - 1].removeprefix("result:").split("/")
        was = turn.job.result_of(check)
        if was is None or was.value != result:
            take_result(turn, check, result)
            say_revised(turn, was, check)
            go_on_unless_over(turn)
            return
    turn.note("press.settled")
    again(turn)


