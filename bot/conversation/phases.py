"""The moves of a visit, as one table. An illegal move raises and leaves the job as it was.

A visit goes intake -> checks -> finding -> consent -> repair -> proof -> closing -> ended. Three moves are possible
from anywhere that is still open: a hazard was named, a senior is brought in, the visit ends with another outcome.
`python -m bot.conversation.phases` prints the diagram that stands in DEVELOPERS.md.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from bot.conversation.job import Phase


class Move(StrEnum):
    """What moves a visit on."""

    KNOWN = "machine and complaint known"
    SETTLED = "a repair is worth more than another check"
    PART_AT_HAND = "part at hand"
    PART_TO_ORDER = "part to order"
    NOTHING_TO_PAY = "nothing to pay for"
    ORDERED = "part on order"
    AGREED = "customer says yes"
    ARRIVED = "part is here"
    DONE = "repair done"
    HELD = "proved"
    FAILED = "same complaint"
    DOUBTED = "tech not convinced, or new evidence"
    HAZARD = "hazard named"
    CLEARED = "hazard cleared"
    HAND_OFF = "a senior is needed"
    GIVEN_BACK = "senior gives it back"
    END = "outcome given"


class IllegalMoveError(ValueError):
    """A move that the table does not have; the job stays as it was."""


_OPEN: Final = tuple(phase for phase in Phase if phase is not Phase.ENDED)

TABLE: Final[dict[tuple[Phase, Move], Phase]] = {
    (Phase.INTAKE, Move.KNOWN): Phase.CHECKS,
    (Phase.CHECKS, Move.SETTLED): Phase.FINDING,
    (Phase.FINDING, Move.PART_AT_HAND): Phase.CONSENT,
    (Phase.FINDING, Move.PART_TO_ORDER): Phase.CONSENT,
    (Phase.FINDING, Move.NOTHING_TO_PAY): Phase.REPAIR,
    (Phase.FINDING, Move.DOUBTED): Phase.CHECKS,
    (Phase.CONSENT, Move.AGREED): Phase.REPAIR,
    (Phase.CONSENT, Move.ORDERED): Phase.WAITING,
    (Phase.CONSENT, Move.DOUBTED): Phase.CHECKS,
    (Phase.WAITING, Move.ARRIVED): Phase.REPAIR,
    (Phase.WAITING, Move.PART_AT_HAND): Phase.CONSENT,
    (Phase.WAITING, Move.DOUBTED): Phase.CHECKS,
    (Phase.REPAIR, Move.DONE): Phase.PROOF,
    (Phase.REPAIR, Move.ORDERED): Phase.WAITING,
    (Phase.REPAIR, Move.DOUBTED): Phase.CHECKS,
    (Phase.PROOF, Move.HELD): Phase.CLOSING,
    (Phase.PROOF, Move.FAILED): Phase.CHECKS,
    (Phase.CLOSING, Move.FAILED): Phase.CHECKS,
    (Phase.HAZARD, Move.CLEARED): Phase.INTAKE,
    (Phase.HANDED_OFF, Move.GIVEN_BACK): Phase.INTAKE,
    **{(phase, Move.HAZARD): Phase.HAZARD for phase in _OPEN},
    **{(phase, Move.HAND_OFF): Phase.HANDED_OFF for phase in _OPEN if phase is not Phase.HANDED_OFF},
    **{(phase, Move.END): Phase.ENDED for phase in _OPEN},
}


def moved(phase: Phase, move: Move) -> Phase:
    """The phase after `move`. Raises IllegalMoveError where the table has none."""
    try:
        return TABLE[phase, move]
    except KeyError:
        raise IllegalMoveError(f"no move '{move}' from {phase}") from None


def diagram() -> str:
    """The table as a Mermaid state diagram; moves possible from everywhere stand once."""
    everywhere = {move for move in Move if sum(m is move for _, m in TABLE) >= len(_OPEN) - 1}
    lines = ["stateDiagram-v2", "    [*] --> intake"]
    lines += [f"    {a} --> {b}: {move}" for (a, move), b in TABLE.items() if move not in everywhere]
    lines += [f"    anywhere --> {b}: {move}" for move, b in
              {move: b for (_, move), b in TABLE.items() if move in everywhere}.items()]
    return "\n".join([*lines, "    ended --> [*]"])


if __name__ == "__main__":
    print(diagram())
