"""What each steering word does. They work in every state."""

from __future__ import annotations

from typing import Final

from bot.conversation.job import Phase
from bot.conversation.questions.asking import labels, put_again
from bot.conversation.questions.checks import skip_check
from bot.conversation.questions.chosen import chosen
from bot.conversation.questions.newly import answers_new
from bot.conversation.questions.photos import again
from bot.conversation.repair.handing import hand_off
from bot.conversation.repair.leaving import ask_how_left
from bot.conversation.safety.slipped import asks_whether_slip
from bot.conversation.steering import explaining, undoing
from bot.conversation.steering.words import Steer, help_for
from bot.conversation.turn import Turn
from bot.conversation.wording import render_choice


def is_choice(turn: Turn, text: str) -> bool:
    """Whether a word is a choice of the open question as it was shown: 'back', asked where the noise is, is a place."""
    question = turn.job.question
    if question is None:
        return False
    if question.kind == "check" and answers_new((turn.pack.checks[key] for key in question.checks), text):
        return True
    said = text.strip(" .,!").lower()
    return any(said == render_choice(shown, turn.context.firm, turn.tech.language).lower()
               for value, shown in labels(turn, question).items() if value.startswith(OF_THE_MACHINE))


OF_THE_MACHINE: Final = ("result:", "variant:")
"""Choices that say something of the machine."""


def steer(turn: Turn, word: Steer) -> None:
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
            if not asks_whether_slip(turn):
                undoing.go_back(turn)
        case Steer.SKIP:
            _skip(turn)
        case Steer.SENIOR:
            _senior(turn)
        case Steer.STOP:
            _stop(turn)
        case Steer.HELP | Steer.NEW | Steer.JOBS:
            turn.texts.extend(help_for(turn.tech.role))
            again(turn)


def _skip(turn: Turn) -> None:
    question = turn.job.question
    if question is None:
        turn.note("skip.nothing")
        turn.send()
    elif question.kind == "check":
        skip_check(turn, question)
    elif "dont_know" in question.values:
        chosen(turn, question, "dont_know")
    elif "skip" in question.values:
        chosen(turn, question, "skip")
    elif question.kind == "consent":
        chosen(turn, question, "later")
    elif question.kind == "closing":
        turn.note("skip.closing")
        chosen(turn, question, "all_done")
    elif question.kind in {"finding", "complaint", "menu"}:
        chosen(turn, question, "doubt" if question.kind == "finding" else "other")
    elif question.kind == "doubt_reading":
        turn.close_question(closed="passed")
        turn.fact("declined", question.data["check"])
        turn.note("check.skipped")
        turn.go_on = True
    elif question.kind == "cover":
        chosen(turn, question, "opens")
    elif question.kind == "which_check":
        turn.close_question(closed="passed")
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
