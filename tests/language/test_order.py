"""The network that sees words in their order: what it is given, and that it was kept whole."""

from __future__ import annotations

import numpy as np
import pytest

from bot.language.index import Index
from bot.language.learned.across import FARTHEST, HEADS, MOST, evened
from bot.language.learned.order import LINE, OTHER, REACH, placed
from bot.language.learned.weights import COMMON
from bot.language.parsed import parse


def test_each_word_has_its_concept_and_how_it_is_meant(index: Index) -> None:
    """'It spins but wont drain': the one is stated, the other denied."""
    said = {it.word: it for it in placed(parse(index, "it spins but wont drain"))}
    assert (said["spin"].concept, "stated" in said["spin"].marks) == ("spin", True)
    assert (said["drain"].concept, "denied" in said["drain"].marks) == ("drain", True)


def test_lines_and_long_stories_have_their_place(index: Index) -> None:
    """The end of a line is a mark of its own; of a long story the beginning is read."""
    assert LINE in [it.word for it in placed(parse(index, "wont spin\nleaks too"))]
    assert len(placed(parse(index, "it spins and spins " * 100))) == MOST


def test_what_is_known_has_a_row_each(index: Index) -> None:
    """Kept in a file line by line: nothing known may be lost, doubled or moved."""
    order = index.learned[COMMON].order
    for known, layer in ((order.words, order.word), (order.concepts, order.concept), (order.marks, order.mark)):
        assert list(known.values()) == list(range(len(layer.matrix)))
    assert order.words[OTHER] == 0


def test_the_order_of_words_changes_what_is_heard(index: Index) -> None:
    """The same words in another order are another message."""
    order = index.learned[COMMON].order
    one, two = (order.read(placed(parse(index, text)))
                for text in ("drains fine but wont spin", "spin fine but wont drains"))
    assert abs(one - two).max() > 0.1


@pytest.mark.parametrize("text", ["spin", "wont drain or spin at all", "it hums, then stops and the lid stays locked"])
def test_each_word_is_read_with_its_neighbours_and_what_stands_out(index: Index, text: str) -> None:
    """However many words there are: the same as word by word, nothing standing beyond the first and the last; then what
    each takes from all the others, and what stands out in all of them, is added to each."""
    order = index.learned[COMMON].order
    said = placed(parse(index, text))
    units = [order.word.rows(np.array([order.words.get(it.word, 0)]))[0] for it in said]
    for at, it in enumerate(said):
        marks = [order.marks[mark] for mark in it.marks if mark in order.marks]
        units[at] = units[at] + sum(order.mark.rows(np.array([mark]))[0] for mark in marks)
        if it.concept in order.concepts:
            units[at] = units[at] + order.concept.rows(np.array([order.concepts[it.concept]]))[0]
    for step, layer in enumerate(order.beside, 1):
        nothing = np.zeros_like(units[0])
        beside = [[at + step * away for away in range(-REACH, REACH + 1)] for at in range(len(units))]
        seen = [np.concatenate([units[n] if 0 <= n < len(units) else nothing for n in near]) for near in beside]
        units = [its + np.maximum(them @ layer.factors + layer.base, 0) for its, them in zip(units, seen, strict=True)]
    together = np.array(units, dtype=np.float32)
    order.across.look(together, len(together))
    most = np.maximum(np.max(together, axis=0), 0) @ order.whole.factors + order.whole.base
    assert order.read(said) == pytest.approx(together + most, abs=1e-3)


@pytest.mark.parametrize("size", [1, 2, 30])
def test_a_word_takes_from_each_other_its_share(index: Index, size: int) -> None:
    """Word by word and head by head: shares of attention that make up one, by what is asked and how far apart."""
    across = index.learned[COMMON].order.across
    units = np.random.default_rng(5).normal(size=(size, len(across.gives.base))).astype(np.float32)
    expected = units.copy()
    wide = across.asks.factors.shape[1] // (3 * HEADS)
    asked = (evened(units) @ across.asks.factors + across.asks.base).reshape(size, 3, HEADS, wide)
    for word in range(size):
        taken = []
        for head in range(HEADS):
            heed = np.array([asked[word, 0, head] @ asked[other, 1, head] / np.sqrt(wide)
                             + across.apart[head, np.clip(other - word, -FARTHEST, FARTHEST) + FARTHEST]
                             for other in range(size)])
            share = np.exp(heed - heed.max())
            taken.append(share / share.sum() @ asked[:, 2, head])
        expected[word] += np.concatenate(taken) @ across.gives.factors + across.gives.base
    expected += np.maximum(evened(expected) @ across.inner.factors + across.inner.base, 0) @ across.outer.factors
    expected += across.outer.base
    across.look(units, size)
    assert units == pytest.approx(expected, abs=1e-3)
