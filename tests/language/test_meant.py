"""Where answers lie by what they mean."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.language.answers.known import known, known_of
from bot.language.answers.likeness import own_words
from bot.language.answers.meant import (
    answer_traits,
    meant,
    nearness,
    places_of,
    shares_of,
    spot_of,
    words_of,
)
from bot.language.answers.typed import NO_RESULT, typed_for
from bot.language.index import Index

NOTHING_KNOWN = known_of([], np.zeros((0, 64), dtype=np.int8), [])


@given(st.text(max_size=80))
def test_any_text_lies_somewhere(index: Index, text: str) -> None:
    """A vector of length 1, the same each time, and finite odds of naming nothing."""
    at, none = spot_of(index, meant(), text)
    assert np.linalg.norm(at) == pytest.approx(1.0, abs=1e-5)
    assert np.isfinite(none).all()
    assert len(none) == len(NO_RESULT)
    assert np.array_equal(at, spot_of(index, meant(), text).at)


@given(st.lists(st.floats(-1, 1), min_size=2, max_size=8), st.lists(st.floats(-9, 9), min_size=3, max_size=3))
def test_the_shares_of_all_results_and_of_none_sum_to_one(near: list[float], none: list[float]) -> None:
    """However near an answer lies to any of them; the nearer result has the larger share."""
    named, unnamed = shares_of(meant(), near, np.array(none, dtype=np.float32))
    assert np.exp(named).sum() + np.exp(unnamed).sum() == pytest.approx(1.0, abs=1e-4)
    assert named[int(np.argmax(near))] == pytest.approx(named.max(), abs=1e-4)


def test_what_is_known_lies_where_it_would_be_put(index: Index) -> None:
    """Places are stored; after a change of words in `data/` they are to be learned anew. The packs' own phrases and
    what people typed are there but for what came in since."""
    chance = Random(3)
    spots = [(family, check) for family, pack in index.knowledge.packs.items() for check in pack.checks]
    texts = []
    for family, check in chance.sample(spots, 40):
        entry = index.knowledge.packs[family].checks[check]
        texts += [text for many in typed_for(family, check).values() for text in many[:2]]
        texts += [own_words(entry, name)[0] for name in entry.results]
    places, there = known().find(texts)
    alike = [float(spot_of(index, meant(), text).at @ at)
             for text, at, is_known in zip(texts, places, there, strict=True) if is_known]
    assert len(alike) > 0.95 * len(texts)
    assert np.mean(alike) > 0.99
    stored = known().traits(texts)
    assert [text for text, traits in zip(texts, stored, strict=True)
            if traits is not None and traits != answer_traits(index, text)] == []


def test_a_phrase_that_is_new_is_put_beside_its_likes(index: Index) -> None:
    """A firm's own words need no learning: they are worked out when their check is first answered."""
    held = meant()
    at = spot_of(index, held, "belt is in two pieces").at
    broken = places_of(index, held, NOTHING_KNOWN, ["snapped", "belt is torn through", "broke, lying on the floor"])
    whole = places_of(index, held, NOTHING_KNOWN, ["looks fine", "belt is good", "on and tight"])
    assert nearness(at, broken) > nearness(at, whole)


def test_a_result_that_nothing_is_said_for_is_far(index: Index) -> None:
    """And no trouble."""
    at = spot_of(index, meant(), "snapped").at
    nothing = np.zeros((0, len(at)), dtype=np.float32)
    assert nearness(at, nothing) < nearness(at, at[None, :])


def test_words_and_traits_count_each(index: Index) -> None:
    """With the traits left out an answer lies elsewhere, and so with its words turned round."""
    held = meant()
    text = "seal is torn, not the hose"
    mute = replace(held, rows={})
    assert spot_of(index, held, text).at @ spot_of(index, mute, text).at < 0.999
    turned = "hose is torn, not the seal"
    assert answer_traits(index, text) != answer_traits(index, turned)
    assert words_of(index, text).shape == words_of(index, turned).shape
    assert spot_of(index, mute, text).at @ spot_of(index, mute, turned).at < 0.999


@given(st.lists(st.text(max_size=12), unique=True, max_size=20))
def test_a_known_text_is_found_and_no_other(texts: list[str]) -> None:
    """By a key of its letters; each with its own place and traits."""
    traits = [frozenset(text) for text in texts]
    held = known_of(texts, np.arange(len(texts), dtype=np.int8)[:, None], traits)
    places, there = held.find([*texts, "something nobody typed"])
    assert there.tolist() == [True] * len(texts) + [False]
    assert places[:len(texts), 0] == pytest.approx(np.arange(len(texts)) / 127)
    assert held.traits([*texts, "something nobody typed"]) == [*traits, None]
