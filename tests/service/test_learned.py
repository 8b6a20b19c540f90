"""From confirmed visits to new visits that know better, and back: over the real store and the core as it ships."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from bot.conversation.effects import Audit
from bot.conversation.job import Outcome
from bot.conversation.release import Release
from bot.review.learning import apply, learning, undo
from bot.service.opening import opened
from bot.simulation.transcript import FIRM
from bot.store.errors import RefusedError
from bot.store.review import ReviewStore
from knowledge.learned import Learned, LearnedFamily
from knowledge.loader import load
from tests.service.crew import Clock
from tests.service.real import House

FAMILY, FAULT = "top_load_washer", "drive_belt.worn"
OPENING = "toploader belt drive wont spin"
LEAST = 12
"""Confirmed visits that open the gate here: forty would say no more about the way, and take a minute."""


@pytest.fixture
def clock() -> Clock:
    """The time."""
    return Clock()


@pytest.fixture
def house(tmp_path: Path, clock: Clock) -> Iterator[House]:
    """Rui and Dana, and Marta the senior."""
    with opened(tmp_path, FIRM, clock=clock) as service:
        seated = House(service, clock)
        seated.seat("Rui")
        seated.seat("Dana")
        seated.seat("Marta", "senior")
        yield seated


async def fixed(house: House, number: int) -> None:
    """Rui has a visit in which Marta names the fault, and its repair is proved."""
    await house.says("Rui", "new")
    await house.says("Rui", f"{OPENING} at {number} hazel lane")
    await house.says("Rui", "senior")
    await house.presses("Marta", 1)
    await house.says("Marta", f"found {load_pack().faults[FAULT].name}")
    while (job := house.job_of("Rui")).outcome is None:
        assert job.question is not None and job.question.kind in {"finding", "consent", "repair", "proof", "closing"}
        await house.presses("Rui", 1)
    assert job.outcome is Outcome.FIXED


def load_pack():  # type: ignore[no-untyped-def]
    """The family's pack."""
    return load(families=[FAMILY]).knowledge.packs[FAMILY]


def share(release: Release) -> float:
    """What a release thinks of the fault before anything is told."""
    model = release.models[FAMILY]
    return float(model.weights[model.fault_of == model.faults.index(FAULT)].sum())


async def test_confirmed_visits_are_shown_applied_and_undone(house: House, clock: Clock, tmp_path: Path,
                                                             monkeypatch: pytest.MonkeyPatch) -> None:
    """Proved repairs and thirty quiet days: offered, applied, used by new visits alone, and taken back."""
    monkeypatch.setattr("bot.followup.gate.LEAST", LEAST)
    known = load().knowledge
    lanes = house.service._lanes._releases
    before = lanes.current
    for number in range(LEAST):
        await fixed(house, number + 1)
    await house.says("Dana", OPENING)
    await house.says("Dana", "2")
    store = ReviewStore(tmp_path)
    early = learning(store, known, clock())
    assert [(f.family, f.visits, f.full, f.gate) for f in early.families] == [(FAMILY, LEAST, 0, "few")]
    with pytest.raises(RefusedError, match="nothing learned"):
        apply(store, known, None, clock())

    clock.now += timedelta(days=31)
    shown = learning(store, known, clock())
    family = shown.families[0]
    assert (family.full, family.gate) == (LEAST, "open") and family.shares.open
    first = family.lines[0]
    assert first.fault == FAULT and first.learned > first.now == first.pack and first.cases > LEAST * 0.9
    with pytest.raises(RefusedError, match="look at it again"):
        apply(store, known, None, clock(), seen="something else")
    number = apply(store, known, house.seats["Marta"].person, clock(), seen=shown.key)

    await house.says("Rui", "new")
    await house.says("Rui", f"{OPENING} at 99 hazel lane")
    after = lanes.current
    assert house.job_of("Rui").release == after.id != before.id
    assert share(after) > 1.5 * share(before)
    await house.says("Dana", "how")
    assert house.job_of("Dana").release == before.id
    assert learning(store, known, clock()).families[0].gate == "not_yet"

    undo(store, number, None, clock())
    with pytest.raises(RefusedError, match="no longer in force"):
        undo(store, number, None, clock())
    await house.says("Dana", "new")
    await house.says("Dana", OPENING)
    assert house.job_of("Dana").release == before.id == lanes.current.id
    assert house.job_of("Rui").release == after.id
    acts = [(what, who) for what, who in house.audit() if what.startswith("learning")]
    assert acts == [("learning_applied", "Marta"), ("learning_undone", None)]
    store.close()


async def test_the_switch_and_what_cannot_be_read(tmp_path: Path, clock: Clock,
                                                  caplog: pytest.LogCaptureFixture) -> None:
    """Switched off, nothing learned lies on the packs; a text that nobody can read is passed over with a word."""
    with opened(tmp_path, FIRM, clock=clock) as service:
        plain = service._lanes._releases.current.id
    store = ReviewStore(tmp_path)
    shares = dict(zip(load_pack().faults, (0.2, 0.8), strict=False))
    text = Learned(families={FAMILY: LearnedFamily(shares=shares)}).model_dump_json()
    store.keep_learned(text, Audit(what="learning_applied"), None, clock())
    for on, same in ((True, False), (False, True)):
        with opened(tmp_path, FIRM, clock=clock, learning=on) as service:
            assert (service._lanes._releases.current.id == plain) is same
    store.keep_learned("{", Audit(what="learning_applied"), None, clock())
    with opened(tmp_path, FIRM, clock=clock) as service:
        assert service._lanes._releases.current.id == plain
    assert "cannot be read" in caplog.text
    store.close()
