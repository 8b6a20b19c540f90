"""A choice of the open question, by press, number or word."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from bot.conversation.effects import SetTimer
from bot.conversation.events import TAKE_UP
from bot.conversation.ids import derive
from bot.conversation.intake import set_family
from bot.conversation.job import Outcome, Question
from bot.conversation.phases import Move
from bot.conversation.questions.asking import labels, put, put_again
from bot.conversation.questions.checks import answer_doubt, press_result
from bot.conversation.questions.shut import answer_cover
from bot.conversation.questions.which import answer_which
from bot.conversation.repair.closing import answer_closing, answer_site
from bot.conversation.repair.found_and_mended import takes_mended_as_found
from bot.conversation.repair.leaving import answer_age, answer_leave, ask_how_left, end
from bot.conversation.repair.proof import proof_chosen
from bot.conversation.repair.repairing import (
    answer_consent,
    answer_finding,
    answer_repair,
    answer_thinking,
    answer_waiting,
)
from bot.conversation.repair.reported import answer_cause
from bot.conversation.repair.second_trouble import set_second_aside
from bot.conversation.repair.waiting import answer_due, answer_plate
from bot.conversation.safety.clearance import answer_cleared
from bot.conversation.safety.hazards import settle_hazard
from bot.conversation.safety.slipped import answer_slip
from bot.conversation.told.unasked import hear_again_unasked
from bot.conversation.turn import Turn
from bot.language.understand import understand


def chosen(turn: Turn, question: Question, value: str) -> None:
    """A choice of the open question, by press, number or word."""
    match question.kind:
        case "check":
            press_result(turn, value)
        case "family":
            turn.close_question(labels(turn, question)[value])
            turn.fact("family", value)
            set_family(turn, value)
            unplaced = turn.job.position.unplaced
            hear_again_unasked(turn)
            for text in unplaced:
                set_second_aside(turn, understand(turn.context.release.index, text, family=value), text)
            turn.go_on = not any(takes_mended_as_found(turn, text) for text in unplaced)
        case "variant":
            choose_build(turn, question, value)
        case "menu":
            _menu(turn, question, value)
        case "complaint":
            _complaint(turn, question, value)
        case _:
            _HANDLERS[question.kind](turn, value)


def _callback(turn: Turn, value: str) -> None:
    """Whether this is the same trouble as last time: a callback is a label, and what was replaced then is evidence."""
    question = turn.job.question
    data = question.data if question else {}
    turn.close_question()
    turn.record("callback", job=data.get("past"), same={"same_trouble": True, "other_trouble": False}.get(value))
    interrupted = turn.job.position.interrupted
    turn.place(interrupted=None)
    if value == "same_trouble":
        turn.fact("payer", "callback")
        turn.note("callback.ours")
        if data.get("repair") and data.get("family") == turn.job.family and turn.pack.faults_of(data["repair"]):
            turn.fact("repaired", data["repair"])
            turn.note("callback.tried")
            turn.go_on = True
            return
    if interrupted is not None:
        put_again(turn, interrupted)
    else:
        turn.go_on = True


def _resume(turn: Turn, value: str) -> None:
    """Take up the job that waits at this place: it is woken, and this one was only the way to it."""
    question = turn.job.question
    data = question.data if question else {}
    turn.close_question()
    interrupted = turn.job.position.interrupted
    turn.place(interrupted=None)
    if value == "take_up":
        turn.effects.append(SetTimer(
            id=derive(turn.event.id, TAKE_UP), at=turn.context.now, name=TAKE_UP, job=data["open"],
            person=turn.job.tech, conversation=turn.job.conversation))
        end(turn, Outcome.CONTINUED)
    elif interrupted is not None:
        put_again(turn, interrupted)
    else:
        turn.go_on = True


def _held(turn: Turn, value: str) -> None:
    """Did it hold: a label, and a word. The job stays closed."""
    turn.close_question()
    turn.record("proof", held={"held": True, "came_back": False}.get(value), later=True,
                fault=turn.job.position.fault, repair=turn.job.position.repair)
    turn.note(f"held.{value}")
    turn.send()


def _after_hand_off(turn: Turn, value: str) -> None:
    if value == "leave":
        ask_how_left(turn)
        return
    turn.close_question()
    turn.move(Move.GIVEN_BACK)
    turn.fact("declined", "handoff")
    turn.note("handoff.back_to_it")
    turn.go_on = True


def choose_build(turn: Turn, question: Question, value: str) -> None:
    """The build of this machine, or that the tech cannot tell."""
    turn.close_question(labels(turn, question)[value])
    if value == "dont_know":
        turn.fact("declined", f"variant:{question.data['axis']}")
    else:
        _, axis, chosen_value = value.split(":")
        turn.fact("variant", axis, chosen_value)
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


_HANDLERS: Final[dict[str, Callable[[Turn, str], None]]] = {
    "doubt_reading": answer_doubt, "which_check": answer_which, "cover": answer_cover,
    "finding": answer_finding, "consent": answer_consent, "repair": answer_repair,
    "proof": proof_chosen, "closing": answer_closing, "waiting": answer_waiting,
    "thinking": answer_thinking, "leave": answer_leave,
    "hazard": settle_hazard, "site": lambda turn, _: answer_site(turn, None),
    "plate": lambda turn, _: answer_plate(turn, None), "age": lambda turn, _: answer_age(turn, None),
    "handed_off": _after_hand_off, "callback": _callback, "held": _held, "resume": _resume, "due": answer_due,
    "cause": lambda turn, _: answer_cause(turn, ""), "cleared": answer_cleared, "slip": answer_slip,
    "outside": lambda turn, _: ask_how_left(turn), "kept_off": lambda turn, _: ask_how_left(turn),
}
