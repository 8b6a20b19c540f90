"""Answers that are read whole, beside the comparisons."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.language.answers.answer import answer
from bot.language.answers.likeness import likeness
from bot.language.answers.read_whole import places, read_whole, together, with_reading
from bot.language.index import Index
from bot.language.reader.encoder import NUMBERS, encoder
from bot.language.reader.pieces import MOST, pieces, pieces_of

FUSE = ("dryer", "thermal_fuse_ohms")


def names(text: str) -> list[str]:
    """The pieces of a text as they are written."""
    rows = {row: piece for piece, row in pieces().items()}
    return [rows[row] for row in pieces_of(text)]


def test_words_are_read_in_pieces_without_accents_and_capitals():
    """Each mark stands alone; what no piece begins is unknown."""
    assert names("Belt's ON, señor") == ["[CLS]", "belt", "'", "s", "on", ",", "sen", "##or", "[SEP]"]
    assert names("") == ["[CLS]", "[SEP]"]
    assert "[UNK]" in names("x" * 50)
    assert len(names("loose " * 200)) == MOST


@given(st.text(max_size=60))
def test_whatever_is_typed_lies_somewhere(text: str):
    """A vector of length 1, and odds of its being none."""
    spot = encoder().read(text)
    assert spot.at.shape == (NUMBERS,) and np.linalg.norm(spot.at) == pytest.approx(1, abs=1e-3)
    assert spot.none.shape == (3,) and np.isfinite(spot.none).all()


def test_what_means_the_same_lies_near():
    """Nearer than what means the opposite in nearly the same words."""
    one, alike, other = (encoder().read(text).at for text in (
        "no continuity across it", "meter stays on OL", "good continuity across it"))
    assert one @ alike > one @ other


@given(st.lists(st.floats(-14, 0), min_size=5, max_size=5), st.lists(st.floats(-14, 0), min_size=5, max_size=5))
def test_both_together_are_chances_again(compared: list[float], read: list[float]):
    """Where both say the same of two results, so do they together."""
    held = places()
    both = together(held.among, held.between, np.array([compared, read], np.float32))
    assert both.shape == (5,) and np.isfinite(both).all()
    same = together(held.among, held.between, np.array([compared, compared], np.float32))
    first, second = compared[:2]
    assert same[0] >= same[1] - 1e-3 if first >= second else same[1] >= same[0] - 1e-3


def test_what_comparison_knows_or_takes_for_something_else_is_left(index: Index):
    """And so is a check that reading has not learned."""
    known, elsewhere = ([0.99, 0.01], [0.0, 0.0, 0.0]), ([0.5, 0.1], [0.0, 0.0, 0.4])
    assert with_reading(index, FUSE, ("closed", "open"), "no beep", known) is known
    assert with_reading(index, FUSE, ("closed", "open"), "no beep", elsewhere) is elsewhere
    assert read_whole(index, FUSE, ("closed", "open", "another"), "no beep") is None
    assert read_whole(index, ("dryer", "hose_squeeze"), ("soft", "hard"), "soft") is None


def test_most_of_our_checks_are_known_to_it(index: Index):
    """Those with other results than when it was learned are not."""
    checks = [(family, key, entry) for family, pack in index.knowledge.packs.items()
              for key, entry in pack.checks.items() if len(entry.results) > 1]
    held = places().starts
    known = [set(held.get((family, key), (0, ()))[1]) == set(entry.results) for family, key, entry in checks]
    assert np.mean(known) > 0.95


@pytest.mark.parametrize(("family", "check", "text", "result"), [
    ("top_load_washer", "belt_grip", "rubber got shiny n it slides when i tug", "dry_slip"),
    ("dishwasher", "float_move", "up and down it goes and i hear the little snap each time", "clicks")])
def test_words_that_nobody_used_before_are_answers(index: Index, family: str, check: str, text: str, result: str):
    """By both together."""
    assert answer(index, family, check, text).result == result


def test_where_nobody_asked_it_is_not_read(index: Index):
    """By comparison alone: reading was learned of answers to the check itself."""
    text = "rubber got shiny n it slides when i tug"
    index.spots.clear()
    likeness(index, "top_load_washer", "belt_grip", text, {}, unasked=True)
    assert text not in index.spots
    likeness(index, "top_load_washer", "belt_grip", text, {})
    assert text in index.spots
