"""What of a senior's orders has to wait while there is danger at the job, or is not the junior's to do after it."""

from __future__ import annotations

from bot.conversation.context import Context
from bot.conversation.effects import Text
from bot.conversation.job import Job, Phase
from bot.conversation.phases import Move
from bot.conversation.safety.clearance import clearance_in, file_cleared
from bot.conversation.safety.danger import dangers, nobody_goes_in, not_safe_yet, takes_gas_signoff
from bot.conversation.turn import Turn


def comes_first(job: Job, context: Context) -> Text | None:
    """One sentence to the senior on what has to come before the junior goes on; None if nothing has to."""
    name = context.people[job.tech].name
    if (hazard := nobody_goes_in(job)) is not None:
        return Text(f"senior.not_cleared.{hazard}")
    if not_safe_yet(job):
        told = next(reversed(dangers(job)), "") or (job.question.data.get("hazard", "") if job.question else "")
        return Text("senior.not_safe_yet", {"name": name, "hazard": Text(f"hazard.name.{told or 'fire'}")})
    return Text("senior.no_gas_signoff", {"name": name}) if takes_gas_signoff(job, context) else None


def take_clearance(turn: Turn, text: str) -> bool:
    """Whether a senior's words say that those in charge cleared the place; it stands in the log then."""
    if nobody_goes_in(turn.job) is None or clearance_in(text, asked=False) != "cleared":
        return False
    turn.close_question(closed="passed")
    file_cleared(turn)
    if turn.job.phase is Phase.HAZARD:
        turn.move(Move.HAND_OFF)
    return True
