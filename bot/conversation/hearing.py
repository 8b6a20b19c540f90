"""Typed words, in the order in which they are heard.

Nothing to read; steering words; hazards; appliances we do not cover; late answers; the open question; corrections;
whatever else the message tells; and if nothing of that fits, the question again, worded differently.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.intake import absorb, keep_for_later, names_build, take_builds, told_again, with_build
from bot.conversation.job import Phase, Question
from bot.conversation.missed import missed
from bot.conversation.questions.after_no_wait import without_taken_back
from bot.conversation.questions.answering import answered, surely_answered
from bot.conversation.questions.no_word_on_it import without_no_words
from bot.conversation.questions.photos import again
from bot.conversation.questions.tools import asks_for_time, at_hand_again, do_without, lacking, nods
from bot.conversation.repair.done_before import takes_done_before
from bot.conversation.repair.found_and_mended import mended_as_found, takes_mended_as_found
from bot.conversation.repair.proof import trouble_at_closing
from bot.conversation.repair.repairing import note_go_ahead
from bot.conversation.repair.reported import mended_at_first, takes_mended_at_first
from bot.conversation.repair.second_kept import asks_after_second, without_what_waits
from bot.conversation.repair.second_trouble import set_second_aside
from bot.conversation.safety.alarming import take_alarming, tells_alarming
from bot.conversation.safety.before_all import comes_first
from bot.conversation.safety.hazards import danger_told
from bot.conversation.safety.heat_unasked import with_unasked_heat
from bot.conversation.safety.never import never
from bot.conversation.steering.acts import is_choice, steer
from bot.conversation.steering.asked_back import (
    Put,
    answer_asked,
    asked_back,
    asks_meaning,
    look_after_all,
    questions_in,
)
from bot.conversation.steering.revising import contrasted, corrected, denies_last, late_reply, takes_back
from bot.conversation.steering.words import Steer, calls_for, senior_because, skips_because, steering
from bot.conversation.told.at_first import plainly_seen, run_as_told, seen_at_first
from bot.conversation.told.at_home import told_at_home
from bot.conversation.told.before_asked import answers_what_comes, tells_what_runs
from bot.conversation.told.besides import FEW, besides, while_asked
from bot.conversation.told.by_watts import takes_stamp
from bot.conversation.told.either_build import asks_which_build
from bot.conversation.told.fills_off import with_filling_off
from bot.conversation.told.hard_wired import without_outlet
from bot.conversation.told.kind_corrected import takes_kind
from bot.conversation.told.made_dead import takes_made_dead
from bot.conversation.told.not_fitted import go_on_without, without_what_lacks
from bot.conversation.told.not_run import go_on_without_run, without_run
from bot.conversation.told.onset import beginnings_in, not_today, without_beginning
from bot.conversation.told.plate import takes_model
from bot.conversation.told.read_off import without_read_off
from bot.conversation.told.site import note_site, noted_here, without_site
from bot.conversation.told.suspected import follow_bet
from bot.conversation.told.told_you import without_told_you
from bot.conversation.told.tripped import take_never_trips
from bot.conversation.told.unasked import (
    file_besides,
    hear_again_unasked,
    set_aside,
    take_details,
    take_unasked,
)
from bot.conversation.turn import Turn
from bot.conversation.wording.corrects import CORRECTING
from bot.conversation.wording.mended import only_at_hand
from bot.language.answers.bands import usual
from bot.language.answers.beside_it import only_one_place
from bot.language.answers.measured import ELECTRICAL, quantity_of
from bot.language.complaints.by_itself import without_helped
from bot.language.machine.variants import tells_kind
from bot.language.meaning import Meaning
from bot.language.understand import understand
from bot.language.words.text import spelled_out


def hear(turn: Turn, text: str, reply_to: str | None) -> Meaning | None:
    """Deal with typed words; what was understood, unless they only steered."""
    if not any(c.isalnum() for c in text) and text.strip() not in {"?", "??"}:
        turn.note("input.nothing_to_read")
        again(turn)
        return None
    word = steering(text) or (Steer.SENIOR if calls_for(text, _seniors(turn)) else None)
    if word is not None and not is_choice(turn, text):
        steer(turn, word)
        return None
    note_site(turn, text)
    question = turn.job.question
    if question is None or question.kind != "site":
        text = without_site(text).strip()
        if question is not None and not any(c.isalnum() for c in text):
            turn.note("site.kept")
            again(turn)
            return None
    if question is not None and takes_model(turn, text):
        again(turn)
        return None
    text = spelled_out(without_told_you(text))
    said, asked = text, questions_in(turn, text)  # a danger may be named in a question, too
    if asked is not None:
        text = asked.told
        if not any(c.isalnum() for c in text):
            return _only_asked(turn, said, asked)
    typed, text = text, without_taken_back(text)
    all_of_it = asked is not None or text != typed  # a danger is not taken back with it
    whole, text = text, without_run(turn, text)
    if text != whole and not any(c.isalnum() for c in text):
        go_on_without_run(turn)
        return None
    fitted, text = text, without_outlet(turn, without_what_lacks(turn, text, turn.job.family), turn.job.family)
    if text != fitted and not text:
        go_on_without(turn)
        return None
    meaning, text = _understood(turn, text, said)
    turn.trace("understood", **told_again(turn, meaning))
    if not _never_done(turn, said, meaning) and not comes_first(turn, said if all_of_it else text, meaning):
        if asked is not None:
            answer_asked(turn, asked)
        _listen(turn, text, meaning, reply_to)
        if asked is not None:
            look_after_all(turn, asked)
    return meaning


def _understood(turn: Turn, text: str, said: str) -> tuple[Meaning, str]:
    """What words mean here, and the words without what the machine lacks. `said`: with all that was left out of them,
    in which a danger may be named."""
    question = turn.job.question
    troubles = "" if only_one_place(text) else without_helped(without_beginning(text))
    meaning = understand(turn.context.release.index, troubles or text, family=turn.job.family,
                         checks=question.checks if question else (), at=question.kind if question else "")
    if not troubles:
        meaning = replace(meaning, complaints=(), denied=(), candidates=())
    meaning = replace(meaning, complaints=without_read_off(turn, meaning, troubles or text))
    if turn.job.family is None:
        text = without_outlet(turn, text, meaning.family)
        without_what_lacks(turn, text, meaning.family)
    meaning = with_unasked_heat(turn, with_build(turn, danger_told(turn, said, meaning), text), text)
    meaning = with_filling_off(turn, meaning, text)
    if text != said and meaning.hazard is None:  # a danger may be named with it: 'not running that, it sparked'
        of_all = understand(turn.context.release.index, said, family=turn.job.family,
                            at=question.kind if question else "")
        meaning = replace(meaning, hazard=danger_told(turn, said, of_all).hazard)
    meaning = without_no_words(turn, without_what_waits(turn, meaning), text)
    return meaning, text


def _never_done(turn: Turn, said: str, meaning: Meaning) -> bool:
    """A word on what is never done. True if nothing else is to be heard in the line."""
    no = never(said, turn.job.family or meaning.family) if meaning.hazard is None else None
    if no == "never.gas_valve" and "gas" in turn.tech.signoffs:
        no = None
    if no is not None:
        turn.note(no)
    if no is None or (turn.job.question is None and meaning.complaints):
        return False
    again(turn)
    return True


def _only_asked(turn: Turn, said: str, asked: Put) -> Meaning:
    """A line that asks and tells nothing: answered, unless a danger is named in it, and the open question once more."""
    heard = understand(turn.context.release.index, said, family=turn.job.family)
    meaning = replace(danger_told(turn, said, heard), complaints=(), denied=(), candidates=(), results=())
    turn.trace("understood", **told_again(turn, meaning))
    if not _never_done(turn, said, meaning) and not comes_first(turn, said, meaning):
        turn.place(misses=0)
        answer_asked(turn, asked)
        if not look_after_all(turn, asked):
            again(turn)
    return meaning


WAITING_FOR: Final = frozenset({"check", "variant", "repair", "proof", "closing"})
"""Questions at which it takes time to do what is asked."""


def _listen(turn: Turn, text: str, meaning: Meaning, reply_to: str | None) -> None:
    """Late answers, corrections, the open question, and whatever else the words tell."""
    question = turn.job.question
    if (trouble_at_closing(turn, question, text, meaning) or _no_answer(turn, question, text)
            or takes_kind(turn, text) or _only_a_stamp(turn, text)):
        return
    note_go_ahead(turn, text)
    tool_lacking = False
    if question is None or question.kind != "check":
        tool, besides = lacking(turn, text)
        tool_lacking = tool is not None
        text = besides if any(c.isalnum() for c in besides) else text
        if tool is not None and do_without(turn, tool):
            turn.note("check.without_tool")
    rest, whole = take_alarming(turn, text), text
    mended = _mended_already(turn, text, meaning)
    of_kind = question is not None and question.kind == "check" and (tells_kind(text) or names_build(turn, text))
    if (rest == "" and not mended) or (of_kind and _told_builds(turn, rest or text, meaning)):
        _taken_in(turn)
        return
    text = rest or text
    if mended or (reply_to is None and surely_answered(turn, text, meaning)) or late_reply(
            turn, text, reply_to) or corrected(turn, text, meaning) or contrasted(
            turn, text) or denies_last(turn, text) or takes_back(
            turn, text) or asks_which_build(turn, text) or answered(turn, text, meaning):
        takes_done_before(turn, text)
        _send_what_is_left(turn)
        return
    if _told_builds(turn, text, meaning):
        _taken_in(turn)
        return
    told = _told_beside(turn, text, whole, meaning) or rest is not None
    told = takes_done_before(turn, text) or told
    set_second_aside(turn, meaning, text)
    if take_unasked(turn, text):
        _send_what_is_left(turn)
        return
    hear_again_unasked(turn)
    if turn.job.family is None:
        keep_for_later(turn, text)
    if told or tool_lacking or take_details(turn, text):
        _taken_in(turn)
    elif turn.job.phase is Phase.INTAKE and turn.job.question is None and (
            meaning.small_talk is None or quantity_of(text) in ELECTRICAL):
        turn.go_on = True
    elif not any(c.isalnum() for c in text) or (noted_here(turn) and len(text.split()) <= FEW):
        turn.note("site.kept")
        again(turn)
    else:
        missed(turn, text, meaning)


def _only_a_stamp(turn: Turn, text: str) -> bool:
    """Take the watts of a heater; True if the line tells nothing else."""
    only = takes_stamp(turn, text)
    if only:
        _taken_in(turn)
    return only


def _told_builds(turn: Turn, text: str, meaning: Meaning) -> bool:
    """Take a line that tells how the machine is built and nothing else. 'Gas', and nothing else, is no smell."""
    if not take_builds(turn, text):
        return False
    absorb(turn, replace(meaning, complaints=(), denied=(), results=()))
    tells_what_runs(turn, text)
    return True


def _mended_already(turn: Turn, text: str, meaning: Meaning) -> bool:
    """A first line that tells the trouble and that it was put right: what it tells is filed, and its proof asked."""
    if mended_at_first(turn, text):
        return absorb(turn, meaning) and takes_mended_at_first(turn, text)
    return mended_as_found(turn, text) and absorb(turn, meaning) and takes_mended_as_found(turn, text)


def _told_beside(turn: Turn, text: str, whole: str, meaning: Meaning) -> bool:
    """File what words tell that answer nothing that is asked; `whole` has what was alarming, too. True if anything was
    new."""
    ahead = answers_what_comes(turn, text)
    new = absorb(turn, besides(text, meaning) if ahead else while_asked(turn, text, meaning))
    question = turn.job.question
    read = set_aside(turn, text, ())[1] if question is not None and question.kind == "variant" else []
    metered = [heard for heard in read if "meter" in turn.pack.checks[heard.check].tools]
    begun = file_besides(turn, [*beginnings_in(turn, text), *told_at_home(turn, text), *metered,
                                *plainly_seen(turn, read, text),
                                *seen_at_first(turn, whole), *run_as_told(turn, text)])
    alarming = take_alarming(turn, text) is not None  # the family may be known only now
    today = question is None or question.kind != "check" or not not_today(text)
    if not today:
        turn.note("check.not_today")
    return ahead or new or begun or alarming or not today


def _seniors(turn: Turn) -> list[str]:
    """The names of those whom a junior may ask for."""
    return [p.name for p in turn.context.people.values() if p.role != "junior" and p.id != turn.tech.id]


def _no_answer(turn: Turn, question: Question | None, text: str) -> bool:
    """A skip with its reason, a moment asked for, a nod, a bet on a part, a question back, a tool there again. What
    is alarming is heard before all of it."""
    if tells_alarming(turn, text):
        return False
    reason = skips_because(text)
    if reason is not None and question is not None:
        _skip_because(turn, question, reason)
        return True
    why = senior_because(text)
    if why is not None and turn.job.phase not in {Phase.HANDED_OFF, Phase.ENDED, Phase.HAZARD}:
        file_besides(turn, set_aside(turn, why, ())[1])
        steer(turn, Steer.SENIOR)
        return True
    if question is not None and question.kind in WAITING_FOR and asks_for_time(text) and not CORRECTING.search(text):
        turn.note("closing.take_your_time")
        turn.send()
        return True
    if question is not None and question.kind == "check" and only_at_hand(text):
        turn.place(misses=0)
        turn.note("part.at_hand")
        again(turn)
        return True
    if question is not None and question.kind == "check" and nods(text):
        turn.note("check.nodded")
        turn.send()
        return True
    if (takes_made_dead(turn, text) or take_never_trips(turn, text) or follow_bet(turn, text)
            or asks_after_second(turn, text)):
        return True
    tool = at_hand_again(turn, text)
    if tool is None:
        return asks_meaning(text) and asked_back(turn, text)
    turn.withdraw([fact for fact in turn.job.standing("cannot") if fact.subject == tool])
    turn.note("tool.back", name=turn.context.release.knowledge.common.tools[tool].name)
    if any(c.isdigit() for c in text):
        return False  # 'got a meter now, 5.2 ohm': the reading is still to be heard
    _taken_in(turn)
    return True


def _skip_because(turn: Turn, question: Question, reason: str) -> None:
    """'Skip, no meter': nothing of it answers what is skipped; a tool that is lacking, or what it tells of another
    check, is kept."""
    turn.place(misses=0)
    tool, besides = lacking(turn, reason)
    if tool is not None:
        do_without(turn, tool)
    file_besides(turn, set_aside(turn, besides, question.checks)[1])
    steer(turn, Steer.SKIP)


def _send_what_is_left(turn: Turn) -> None:
    if turn.job.question is None and not turn.go_on:
        turn.send()


def _taken_in(turn: Turn) -> None:
    """New facts outside the open question: they are evidence, wherever the visit stands."""
    turn.place(misses=0)
    if turn.job.phase in {Phase.HANDED_OFF, Phase.HAZARD}:
        turn.note("handoff.kept")
        again(turn)
        return
    if turn.job.phase in {Phase.REPAIR, Phase.PROOF, Phase.CLOSING} and _nothing_wrong(turn):
        again(turn)
        return
    turn.go_on = True


def _nothing_wrong(turn: Turn) -> bool:
    """Whether a line told only of what works: 'two hours on, freezer at 5' at the proof is no sign that it failed."""
    told = [fact for fact in turn.job.facts if fact.turn == turn.key]
    return bool(told) and all(fact.kind == "denied" or (
        fact.kind == "result" and (check := turn.pack.checks.get(fact.subject)) is not None
        and fact.value == usual(check)) for fact in told)
