"""A line at an open check that is on another part: metered, condemned, or seen."""

from __future__ import annotations

from bot.conversation.job import Question
from bot.conversation.questions.checks import CLEAR
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.short_of_sure import takes_plainly_another
from bot.conversation.told.suspected import follow_suspicion, says_bad
from bot.conversation.told.unasked import take_unasked
from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.answers.measured import read_live
from bot.language.answers.open_circuit import tells_continuity, tells_open


def without_named_parts(turn: Turn, question: Question, text: str) -> str:
    """'Hums, hose not kinked' where the pump is listened to: a part of the line that plainly tells of another thing is
    filed there. The parts that are left, where one of them clearly answers what is asked; else the text as it is."""
    parts = parts_of(text)
    own = [part for part in parts if _answers(turn, question, part)]
    if not 0 < len(own) < len(parts):
        return text
    left = [part for part in parts if part in own or not takes_plainly_another(turn, question, part)]
    return text if len(left) == len(parts) else ", ".join(left)


def _answers(turn: Turn, question: Question, text: str) -> bool:
    """Whether words clearly answer one of the open checks."""
    return any((heard := answer_to(turn, key, text)).result is not None and heard.p >= CLEAR for key in question.checks)


def on_a_named_part(turn: Turn, question: Question, text: str) -> bool:
    """'The defrost heater is open', 'the compressor is shot' where frost is asked: a verdict on a part comes before the
    question which of the answers it may be. True if it was followed."""
    if _answers(turn, question, text):
        return False
    return ((tells_open(text) and take_unasked(turn, text)) or (says_bad(text) and follow_suspicion(turn, text))
            or takes_plainly_another(turn, question, text))


def metered_elsewhere(turn: Turn, question: Question, text: str) -> bool:
    """'Cut off is OL', 'valve gets 120' where something is asked that no meter shows: filed on its own check. True
    if it was."""
    return ((tells_open(text) or tells_continuity(text) or read_live(text))
            and not any("meter" in turn.pack.checks[key].tools for key in question.checks) and take_unasked(turn, text))
