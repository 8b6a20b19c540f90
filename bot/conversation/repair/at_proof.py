"""What a line at a proof plainly tells, before and after what was learned is asked."""

from __future__ import annotations

from bot.conversation.job import Question
from bot.conversation.questions.asking import put_again
from bot.conversation.repair.by_degrees import proved_by_degrees
from bot.conversation.repair.next_trouble import new_troubles
from bot.conversation.repair.no_proof import no_proof_yet
from bot.conversation.repair.proof import proof_chosen, proof_in_words, runs_as_before, shows_well
from bot.conversation.repair.second_trouble import told_of_second
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import no_better, partly, works_but
from bot.language.meaning import Meaning


def plainly_proved(turn: Turn, question: Question, text: str, meaning: Meaning) -> bool:
    """That it is being tried, how warm it is, how the second trouble goes. True if it was one of these."""
    if no_proof_yet(turn, text):
        turn.place(misses=0)
        put_again(turn, question)
        return True
    if proved_by_degrees(turn, text):
        turn.place(misses=0)
        proof_chosen(turn, "holds")
        return True
    return told_of_second(turn, question, text, meaning)


def trouble_proved(turn: Turn, text: str, meaning: Meaning) -> bool | None:
    """A run that goes as before, or a new trouble beside how it went; None where it tells nothing of that kind."""
    if runs_as_before(turn, text) or (new_troubles(turn, meaning) and (
            works_but(text) or no_better(text) or partly(text) or shows_well(turn, text))):
        turn.place(misses=0)
        return proof_in_words(turn, meaning)
    return None
