"""What stands on the page of messages that were not understood."""

from __future__ import annotations

from pathlib import Path

from adapters.demo.fill import Clock, Silent
from adapters.terminal.seats import FIRM
from bot.conversation.job import Phase
from bot.review.groups import groups
from bot.service.opening import opened
from bot.store.review import ReviewStore
from bot.store.review_rows import Unheard
from tests.review.folder import NOON, OPENING, Telling

LOST = ("the flappy bit is floppy", "that doofer is all wonky", "it does the thing again")


async def test_only_what_was_asked_about_and_not_followed_is_listed(tmp_path: Path) -> None:
    """Words under an open question are listed; a number and words that were kept for the senior are not."""
    clock = Clock(NOON)
    with opened(tmp_path, FIRM, clock=clock, deliveries=[Silent()]) as service:
        at = Telling(service, clock)
        for role, name in (("junior", "Rui"), ("junior", "Dana"), ("senior", "Marta")):
            at.sit(role, name)
        await at.typed("Rui", OPENING, "3", LOST[0])
        await at.typed("Dana", "dishwasher does not drain", "senior", "47", LOST[1])
    store = ReviewStore(tmp_path)
    recorded = [remark for visit in (at.job("Rui").id, at.job("Dana").id) for remark in store.remarks(visit)
                if remark.what == "not_followed"]
    assert [each.text for each in store.unheard(50)] == [LOST[0]] and len(recorded) > 1
    store.close()


async def test_the_message_that_brought_the_senior_in_is_listed(tmp_path: Path) -> None:
    """At the third in a row the bot asks no more but hands over: that one was not understood either."""
    clock = Clock(NOON)
    with opened(tmp_path, FIRM, clock=clock, deliveries=[Silent()]) as service:
        at = Telling(service, clock)
        for role, name in (("junior", "Rui"), ("senior", "Marta")):
            at.sit(role, name)
        await at.typed("Rui", OPENING, "3", *LOST)
        assert at.job("Rui").phase is Phase.HANDED_OFF
    store = ReviewStore(tmp_path)
    assert {each.text for each in store.unheard(50)} == set(LOST)
    store.close()


def test_a_figure_on_its_own_offers_no_wording_and_comes_last() -> None:
    """However often it came: a number has no meaning of its own, words with a number in them may have one."""
    texts = ["47", "47", "47", "10.8 ohm", "240V", "3/12", "e24 on the panel", "flappy bit"]
    found = groups([Unheard(str(n), "j", "dryer", "rui", NOON, text) for n, text in enumerate(texts)])
    assert [group.wordable for group in found] == [True] * 2 + [False] * (len(found) - 2)
    assert {group.first.text for group in found if group.wordable} == {"e24 on the panel", "flappy bit"}
