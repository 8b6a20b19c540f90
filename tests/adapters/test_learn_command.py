"""`chargehand learn`: what was learned, from the owner's shell."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from adapters.terminal.seats import take_seat
from bot.followup.gate import LEAST
from bot.store.sqlite import SqliteStore
from knowledge.loader import load
from tests.adapters.command import chargehand, refused
from tests.review.confirmed import confirm

FAMILY = "dryer"


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A firm with enough proved repairs of one fault, long enough ago."""
    now = datetime.now(UTC)
    store = SqliteStore(tmp_path / "data")
    rui = take_seat(store, None, None, now).person.id
    store.close()
    pack = load(families=[FAMILY]).knowledge.packs[FAMILY]
    fault = next(f for f, entry in pack.faults.items() if entry.trade is None and f != "usage.normal")
    confirm(tmp_path / "data", pack, [fault] * LEAST, now - timedelta(days=40), rui, "0" * 32)
    return tmp_path / "data"


def test_show_apply_undo(data: Path) -> None:
    """Shown with what stands behind it, applied, undone; each line says what to do next."""
    before = chargehand("learn", "show", "--data", str(data)).stdout
    assert f"{FAMILY}: {LEAST} confirmed, {LEAST} of them in full" in before
    assert "In force: the packs as they are." in before and "chargehand learn apply" in before
    done = chargehand("learn", "apply", "--data", str(data), "--yes")
    assert done.returncode == 0 and "Applied: dryer" in done.stdout
    after = chargehand("learn", "show", "--data", str(data), "--family", FAMILY, "--all").stdout
    assert "In force: what was learned, applied" in after and "by whoever opened the folder" in after
    assert len(after.splitlines()) > len(before.splitlines())
    assert "nothing learned may go live yet" in refused(chargehand("learn", "apply", "--data", str(data), "--yes"))
    assert "packs as they are" in chargehand("learn", "undo", "--data", str(data), "--yes").stdout
    assert "nothing to undo" in refused(chargehand("learn", "undo", "--data", str(data), "--yes"))
    assert chargehand("learn", "show", "--data", str(data)).stdout == before


def test_the_switch(data: Path) -> None:
    """Off in the settings: shown all the same, with a word; not applied."""
    file = data.parent / "firm.toml"
    file.write_text('[store]\npath = "data"\n[firm]\nlearning = false\n')
    assert "switched off" in chargehand("learn", "show", "--config", str(file)).stdout
    assert "learning = false" in refused(chargehand("learn", "apply", "--config", str(file), "--yes"))


def test_nothing_to_learn_from(tmp_path: Path) -> None:
    """No folder, no data, nothing confirmed: a word each."""
    assert "--data" in refused(chargehand("learn", "show"))
    assert "no data" in refused(chargehand("learn", "show", "--data", str(tmp_path)))
    SqliteStore(tmp_path).close()
    assert "Nothing is confirmed yet." in chargehand("learn", "show", "--data", str(tmp_path)).stdout
    shown = chargehand("learn", "show", "--data", str(tmp_path), "--family", "toaster").stdout
    assert "Nothing is confirmed of 'toaster' yet." in shown
