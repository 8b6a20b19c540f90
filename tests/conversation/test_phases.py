"""The table of phases: legal moves move, illegal ones raise and change nothing, an end is always reachable."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.job import Phase
from bot.conversation.phases import TABLE, IllegalMoveError, Move, diagram, moved

ROOT = Path(__file__).parents[2]


def test_a_visit_goes_from_the_first_message_to_a_closed_job():
    """The straight way: known, settled, part at hand, yes, done, held, ended."""
    phase = Phase.INTAKE
    for move in (Move.KNOWN, Move.SETTLED, Move.PART_AT_HAND, Move.AGREED, Move.DONE, Move.HELD, Move.END):
        phase = moved(phase, move)
    assert phase is Phase.ENDED


def test_an_illegal_move_raises_and_names_both():
    """Nobody repairs what was never found."""
    with pytest.raises(IllegalMoveError, match=r"repair done.*intake"):
        moved(Phase.INTAKE, Move.DONE)


@given(st.lists(st.sampled_from(list(Move)), max_size=30))
def test_an_end_is_reachable_from_wherever_the_moves_lead(moves):
    """Whatever happens, an open visit can still be ended, handed off or stopped for a hazard."""
    phase = Phase.INTAKE
    for move in moves:
        if (phase, move) in TABLE:
            phase = moved(phase, move)
    if phase is not Phase.ENDED:
        assert moved(phase, Move.END) is Phase.ENDED
        assert moved(phase, Move.HAZARD) is Phase.HAZARD
        assert phase is Phase.HANDED_OFF or moved(phase, Move.HAND_OFF) is Phase.HANDED_OFF


def test_the_diagram_in_the_guide_is_the_table():
    """DEVELOPERS.md shows what `python -m bot.conversation.phases` prints."""
    assert diagram() in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
