"""'Which one do you mean?': words that fitted more than one open check, and the answer to that."""

from __future__ import annotations

from typing import Final

from bot.conversation.intake import file_heard
from bot.conversation.job import Question
from bot.conversation.questions.asking import put
from bot.conversation.questions.checks import take_answer
from bot.conversation.questions.sharing import meant, share_out
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.readings import tells_reading, with_any_lid
from bot.conversation.told.whose_part import (
    names_a_part,
    only_to_metal,
    quantity_read,
    quantity_told,
    spoken_of,
    words_in,
)
from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.answers.lids import lid_in
from bot.language.answers.open_circuit import tells_continuity, tells_open

EACH = "each"
NONE = "none_of_them"
SIDE: Final = frozenset({"which_check", "doubt_reading"})
"""Questions about a reading that was told, and none of the visit's own: it goes on without their answer."""


def answer_which(turn: Turn, value: str) -> None:
    """The check that was meant, or each of them: it gets the words that were kept."""
    question = turn.job.question
    assert question is not None
    if value == NONE:
        turn.close_question()
        turn.go_on = True
        return
    among = _among(question) if value == EACH else (value.removeprefix("check:"),)
    turn.close_question()
    for key in among:
        said = question.data["said"]
        if not take_answer(turn, key, answer_to(turn, key, said), said):
            put(turn, "check", checks=(key,), asked=2)
        if turn.job.question is not None:
            return


def which_in_words(turn: Turn, question: Question, text: str) -> bool:
    """'The fuse', a part that was not offered, or the answers anew, told apart this time. True if it was one of
    these."""
    among = _among(question)
    if len(among) > 1 and (key := meant(turn, among, text)) is not None and (tells_reading(text) or tells_open(text)):
        turn.close_question()
        return take_answer(turn, key, answer_to(turn, key, text), text)  # 'heater 30 ohms' is no 28
    if _with_the_lid_told(turn, question, text):
        return True
    shared = share_out(turn, among, text)
    if shared.found and not shared.among:
        turn.close_question()
        for heard in shared.found.values():
            file_heard(turn, heard)
        turn.go_on = True
        return True
    key = meant(turn, among, text) or _not_offered(turn, question, text)
    if key is not None:
        answer_which(turn, f"check:{key}")
    return key is not None or _reads_anew(turn, question, text)


def _with_the_lid_told(turn: Turn, question: Question, text: str) -> bool:
    """'With the lid down' of a switch that was read and the lid not told; 'lid up its OL' tells that too, and the first
    is of the lid's other state."""
    among, how = _among(question), lid_in(text)
    lids = with_any_lid(turn, among[0])
    if how is None or set(lids) != set(among) or len(parts_of(text)) > 1:
        return False
    if not (tells_reading(text) or tells_open(text) or tells_continuity(text)):
        answer_which(turn, next(f"check:{key}" for key, state in lids.items() if state == how))
        return True
    turn.close_question()
    for key, state in lids.items():
        said = text if state == how else question.data["said"]
        if turn.job.question is None:
            take_answer(turn, key, answer_to(turn, key, said), said)
    return True


def _not_offered(turn: Turn, question: Question, text: str) -> str | None:
    """'That's the drain pump', 'of the valve coil': the check of the named part that reads what was read."""
    said, words = question.data["said"], words_in(text)
    if tells_reading(text) or tells_open(text) or not (tells_reading(said) or tells_open(said)):
        return None
    told = quantity_told(said)
    ranked = spoken_of(turn, words, lambda check: check.reading is not None and quantity_read(check) == told
                       and bool(words & words_in(check.name)) and not only_to_metal(check))
    return ranked[0][1] if ranked and told is not None else None


def _reads_anew(turn: Turn, question: Question, text: str) -> bool:
    """'30 ohms', and no word of what it was measured at: it takes the place of the reading before it."""
    if not (tells_reading(text) and tells_reading(question.data["said"])) or names_a_part(turn, words_in(text)):
        return False
    if quantity_told(text) != quantity_told(question.data["said"]):
        return False
    turn.place(misses=0)
    put(turn, "which_check", question.values, said=text)
    return True


def _among(question: Question) -> tuple[str, ...]:
    return tuple(v.removeprefix("check:") for v in question.values if v not in {EACH, NONE})
