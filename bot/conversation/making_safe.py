"""How a machine is left that nobody mends today."""

from __future__ import annotations

from bot.conversation.cautions import for_machine
from bot.conversation.facts import stays_dead
from bot.conversation.turn import Turn


def left_safe(turn: Turn) -> str:
    """What to do with the machine when it is left as it is, or must not have power again."""
    family = turn.pack.family
    dead = family.make_safe_dead if stays_dead(turn.job, turn.pack) else None
    return for_machine(turn, dead or family.make_safe)
