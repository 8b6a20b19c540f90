"""A message that was not understood: the question again, worded differently, and at last a person."""

from __future__ import annotations

from typing import Final

from bot.conversation.events import PhotoSent, Typed
from bot.conversation.facts import not_to_run
from bot.conversation.job import Phase
from bot.conversation.questions.asking import put, put_again
from bot.conversation.questions.photos import again
from bot.conversation.questions.which import SIDE
from bot.conversation.repair.handing import hand_off
from bot.conversation.repair.stands import says_nothing_of_it, takes_status
from bot.conversation.steering.asked_back import asked_back, questions_in
from bot.conversation.steering.not_that_trouble import denies_trouble
from bot.conversation.told.asked_with_it import takes_asked_with_it
from bot.conversation.told.at_finding import tells_cause, tells_what_it_showed
from bot.conversation.told.kind_corrected import names_it_again
from bot.conversation.told.not_run import go_on_without_run
from bot.conversation.told.short_of_sure import takes_likeliest
from bot.conversation.told.suspected import follow_suspicion
from bot.conversation.told.told_you import finds_what_was_told
from bot.conversation.told.unasked import told_before
from bot.conversation.told.whose_reading import asks_whose_reading
from bot.conversation.turn import Turn
from bot.language.answers.beside_it import only_one_place
from bot.language.meaning import Meaning
from bot.language.status.status import LIKELY

MISSES: Final = 3
"""Messages in a row that were not understood before a person is brought in."""


def missed(turn: Turn, text: str, meaning: Meaning) -> None:
    """Not understood: a word on it and the question again; at the third time in a row a person."""
    if meaning.small_talk in {"greeting", "thanks"}:
        turn.note(f"small.{meaning.small_talk}")
        again(turn)
        return
    asked = isinstance(turn.event, Typed) and questions_in(turn, turn.event.text) is not None  # that has its answer
    if asked or (isinstance(turn.event, PhotoSent) and turn.job.question is not None):
        again(turn)
        return
    if takes_asked_with_it(turn, text) or _which_burner(turn, text):
        return
    if (asks_whose_reading(turn, text) or tells_what_it_showed(turn, text) or follow_suspicion(turn, text)
            or takes_likeliest(turn, text) or go_on_without_run(turn) or tells_cause(turn, text)
            or takes_status(turn, turn.job.question, text, meaning, least=LIKELY)):
        return
    if finds_what_was_told(turn, turn.event.text if isinstance(turn.event, Typed) else text):
        return
    if names_it_again(turn, text) or denies_trouble(turn, text, meaning):
        return
    kept = "echo.known" if told_before(turn, text) else "told.beside_it" if says_nothing_of_it(
        turn.job.question, text) else None
    if kept is not None:
        turn.note(kept)
        again(turn)
        return
    misses = turn.job.position.misses + 1
    turn.place(misses=misses)
    if misses < MISSES and asked_back(turn, text):
        return
    turn.record("not_followed", misses=misses)
    if misses > 1 and turn.job.question is not None and turn.job.question.kind in SIDE:
        turn.place(misses=0)
        turn.close_question(closed="passed")
        turn.note("check.unsure")
        turn.go_on = True
        return
    if turn.job.phase in {Phase.HANDED_OFF, Phase.ENDED, Phase.HAZARD}:
        turn.note("handoff.kept" if turn.job.phase is Phase.HANDED_OFF else "miss.first")
        again(turn)
    elif misses >= MISSES:
        turn.place(misses=0)
        hand_off(turn, "not_understood", None)
    else:
        _ask_differently(turn, meaning, misses)


def _which_burner(turn: Turn, text: str) -> bool:
    """Nod at 'its the rear left one' where nothing hangs on the place. True if it was that."""
    if turn.job.question is None or not only_one_place(text):
        return False
    turn.place(misses=0)
    turn.note("told.that_one")
    again(turn)
    return True


def _ask_differently(turn: Turn, meaning: Meaning, misses: int) -> None:
    if misses > 1:
        turn.note("miss.second")
    else:
        turn.note("small.other" if meaning.small_talk == "other" and turn.job.question is None else "miss.first")
    question = turn.job.question
    if question is not None and question.kind == "check" and len(question.checks) > 1:
        put(turn, "check", checks=question.checks[:1], asked=2)
    elif question is not None and question.kind == "check" and not_to_run(turn.job, turn.pack):
        put(turn, "check", checks=question.checks)  # the second wording may want it run once more
    elif question is not None:
        put_again(turn, question)
    else:
        turn.go_on = True
