"""Finding messages by their words, whatever is typed into the search."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.events import Edited, Redacted, Typed
from bot.store.sqlite import SqliteStore
from tests.service.small import NOON


def message(number: int, text: str) -> Typed:
    """A message of Rui's."""
    return Typed(id=f"e{number}", at=NOON, person="rui", conversation="chat", message=f"m{number}", text=text)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> SqliteStore:
    """Three messages."""
    store = SqliteStore(tmp_path_factory.mktemp("search"))
    for number, text in enumerate(("belt looks glazed", "no spin, the belt slips", "el cinturón está gastado")):
        store.accept(message(number, text), NOON)
    return store


def found(store: SqliteStore, words: str) -> list[str]:
    """Ids of the hits."""
    return sorted(hit.message for hit in store.search(words))


def test_words_find_messages(store: SqliteStore) -> None:
    """All words must stand in it; the last may be unfinished; accents and case do not matter."""
    assert found(store, "belt") == ["m0", "m1"]
    assert found(store, "BELT spin") == ["m1"]
    assert found(store, "belt gla") == ["m0"]
    assert found(store, "cinturon") == ["m2"]
    assert found(store, "belt dryer") == []


@pytest.mark.parametrize("words", [
    "", '"', "\x00", 'x" y\n-z', "NEAR(", "belt OR", "*", "plain:belt", "-belt", "(", "^"])
def test_syntax_is_not_read(store: SqliteStore, words: str) -> None:
    """What would be query syntax is taken as words, or as nothing."""
    assert set(found(store, words)) <= {"m0", "m1"}


@given(st.text())
def test_anything_can_be_searched_for(store: SqliteStore, words: str) -> None:
    """No text makes the search fail."""
    store.search(words)


def test_edits_and_redactions_are_followed(tmp_path: Path) -> None:
    """An edited message is found by its new words, one taken back by none."""
    store = SqliteStore(tmp_path)
    store.accept(message(1, "five ohm"), NOON)
    store.accept(Edited(id="e2", at=NOON, person="rui", conversation="chat", target="m1", text="fifty ohm"), NOON)
    assert (found(store, "five"), found(store, "fifty")) == ([], ["m1"])
    store.accept(Redacted(id="e3", at=NOON, person="rui", conversation="chat", target="m1"), NOON)
    assert found(store, "ohm") == []
    store.close()
