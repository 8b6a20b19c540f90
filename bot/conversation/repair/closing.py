"""Closing a visit: everything put back, the address for next time, the outcome."""

from __future__ import annotations

from bot.conversation.job import Outcome
from bot.conversation.questions.asking import put
from bot.conversation.repair.leaving import end
from bot.conversation.safety.cautions import for_machine
from bot.conversation.turn import Turn


def start_closing(turn: Turn, outcome: Outcome) -> None:
    """The family's closing list, one message. What another trade has to mend is not run, and nothing was put in."""
    if outcome is Outcome.OTHER_TRADE:
        turn.note("closing.other_trade")
    else:
        turn.note("closing.list")
        for item in filter(None, (for_machine(turn, item) for item in turn.pack.family.closing)):
            turn.note("closing.item", item=item)
    put(turn, "closing", ("all_done", "not_yet"), outcome=outcome)


def answer_closing(turn: Turn, value: str) -> None:
    """All done: ask the address if it is not known, then end."""
    question = turn.job.question
    outcome = Outcome(question.data["outcome"]) if question else Outcome.FIXED
    turn.close_question()
    if value == "not_yet":
        turn.note("closing.take_your_time")
        put(turn, "closing", ("all_done", "not_yet"), asked=2, outcome=outcome)
        return
    if not turn.job.standing("site"):
        put(turn, "site", ("skip",), outcome=outcome)
        return
    end(turn, outcome)


def answer_site(turn: Turn, text: str | None) -> None:
    """The address or work order, as typed, or skipped; then the end."""
    question = turn.job.question
    outcome = Outcome(question.data["outcome"]) if question else Outcome.FIXED
    turn.close_question()
    if text:
        turn.fact("site", "typed", " ".join(text.split())[:200])
    end(turn, outcome)
