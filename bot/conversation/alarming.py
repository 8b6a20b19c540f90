"""What must not get power again, said in passing while something else is asked: filed at once, with its instruction."""

from __future__ import annotations

from typing import Final

from bot.conversation.heat_unasked import UNASKED
from bot.conversation.intake import file_result, stands_told
from bot.conversation.turn import Turn
from bot.conversation.worded import answer_to
from bot.language.about import parts_of
from bot.language.unasked_heat import heats_unasked, on_air_too
from bot.language.unsafe_seen import burnt_part, stays_on, unsafe_seen

STAYS_ON: Final = "wont_turn_off"
"""The complaint of a range that heats with its knob off."""


def take_alarming(turn: Turn, text: str) -> str | None:
    """File what words say of a burnt plug, a bare cord, what heats unasked. What else they say, '' where that was
    all; None where they say nothing of the kind."""
    if turn.job.family not in turn.context.release.knowledge.packs:
        return None
    question = turn.job.question
    asked = question.checks if question is not None else ()
    parts = parts_of(text)
    told = [part for part in parts if _take(turn, part, asked)]
    return ", ".join(part for part in parts if part not in told) if told else None


def _take(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    checks = turn.pack.checks
    for check, result in unsafe_seen(part, turn.job.family):
        if check in asked:
            return False
        if check in checks and result in checks[check].results:
            file_result(turn, check, result)
            return True
    too_hot = any(f.subject == "too_hot" for f in turn.job.standing("complaint"))
    if UNASKED in turn.pack.complaints and (heats_unasked(part) or (too_hot and on_air_too(part))):
        return stands_told(turn, UNASKED)
    if STAYS_ON in turn.pack.complaints and stays_on(part) and "off_check" not in asked:
        return stands_told(turn, STAYS_ON)
    return _burnt(turn, part, asked)


def _burnt(turn: Turn, part: str, asked: tuple[str, ...]) -> bool:
    """A burnt wire or terminal that no check of the family asks for: made new before anything gets power."""
    if not burnt_part(part) or any(answer_to(turn, key, part).result is not None for key in asked):
        return False
    turn.machine(stays_dead=True)
    turn.note("burnt.noted")
    return True
