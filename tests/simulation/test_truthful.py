"""What errors in the packs cost is measured against packs that hold the truth of a simulated world."""

from __future__ import annotations

import pytest

from bot.simulation.machine import World, said_row
from knowledge.likelihood import distribution, probability
from knowledge.loader import load
from tests.benchmarks.families.truthful import truthful

PACK = load(families=["dryer"]).knowledge.packs["dryer"]


def test_a_world_that_does_not_stray_leaves_its_pack_as_it_is() -> None:
    told = truthful(World(PACK, 0.0, 3))
    for fault, entry in PACK.faults.items():
        assert told.faults[fault].frequency == entry.frequency
        for check in PACK.checks:
            row = distribution(told.checks[check].likelihoods[fault], tuple(PACK.checks[check].results))
            assert row == pytest.approx(said_row(PACK, fault, check, PACK.checks[check]), abs=0.005)


def test_packs_that_hold_the_truth_say_what_the_machines_of_that_world_show() -> None:
    world = World(PACK, 1.0, 3)
    told = truthful(world)
    for fault, entry in told.faults.items():
        assert {c: probability(p) for c, p in entry.shows.items()} == {c: world.shows(fault, c) for c in entry.shows}
        assert all(check.likelihoods[fault] == world.row(fault, c) for c, check in told.checks.items())
    assert any(abs(entry.frequency - PACK.faults[fault].frequency) > 0.001 for fault, entry in told.faults.items())
