"""A reading of which nobody can say from its words what was measured: it is asked."""

from __future__ import annotations

from typing import Final

from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.questions.asking import put
from bot.conversation.questions.checks import take_answer
from bot.conversation.questions.which import NONE
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.of_another import volts_at
from bot.conversation.told.readings import tells_reading
from bot.conversation.told.whose_part import (
    names_a_part,
    names_another,
    only_to_metal,
    quantity_read,
    quantity_told,
    spoken_weights,
    words_in,
)
from bot.conversation.turn import Turn
from bot.diagnosis.advice import telling_apart
from bot.diagnosis.readings import plausible
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.measured import ELECTRICAL
from bot.language.answers.open_circuit import tells_open
from bot.language.answers.to_ground import reads_to_ground

NEARLY: Final = 2
"""By how little less a check may be spoken of, to be meant as well: two words more in its name, one in what it asks."""
MOST_ALIKE: Final = 3
"""Parts that a reading is offered to, where its words go with each alike."""
BARE: Final = 4
"""Words of a line that is a reading and nothing else."""


def asks_whose_reading(turn: Turn, text: str) -> bool:
    """'Element 28 ohm' of an oven with two, '12 ohms' where no ohms were asked for: what was measured? True if it was
    asked."""
    if turn.job.family not in turn.context.release.knowledge.packs or reads_to_ground(text) is not None:
        return False
    alike = _named_alike(turn, text)
    among = alike or _of_no_part(turn, text)
    if not among:
        return False
    turn.place(misses=0)
    in_reach = [key for key in alike if turn.pack.checks[key].access and set(
        turn.pack.checks[key].access) <= set(turn.job.position.machine.covers)]
    if len(in_reach) == 1 and take_answer(turn, in_reach[0], answer_to(turn, in_reach[0], text), text):
        turn.go_on = True  # of two fans the one behind the open cover
        return True
    turn.close_question(closed="passed")
    put(turn, "which_check", (*(f"check:{key}" for key in among), *([] if alike else [NONE])), said=text)
    return True


def _named_alike(turn: Turn, text: str) -> list[str]:
    """The checks of the parts that the words name alike."""
    live = volts_at(text)  # 'got 120 at the fan': of two fans which
    if not (tells_reading(text) or tells_open(text) or live):
        return []
    words, told = words_in(text), "ohm" if tells_open(text) else "volt" if live else quantity_told(text)
    spoken = spoken_weights(turn, words, lambda check: (check.reading is not None or live) and (
        quantity_read(check) == told) and bool(words & words_in(check.name)) and not only_to_metal(check))
    most = max(spoken.values(), default=0)
    alike = [key for key, weight in spoken.items() if weight >= most - NEARLY > -NEARLY]
    if not 1 < len(alike) <= MOST_ALIKE or any(names_another(turn, words, key) for key in alike):
        return []
    return alike


def _of_no_part(turn: Turn, text: str) -> list[str]:
    """The checks that a bare figure may be of, those first that would tell most now."""
    told, question = quantity_told(text), turn.job.question
    if told not in ELECTRICAL or question is None or question.kind != "check" or len(text.split()) > BARE:
        return []
    if names_a_part(turn, words_in(text)):
        return []
    found, evidence = [], evidence_of(turn.job)
    telling = telling_apart(turn.model, evidence, situation_of(turn.job, turn.context))
    others = [key for key, check in turn.pack.checks.items() if key not in telling and holds_as_told(check, evidence)]
    for key in (*telling, *others):
        check = turn.pack.checks[key]
        if check.reading is None or quantity_read(check) != told or only_to_metal(check):
            continue
        read = answer_to(turn, key, text).heard
        if read is not None and read.value is not None and not read.unit_mismatch and plausible(check, read.value):
            found.append(key)
    return found[:MOST_ALIKE]
