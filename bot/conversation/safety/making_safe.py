"""How a machine is left that nobody mends today."""

from __future__ import annotations

from bot.conversation.facts import stays_dead
from bot.conversation.safety.cautions import for_machine
from bot.conversation.turn import Turn


def covers_first(turn: Turn) -> None:
    """A machine that is left with something off is put together before anything else is done with it."""
    machine = turn.job.position.machine
    if machine.covers and any(turn.pack.covers[cover].power == "off" for cover in machine.covers):
        turn.note("leave.covers_first")
    elif machine.maybe_open:
        turn.note("leave.if_open")


def left_safe(turn: Turn) -> str:
    """What to do with the machine when it is left as it is, or must not have power again."""
    family = turn.pack.family
    dead = family.make_safe_dead if stays_dead(turn.job, turn.pack) else None
    return for_machine(turn, dead or family.make_safe)
