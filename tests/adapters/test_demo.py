"""The folder that shows an invented firm: nothing in it is left lying, and nobody answers for the wrong machine."""

from __future__ import annotations

import logging
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from adapters.commands.logged import logged
from adapters.demo.fill import LATELY, fill
from bot.store.review import ReviewStore
from bot.store.review_rows import Filter

END = datetime(2031, 11, 28, 14, tzinfo=UTC)


async def test_whatever_is_older_than_some_days_is_ended(tmp_path: Path) -> None:
    """Crowded days, with parts on order and seniors: no case waits from long ago, and nobody is at two machines."""
    assert await fill(tmp_path, visits=14, seed=5, end=END, days=9) == 14
    store = ReviewStore(tmp_path)
    visits = store.visits(Filter(), 50)
    assert len(visits) == 14
    parts = timedelta(days=3)
    assert [v.label for v in visits if v.ended is None and END - v.opened > LATELY + parts] == []
    assert not store.search('"another machine, or still"', Filter(), 5), "nobody has to be asked which is meant"
    store.close()


def test_what_goes_wrong_inside_is_in_the_log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The user reads none of it."""
    with logged(tmp_path):
        logging.getLogger("bot.service.lanes").warning("event 5 was taken over by another process")
    assert "taken over" in (tmp_path / "chargehand.log").read_text()
    assert capsys.readouterr().err == ""
