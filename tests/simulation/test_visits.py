"""Simulated visits: repeatable, with machines whose fault is in the book or not."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from bot.conversation.release import Release, compile_release
from bot.diagnosis.belief import believe
from bot.diagnosis.evidence import UNKNOWN, Evidence
from bot.simulation.machine import World, draw_machine
from bot.simulation.visits import Visit, left_out, visits
from knowledge.loader import load

FAMILY = "dryer"


@pytest.fixture(scope="module")
def release() -> Release:
    """Our own packs."""
    return compile_release("tests", load().knowledge)


def timeless(found: list[Visit]) -> list[Visit]:
    """Without the clock."""
    return [replace(visit, seconds=()) for visit in found]


def test_the_same_seed_gives_the_same_visits_whether_advice_is_remembered_or_not(release: Release) -> None:
    """What was advised for the same evidence may be kept: it changes nothing."""
    once = timeless(list(visits(release, FAMILY, 3, 5)))
    assert once == timeless(list(visits(release, FAMILY, 3, 5)))
    assert once == timeless(list(visits(release, FAMILY, 3, 5, remember=False)))


def test_a_fault_left_out_of_the_book_is_none_that_the_bot_can_name(release: Release) -> None:
    """Its chance is nought whatever is told, and nothing the bot finds first counts as right."""
    world = World(release.knowledge.packs[FAMILY], 0.0, 1)
    machine = draw_machine(world, Random(3), outside=1.0, kind="left_out")
    assert machine.outside == "left_out"
    assert machine.fault in world.pack.faults
    book = left_out(release, FAMILY, machine.fault)
    belief = dict(believe(book.models[FAMILY], Evidence(FAMILY, complaints=machine.complaints)).faults)
    assert machine.fault not in belief
    assert sum(belief.values()) == pytest.approx(1)
    assert machine.fault in dict(believe(release.models[FAMILY], Evidence(FAMILY)).faults)
    for visit in visits(release, FAMILY, 2, 11, outside=1.0, kind="left_out"):
        assert visit.outside == "left_out"
        assert not visit.first_right


def test_a_strange_machine_is_cured_by_nothing_we_know(release: Release) -> None:
    """No repair of the book helps it."""
    world = World(release.knowledge.packs[FAMILY], 0.0, 1)
    machine = draw_machine(world, Random(3), outside=1.0)
    assert (machine.fault, machine.outside) == (UNKNOWN, "strange")
    assert not any(machine.repair(world.pack.repair_of(fault)[0]) for fault in world.pack.faults)
