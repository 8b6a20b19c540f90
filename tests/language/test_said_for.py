"""An answer compared with all that is said for the results of a check, at once."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.language.answers.likeness import choices_of, learned, own_words
from bot.language.answers.meant import answer_traits
from bot.language.answers.said_for import NEAREST, SHRUNK, alike
from bot.language.answers.typed import typed_for
from bot.language.index import Index
from bot.language.words.forms import stem

FAMILY, CHECK = "dryer", "lint_screen_look"
WORDS = st.lists(st.sampled_from([
    "lint", "screen", "packed", "clear", "torn", "missing", "water", "beads", "on", "it", "clean", "not", "mesh",
    "quux"]),
    min_size=1, max_size=8).map(" ".join)


def one_by_one(index: Index, result: str, text: str) -> list[float]:
    """The same by sets of words, a line at a time."""
    weights, traits = learned().weights, answer_traits(index, text)
    entry = index.knowledge.packs[FAMILY].checks[CHECK]
    said = [*own_words(entry, result), *typed_for(FAMILY, CHECK).get(result, ())]
    lines = [answer_traits(index, line) for line in said]
    own = {trait: weights.of(trait) for trait in traits}
    whole, length = sum(own.values()), math.sqrt(sum(weight**2 for weight in own.values()))
    counts = {trait: sum(trait in line for line in lines) for trait in traits}
    cover = sum(own[trait] for trait in traits if counts[trait]) / whole
    overall = {trait: math.exp(-own[trait]) for trait in traits}
    ratio = sum(math.log((counts[trait] + SHRUNK * overall[trait]) / (len(lines) + SHRUNK) / overall[trait])
                for trait in traits) / math.sqrt(1 + len(traits))
    both = [sum(own[trait] for trait in line & traits) for line in lines]
    common = max(mine / (1 + math.sqrt(sum(map(weights.of, line)) * whole))
                 for mine, line in zip(both, lines, strict=True))
    cosines = sorted((sum(own[trait]**2 for trait in line & traits) / (
        length * math.sqrt(sum(weights.of(trait)**2 for trait in line))) for line in lines), reverse=True)[:NEAREST]
    return [cover, ratio, common, cosines[0], sum(cosines) / len(cosines)]


@settings(max_examples=40, deadline=None)
@given(WORDS)
def test_it_comes_to_the_same_as_line_by_line(index: Index, text: str) -> None:
    """Shares, ratios and cosines, for words that come up and for one that nobody ever said."""
    held = choices_of(index, FAMILY, CHECK, learned())
    table = alike(held, learned().weights, answer_traits(index, text))
    for row, result in zip(table, held.results, strict=True):
        assert list(row) == pytest.approx(one_by_one(index, result, text), abs=1e-9)


def test_who_says_what(index: Index) -> None:
    """Only the results whose lines hold a word say it."""
    held = choices_of(index, FAMILY, CHECK, learned())
    packed = f"'{stem('packed')}"
    assert held.says("packed", packed)
    assert not held.says("torn", packed)
    assert not held.says("packed", "'quux")
