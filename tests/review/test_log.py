"""The log: filters, search with slips, a visit with its trace."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from adapters.demo.fill import Clock, Silent
from adapters.terminal.seats import FIRM
from bot.conversation.firm import Firm
from bot.conversation.release import Release
from bot.review.naming import Names
from bot.review.search import Vocabulary, query_of, search, tokens
from bot.review.talk import talk
from bot.service.opening import opened
from bot.store.review import ReviewStore
from bot.store.review_rows import Filter, Mark
from tests.review.folder import NOON, OPENING, Telling, Told


def jobs(store: ReviewStore, **changes: object) -> set[str]:
    """The visits that a filter finds."""
    return {visit.job for visit in store.visits(replace(Filter(), **changes), 50)}  # type: ignore[arg-type]


def test_filters_find_visits(store: ReviewStore, told: tuple[Path, Told]) -> None:
    """By machine, by tech, by outcome, by hand-off, by day, by who had it, by mark."""
    of = told[1]
    rui = next(person.id for person in store.crew().values() if person.name == "Rui")
    marta = next(person.id for person in store.crew().values() if person.name == "Marta")
    assert jobs(store) >= {of.belt, of.hostile, of.senior}
    assert jobs(store, family="top_load_washer") == {of.belt}
    assert of.hostile not in jobs(store, tech=rui) and of.belt in jobs(store, tech=rui)
    assert jobs(store, outcome="not_fixed") == {of.belt}
    assert of.belt not in jobs(store, outcome="open")
    assert of.senior in jobs(store, handed_off="asked") <= jobs(store, handed_off="any")
    assert jobs(store, seen_by=marta) == {of.senior}
    assert jobs(store, since=NOON + timedelta(days=1)) == set()
    assert jobs(store, mark="good") == set()
    store.set_mark(Mark(of.belt, "", "good", None), NOON)
    assert jobs(store, mark="good") == {of.belt}


def test_a_mark_makes_a_visit_wrong_and_takes_it_back(store: ReviewStore, told: tuple[Path, Told]) -> None:
    """The owner's word counts among what the bot got wrong, until it is taken off."""
    mark = Mark(told[1].belt, "", "wrong", None)
    for _ in range(2):  # the same twice is once
        store.set_mark(mark, NOON)
    assert told[1].belt in jobs(store, wrong=True)
    store.set_mark(mark, NOON, off=True)
    assert told[1].belt not in jobs(store, wrong=True)


def test_pages_of_the_list_join(store: ReviewStore) -> None:
    """Page after page gives every visit once, newest first."""
    whole = [visit.job for visit in store.visits(Filter(), 50)]
    found: list[str] = []
    place: str | None = None
    while page := store.visits(Filter(), 1, place):
        found.append(page[0].job)
        place = page[0].place
    assert found == whole


@pytest.mark.parametrize("typed", ["glazed", "glazd", "glazzed", "GLAZED belt", "galzed", "glaze"])
def test_words_are_found_as_they_are_mistyped(store: ReviewStore, told: tuple[Path, Told], typed: str) -> None:
    """A letter more, less, other or swapped, another case, a beginning."""
    hits = search(store, Vocabulary(), typed, Filter(), 50).hits
    assert any(hit.job == told[1].belt and "\ue000" in hit.snippet for hit in hits)


def test_search_keeps_to_the_filter(store: ReviewStore, told: tuple[Path, Told]) -> None:
    """Hits of other visits stay out."""
    hits = search(store, Vocabulary(), "belt", Filter(jobs=(told[1].belt,)), 50).hits
    assert hits and {hit.job for hit in hits} == {told[1].belt}


async def test_standing_lines_are_no_hits(tmp_path: Path) -> None:
    """Every visit has its closing list: who looks for 'lid locks' finds who wrote it and where it was taken down. What
    the bot asked is found when that is asked for, its safety card and closing list never."""
    clock = Clock(NOON)
    with opened(tmp_path, FIRM, clock=clock, deliveries=[Silent()]) as service:
        at = Telling(service, clock)
        at.sit("junior", "Rui")
        await at.typed("Rui", OPENING, "3", "runs, basket just sits there", "no grip, dry")
        for _ in range(20):
            if (question := at.job("Rui").question) is not None and question.kind == "closing":
                break
            await at.typed("Rui", "1")
    store = ReviewStore(tmp_path)

    def hits(words: str, everything: bool) -> list[str]:
        found = search(store, Vocabulary(), words, Filter(), 50, everything=everything).hits
        return [hit.direction for hit in found]

    for words in ("lid stops", "screw left over", "smoke burning"):
        assert store.any_match(query_of(words.split(), {})), "it was said"
        assert not hits(words, everything=False) and not hits(words, everything=True)
    assert not hits("run spin only", everything=False) and hits("run spin only", everything=True) == ["out"]
    assert hits("glazed", everything=False)[-1] == "in" and "out" in hits("worn drive belt", everything=False)
    store.close()


@given(st.text())
def test_no_text_is_query_syntax(words: str) -> None:
    """Whatever is typed becomes words in quotes, or nothing."""
    found = tokens(words)[:12]
    if found:
        query = query_of(found, {})
        assert query.count('"') == 2 * len(found)


def test_odd_words_are_searched_for(store: ReviewStore) -> None:
    """Query syntax, control characters and long texts find something or nothing, and never fail."""
    for words in ('"', "\x00", 'x" y\n-z', "NEAR(", "belt OR", "*", "plain:belt", "(", "^", "é" * 3000, "a " * 400):
        search(store, Vocabulary(), words, Filter(), 5)


def test_a_visit_shows_what_its_trace_says(store: ReviewStore, told: tuple[Path, Told], release: Release) -> None:
    """The talk in order; what was understood, how belief moved and what was weighed stand beside the first turn."""
    found = talk(store, told[1].belt, Names(release.knowledge), Firm())
    assert found is not None
    first = found.turns[0]
    assert [line.text for line in first.lines if line.kind == "in"] == [OPENING]
    assert any(line.kind == "out" for line in first.lines)
    assert any(words.startswith("no spin") for words in first.understood)
    assert first.moved and first.moved[0].before is None and 0 < first.moved[0].after <= 1
    assert first.options and first.options[0].chosen
    second = next(turn for turn in found.turns[1:] if turn.moved)
    before = {moved.fault: moved.after for moved in first.moved}
    assert any(moved.before == before[moved.fault] for moved in second.moved if moved.fault in before)


def test_edits_and_what_was_taken_back_are_seen(store: ReviewStore, told: tuple[Path, Told]) -> None:
    """The words as they are now, and what stood there at first."""
    edited = [line for line in store.lines(told[1].belt) if line.first is not None]
    assert [(line.first, line.text) for line in edited] == [
        ("the flappy bit is wobblyquux", "the flappy bit is wobblyquux now")]
    gone = [line for line in store.lines(told[1].hostile) if line.taken_back]
    assert [(line.first, line.text) for line in gone] == [("take this back please", "")]
