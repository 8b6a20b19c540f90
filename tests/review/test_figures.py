"""Figures: shares with honest intervals, what a visit counts as, groups of likeness, the daily lists."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.release import Release
from bot.review.daily import morning, weekly
from bot.review.figures import doubt, figures, reliability, shares_of
from bot.review.groups import groups
from bot.review.intervals import Middle, Share
from bot.review.naming import Names
from bot.store.review import ReviewStore
from bot.store.review_rows import Unheard, VisitRow
from tests.review.folder import NOON, Told

FIXED = VisitRow("1", "rui", "dryer", NOON, NOON, "fixed", "a", 0.9, NOON, "a", "r", None, 0, False, False, None, None,
                 None, 0, False, False)


@given(st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_an_interval_holds_its_share_and_narrows(pair: tuple[int, int]) -> None:
    """Within 0 and 1, around the share; ten times as many visits of the same share make it narrower."""
    share = Share(*pair)
    low, high = share.interval
    assert 0 <= low <= (share.value or 0) + 1e-12 and (share.value or 0) - 1e-12 <= high <= 1
    more = Share(10 * pair[0], 10 * pair[1]).interval
    assert more[1] - more[0] < high - low


@pytest.mark.parametrize(("count", "total", "low", "high"), [(0, 10, 0.0, 0.2775), (5, 10, 0.2366, 0.7634),
                                                             (9, 10, 0.5958, 0.9821), (1, 1, 0.2065, 1.0)])
def test_intervals_are_those_of_the_books(count: int, total: int, low: float, high: float) -> None:
    """Wilson's 95 % intervals of a few shares, as printed in tables."""
    assert Share(count, total).interval == (pytest.approx(low, abs=1e-4), pytest.approx(high, abs=1e-4))


def test_a_median_of_few_has_no_interval() -> None:
    """Five values say too little; of a hundred the interval lies around the median."""
    assert Middle((1.0, 2.0, 3.0)).interval is None
    hundred = Middle(tuple(float(n) for n in range(100)))
    assert hundred.value == 49.5 and hundred.interval is not None
    assert 38 <= hundred.interval[0] <= 42 and 57 <= hundred.interval[1] <= 61


def test_what_counts_as_fixed_on_the_first_visit() -> None:
    """Not a visit that waited for a part, nor one that came back."""
    visits = [FIXED, replace(FIXED, job="2", ordered=True), replace(FIXED, job="3", came_back=True),
              replace(FIXED, job="4", outcome="declined"), replace(FIXED, job="5", ended=None, outcome=None)]
    first = next(figure for figure in shares_of(visits) if figure.key == "first_visit")
    assert (first.hits, first.share.total) == (("1",), 4)


def test_only_what_is_known_counts_for_reliability() -> None:
    """A finding that was never put to the test is neither right nor wrong."""
    visits = [FIXED, replace(FIXED, job="2", proved=None), replace(FIXED, job="3", proved="b", failed=1, wrong=True)]
    (only,) = reliability(visits)
    assert (only.share.count, only.share.total, only.jobs) == (1, 2, ("1", "3"))


def test_doubt_is_counted_in_bits() -> None:
    """Two faults alike are one bit, a certain one is none; what is not listed is one more."""
    assert doubt([("a", 0.5), ("b", 0.5)]) == pytest.approx(1.0)
    assert doubt([("a", 1.0)]) == pytest.approx(0.0)
    assert doubt([("a", 0.5)]) == pytest.approx(1.0)


def test_figures_of_a_folder_name_their_visits(store: ReviewStore, told: tuple[Path, Told], release: Release) -> None:
    """The hand-off is counted with its reason, by machine and by tech; another period has nothing."""
    names = Names(release.knowledge)
    found = figures(store, names, None, None)
    assert dict(found.reasons)["asked"] == (told[1].senior,)
    assert sum(figs[0].share.total for _, figs in found.by_family) == found.shares[0].share.total
    assert not figures(store, names, NOON + timedelta(days=1), None).visits


def test_alike_messages_stand_together() -> None:
    """Word order and small slips do not part them; another machine and other words do."""
    texts = [("dryer", "the flappy bit is floppy"), ("dryer", "flappy bit is floppy the"), ("dryer", "traffic was bad"),
             ("dryer", "teh flappy bit is flopy"), ("range", "the flappy bit is floppy")]
    found = groups([Unheard(str(n), "j", family, "rui", NOON, text) for n, (family, text) in enumerate(texts)])
    assert sorted(len(group.messages) for group in found) == [1, 1, 3]
    assert found[0].family == "dryer"


def test_the_morning_list_says_who_waits(store: ReviewStore, release: Release) -> None:
    """What is with a senior, what was left; a senior's list has only theirs; after weeks it is quiet."""
    names = Names(release.knowledge)
    text = morning(store, names, NOON + timedelta(hours=20))
    assert text is not None
    assert "With a senior: 1" in text and "Left not fixed: 1" in text
    marta = next(person.id for person in store.crew().values() if person.name == "Marta")
    own = morning(store, names, NOON + timedelta(hours=20), seen_by=marta)
    assert own is not None and "With a senior: 1" in own and "Left not fixed" not in own
    later = morning(store, names, NOON + timedelta(days=40))
    assert later is None or "Left not fixed" not in later


def test_the_week_is_five_lines(store: ReviewStore, release: Release) -> None:
    """Five lines for a week with visits, one for a week without."""
    names = Names(release.knowledge)
    assert len(weekly(store, names, NOON + timedelta(days=1)).splitlines()) == 5
    assert len(weekly(store, names, NOON + timedelta(days=30)).splitlines()) == 1
