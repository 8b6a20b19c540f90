"""Gas that a check has shown is the same danger as gas that was named: out first, and nothing is asked for."""

from __future__ import annotations

from bot.conversation.safety.danger import OF_GAS
from bot.conversation.safety.hazards import raise_hazard
from bot.conversation.turn import Turn


def out_of_gas(turn: Turn) -> bool:
    """Whether a result of this turn is a complaint of gas; then everybody is told to get out."""
    pack = turn.context.release.knowledge.packs.get(turn.job.family or "")
    if pack is None:
        return False
    new = [pack.checks[f.subject].results.get(f.value) for f in turn.job.standing("result")
           if f.turn == turn.key and f.subject in pack.checks]
    shown = {pack.complaints[c].hazard for result in new if result is not None and result.unsafe
             for c in result.complaints if c in pack.complaints}
    hazard = next((str(h) for h in shown if h in OF_GAS), None)
    if hazard is None:
        return False
    raise_hazard(turn, hazard)
    return True
