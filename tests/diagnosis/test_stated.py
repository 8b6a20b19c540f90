"""How sure a finding is said to be."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.diagnosis.stated import stated

beliefs = st.floats(0, 1)


@given(beliefs, beliefs)
def test_who_believes_more_says_more(one: float, other: float) -> None:
    """And never more than is believed, nor what is no chance."""
    low, high = sorted((one, other))
    assert 0 <= stated(low) <= stated(high) <= 1
    assert stated(high) <= high + 1e-12


@pytest.mark.parametrize(("belief", "said"), [(0.0, 0.0), (0.5, 0.5), (0.84, 0.84), (0.955, 0.9), (1.0, 0.995)])
def test_over_ninety_in_a_hundred_is_said_of_few(belief: float, said: float) -> None:
    """From a belief of .955 on; below .84 belief and words are the same."""
    assert stated(belief) == pytest.approx(said)
