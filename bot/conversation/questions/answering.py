"""Typed answers to the open question: by number, label, or in the tech's own words."""

from __future__ import annotations

from typing import Final

from bot.conversation.intake import ask_which_family, keep_for_later
from bot.conversation.job import Phase, Question
from bot.conversation.questions.after_no_wait import after_no_wait
from bot.conversation.questions.another_part import metered_elsewhere, on_a_named_part, without_named_parts
from bot.conversation.questions.asking import labels, put_again
from bot.conversation.questions.besides_answer import SHORT, file_besides_answer, take_readings_beside
from bot.conversation.questions.by_its_part import in_one_part
from bot.conversation.questions.checks import CLEAR, answer_check, take_answer
from bot.conversation.questions.choosing import choose
from bot.conversation.questions.chosen import choose_build, chosen
from bot.conversation.questions.in_its_words import build_named, has_or_not
from bot.conversation.questions.plain_yes import is_bare, says_it_twice
from bot.conversation.questions.which import SIDE, which_in_words
from bot.conversation.questions.which_unit import scale_said
from bot.conversation.questions.whole_of_another import whole_of_another
from bot.conversation.questions.worded import answer_to
from bot.conversation.repair.ahead import ahead_of_us
from bot.conversation.repair.at_proof import plainly_proved, trouble_proved
from bot.conversation.repair.closing import answer_site
from bot.conversation.repair.found_and_mended import cleaned_as_seen, takes_found_and_mended
from bot.conversation.repair.leaving import answer_age
from bot.conversation.repair.next_trouble import set_aside_trouble
from bot.conversation.repair.on_order import of_the_order
from bot.conversation.repair.parts import has_or_needs_by_name, of_the_part, tells_wrong_part
from bot.conversation.repair.proof import proof_chosen, proof_in_words, shows_well
from bot.conversation.repair.repairing import agreed_already, answer_finding, answer_waiting, decline_at_finding
from bot.conversation.repair.reported import answer_cause, takes_report
from bot.conversation.repair.stands import says_nothing_of_it, surely_stands, takes_status
from bot.conversation.repair.waiting import answer_plate, day_in_words
from bot.conversation.safety.hazards import hazard_answer, in_doubt, settle_hazard
from bot.conversation.safety.slipped import instead_of_slip, says_mistake
from bot.conversation.steering.undoing import before_repair
from bot.conversation.told.at_first import seen_with_build
from bot.conversation.told.before_asked import tells_what_runs
from bot.conversation.told.made_dead import without_proved_dead
from bot.conversation.told.of_another import volts_at
from bot.conversation.told.readings import tells_reading
from bot.conversation.told.site import could_be_place
from bot.conversation.told.unasked import file_besides, set_aside, take_unasked
from bot.conversation.told.whose_reading import asks_whose_reading
from bot.conversation.turn import Turn
from bot.conversation.wording import render_choice
from bot.conversation.wording.mended import (
    done_and,
    how_it_went,
    no_better,
    not_done,
    not_made,
    plain,
)
from bot.conversation.wording.over import only_quiet, over_in, without_quiet
from bot.conversation.wording.ways import way_of
from bot.language.answers.about import parts_of
from bot.language.answers.measured import at_supply
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.meaning import Meaning
from bot.language.readings.read import read


def answered(turn: Turn, text: str, meaning: Meaning) -> bool:
    """Whether the message answers the open question; if so it was dealt with."""
    question = turn.job.question
    if question is None:
        return False
    if question.kind == "closing" and over_in(text) == "runs":
        put_again(turn, question)  # 'works': good, and the list is still to be gone through
        return True
    if _where_it_stands(turn, question, text, meaning):
        return True
    aside = (question.kind == "repair" and how_it_went(text) != "same"
             and (way_of("repair", text) is None or done_and(text)) and set_aside_trouble(turn, meaning))
    if says_nothing_of_it(question, text):
        return _told_beside_it(turn, question, text, aside=aside)
    return _answered(turn, question, text, meaning, aside=aside)


def surely_answered(turn: Turn, text: str, meaning: Meaning) -> bool:
    """The same of a line that so surely says where the job stands that it puts nothing right: 'boiled a pan, no sparks
    now' at a proof takes no look back."""
    question = turn.job.question
    return question is not None and surely_stands(question, text) and _where_it_stands(turn, question, text, meaning)


def _where_it_stands(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    if (not_made(text) or not_done(text)) and _still_to_do(turn, question, text):
        return True
    if question.kind == "proof" and plainly_proved(turn, question, text, meaning):
        return True
    return takes_status(turn, question, text, meaning)


def _told_beside_it(turn: Turn, question: Question, text: str, *, aside: bool) -> bool:
    """A line that says nothing of where the job stands: at a proof what it shows may still prove it, and a trouble
    that waits for the next repair is all it tells. False if it is to be heard on."""
    if question.kind == "proof" and shows_well(turn, text):
        turn.place(misses=0)
        proof_chosen(turn, "holds")
        return True
    if aside:
        put_again(turn, question)
    return aside


def _answered(turn: Turn, question: Question, text: str, meaning: Meaning, *, aside: bool) -> bool:
    """The same where nothing that was learned tells what it is. `aside`: a trouble was set aside for later."""
    if (of_the_order(turn, question, text) or takes_report(turn, question, text, meaning)
            or takes_found_and_mended(turn, question, text)
            or (question.kind == "check" and cleaned_as_seen(turn, text))):
        return True
    if question.kind == "proof" and (proved := trouble_proved(turn, text, meaning)) is not None:
        return proved
    if question.kind == "check":
        return _check_answered(turn, question, text, meaning)
    if says_mistake(turn, text) or (question.kind == "hazard" and in_doubt(turn, question, text)):
        return True
    if question.kind in {"due", "waiting", "thinking"} and day_in_words(turn, text):
        turn.place(misses=0)
        return True
    shown = {v: render_choice(t, turn.context.firm, turn.tech.language) for v, t in labels(turn, question).items()}
    anew = question.kind == "which_check" and tells_reading(text)  # 'heater 30 ohms' names no 28
    value = None if anew else _with_no_part(question, text, choose(text, question.values, shown, turn.tech.language))
    if value is None and question.kind == "slip":
        return instead_of_slip(turn) is not None and answered(turn, text, meaning)
    if value is None or (value == "stuck" and tells_wrong_part(turn, text)):
        done = (_in_other_words(turn, question, text) or _free_answer(turn, question, text, meaning)
                or _build_in_words(turn, question, text, meaning) or ask_which_family(turn, question, text, meaning))
        if aside and not done:
            put_again(turn, question)
        return done or aside
    _chosen_in_words(turn, question, value, text)
    return True


def _with_no_part(question: Question, text: str, value: str | None) -> str | None:
    """The choice that was named, unless words say that no part is needed: 'no part, just dry it' orders none."""
    if value is None or way_of(question.kind, text) != WITHOUT_PART:
        return value
    return next((way for way in NO_PART if way in question.values), value)


def _chosen_in_words(turn: Turn, question: Question, value: str, text: str) -> None:
    """A choice that words named; with a build they may tell what it does: 'igniter glows, no flame', with the machine
    its build: 'top load, belt drive'."""
    turn.place(misses=0)
    if question.kind == "family" and len(text.split()) > 1:
        keep_for_later(turn, text)
    chosen(turn, question, value)
    if question.kind == "variant" and not tells_what_runs(turn, text):
        file_besides(turn, seen_with_build(turn, text))
        _take_the_rest(turn, text)


def _take_the_rest(turn: Turn, text: str) -> None:
    """'Board, heater OL': what a line tells behind the build that was asked for."""
    rest = ", ".join(parts_of(text)[1:])
    if any(c.isdigit() for c in rest) or tells_open(rest) or tells_continuity(rest):
        take_unasked(turn, rest)


def _still_to_do(turn: Turn, question: Question, text: str) -> bool:
    """'Not done yet, still have to fit it': what was taken for a repair is taken back; one on the table waits."""
    if not_made(text) and before_repair(turn):
        turn.place(misses=0)
        return True
    if question.kind == "check" and (len(text.split()) > LONGEST_NOT_DONE or any(c.isdigit() for c in text) or any(
            (heard := answer_to(turn, key, text)).result is not None and heard.p >= CLEAR for key in question.checks)):
        return False
    if question.kind not in {"check", "finding", "consent", "repair", "proof"}:
        return False
    turn.place(misses=0)
    put_again(turn, question)
    return True


LONGEST_NOT_DONE: Final = 8
"""Words of a line that says, at a check, that nothing was done yet; a longer one tells of more."""


def _check_answered(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """An answer to the open checks, a result of another one, or both: each part goes to what it speaks of."""
    text = after_no_wait(turn, question, _without_quiet(turn, text))
    if not any(c.isalnum() for c in text):
        turn.note("check.not_today")
        turn.place(misses=0)
        put_again(turn, question)
        return True
    if (is_bare(text) or says_it_twice(turn, question, text)) and answer_check(turn, question, text):
        turn.place(misses=0)  # 'nope', 'nope, bone dry': of what was asked, though it would do for another check too
        return True
    whole = whole_of_another(turn, question, text, meaning)
    if whole is not None and file_besides(turn, [whole]):
        turn.place(misses=0)
        turn.go_on = True
        return True
    return _answered_in_parts(turn, question, text, meaning)


def _answered_in_parts(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """Each part of a line to the check that it speaks of; what is left, to the one that is asked."""
    if len(parts_of(text)) == 1 and tells_open(text) and metered_elsewhere(turn, question, text):
        return _goes_on(turn, question)
    said, others = set_aside(turn, without_proved_dead(turn, question, text) or text, question.checks)
    told = file_besides(turn, others)  # first: what is unsafe goes into the answer, whatever that is
    if not told and metered_elsewhere(turn, question, said):
        return _goes_on(turn, question)
    if not told and _volts_elsewhere(turn, question, said):
        return True
    said = without_named_parts(turn, question, said)
    if any(c.isalnum() for c in said) and on_a_named_part(turn, question, said):
        turn.place(misses=0)
        return True
    done = any(c.isalnum() for c in said) and _by_a_part_or_all(turn, question, said)
    if not done and not told and _wants_the_part(turn, text):
        put_again(turn, question)
        return True
    if done:
        file_besides_answer(turn, meaning, question)
        take_readings_beside(turn, said, question)
    elif told:
        if any(c.isdigit() for c in said) or tells_open(said) or tells_continuity(said):
            take_unasked(turn, said)
        turn.go_on = turn.job.question is None or turn.job.question is question
    elif not told and len(text.split()) <= SHORT and no_better(text) and turn.job.standing("complaint"):
        turn.note("check.still_there")
        put_again(turn, question)
        told = True
    if done or told:
        turn.place(misses=0)
    return done or told


def _by_a_part_or_all(turn: Turn, question: Question, text: str) -> bool:
    """Whether one part of a line answered, where it is surer than the line, or all of it did."""
    part = in_one_part(turn, question, text)

    def by_part() -> bool:
        return part is not None and take_answer(turn, question.checks[0], part[1], part[0])

    surer = part is not None and answer_to(turn, question.checks[0], text).result is not None
    return (surer and by_part()) or answer_check(turn, question, text) or by_part()


def _volts_elsewhere(turn: Turn, question: Question, said: str) -> bool:
    """Volts told at a part while no meter is asked for are filed there, or it is asked at which: 'got 120 at the fan'
    says nothing of the air at the grille. True if they were one of both."""
    if not volts_at(said) or at_supply(said) or any("meter" in turn.pack.checks[key].tools for key in question.checks):
        return False
    return _goes_on(turn, question) if take_unasked(turn, said) else asks_whose_reading(turn, said)


def _goes_on(turn: Turn, question: Question) -> bool:
    """What was told is filed; the next step is worked out unless something else was asked about it. Always True."""
    turn.place(misses=0)
    turn.go_on = turn.job.question is None or turn.job.question is question
    return True


def _without_quiet(turn: Turn, text: str) -> str:
    """'Quiet now' of a machine that is noisy tells that the noise comes and goes: no place of it, nor
    that it is dead."""
    noisy = any(fact.subject.startswith(NOISE) for fact in turn.job.standing("complaint"))
    left = without_quiet(text) if noisy and only_quiet(text) else text
    return text if left == plain(text) else left


NOISE: Final = "nois"
"""How the ids of complaints of noise begin."""


def _wants_the_part(turn: Turn, text: str) -> bool:
    """'Order it' while the cause is still looked for: the part comes after that."""
    if turn.job.phase is not Phase.FINDING or way_of("finding", text) not in {"got_part", "order"}:
        return False
    turn.place(misses=0)
    agreed_already(turn, text)
    turn.note("finding.this_first")
    return True


def _in_other_words(turn: Turn, question: Question, text: str) -> bool:
    """A usual way to answer a question that every visit has. True if the text was one."""
    if of_the_part(turn, question, text):
        return True
    value = way_of(question.kind, text)
    if question.kind == "finding" and value is None and "got_part" in question.values:
        value = has_or_needs_by_name(turn, text)
    if question.kind == "finding" and value is None and agreed_already(turn, text):
        turn.place(misses=0)
        put_again(turn, question)
        return True
    if question.kind in SIDE and turn.job.phase is Phase.FINDING and turn.job.position.repair is not None and (
            way_of("finding", text) in {"got_part", "order"}):
        turn.place(misses=0)
        answer_finding(turn, str(way_of("finding", text)))  # what was asked in passing holds no part up
        return True
    if question.kind in {"finding", "repair"} and ahead_of_us(turn, question, text, value):
        turn.place(misses=0)
        return True
    if value is None:
        return False
    turn.place(misses=0)
    if value == WITHOUT_PART:
        value = next((way for way in NO_PART if way in question.values), "not_yet")
    if value in question.values:
        chosen(turn, question, value)
    elif value == "declined" and question.kind == "finding":
        decline_at_finding(turn)
    elif value == "arrived" and question.kind == "thinking":
        answer_waiting(turn, value)
    elif value == "not_yet":
        put_again(turn, question)
    else:
        return False
    return True


def _build_in_words(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """'Two strips by the filter' where strips are asked for; 'board run, no timer'."""
    if question.kind != "variant":
        return False
    tells_more = meaning.variant or meaning.results or any(guess.p >= LIKELY for guess in meaning.complaints)
    value = has_or_not(turn, question, text) or (None if tells_more else build_named(turn, question, text))
    if value is None:
        return False
    turn.place(misses=0)
    choose_build(turn, question, value)
    return True


def _free_answer(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """Questions that take words: an address, a plate, an age, how the proof went, a reading that was meant."""
    match question.kind:
        case "site":
            if not could_be_place(text):
                return False
            answer_site(turn, text)
        case "plate":
            if not any(c.isdigit() for c in text):
                return False
            answer_plate(turn, text)
        case "age":
            years = read("minutes", f"{text} min").value
            answer_age(turn, years / 60 if years is not None else None)
        case "hazard":
            value = hazard_answer(text, question.values)
            if value is None:
                return False
            settle_hazard(turn, value)
        case "cause":
            answer_cause(turn, text)
        case "proof":
            return proof_in_words(turn, meaning)
        case "which_check":
            return which_in_words(turn, question, text)
        case "doubt_reading":
            return _reading_meant(turn, question, text)
        case _:
            return False
    return True


def _reading_meant(turn: Turn, question: Question, text: str) -> bool:
    """The letter of a number that was asked about, or the reading once more."""
    scaled = scale_said(text, question.values)
    if scaled is not None:
        chosen(turn, question, scaled)
        return True
    key = question.data["check"]
    return take_answer(turn, key, answer_to(turn, key, text), text)


WITHOUT_PART: Final = "without_part"
NO_PART: Final = ("clean_only", "no_part", "do_it")
"""The ways to go on with nothing new fitted; where a finding has none, it is asked again."""
LIKELY: Final = 0.9
"""How sure a trouble is to be, to be what a line tells at the question after the build."""
