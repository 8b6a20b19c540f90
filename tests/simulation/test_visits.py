"""Simulated visits: repeatable, with machines whose fault is in the book or not."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from bot.conversation.release import Release, compile_release
from bot.diagnosis.belief import believe
from bot.diagnosis.evidence import UNKNOWN, Evidence
from bot.simulation.machine import World, draw_machine
from bot.simulation.phrases import bank_of
from bot.simulation.tech import draw_tech
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
    machine = draw_machine(world, "3", outside=1.0, kind="left_out")
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
    machine = draw_machine(world, "3", outside=1.0)
    assert (machine.fault, machine.outside) == (UNKNOWN, "strange")
    assert not any(machine.repair(world.pack.repair_of(fault)[0]) for fault in world.pack.faults)


@pytest.mark.parametrize("family", ["dryer", "range"])
def test_faults_are_drawn_as_often_as_the_pack_has_them(release: Release, family: str) -> None:
    """Whatever build they need: a gas dryer is rarer than an electric one, and what fails in it is not rarer still."""
    world, model = World(release.knowledge.packs[family], 0.0, 1), release.models[family]
    pack, many = world.pack, 3000
    drawn = Counter(draw_machine(world, f"{n}").fault for n in range(many))
    believed = {fault: float(model.weights[model.fault_of == f].sum()) * float(1 - np.prod([
        1 - world.shows(fault, c) for c in pack.complaints])) for f, fault in enumerate(model.faults)}
    whole = sum(believed.values())
    off = sum((drawn[f] - many * p / whole) ** 2 / (many * p / whole) for f, p in believed.items())
    free = len(believed) - 1
    assert off < free + 5 * (2 * free) ** 0.5


def test_a_machine_shows_the_same_in_whatever_order_it_is_looked_at(release: Release) -> None:
    """So that every policy meets the same machine."""
    world = World(release.knowledge.packs[FAMILY], 0.0, 1)
    checks = list(world.pack.checks)
    there, back = (draw_machine(world, "7") for _ in range(2))
    seen = {check: there.result(check) for check in checks}
    assert seen == {check: back.result(check) for check in reversed(checks)}
    assert len(set(seen.values())) > 1


def test_a_tech_opens_with_nothing_that_the_machine_does_not_show(release: Release) -> None:
    """'Hums n wont go' is said of a machine that hums, not of every one that will not start."""
    world, bank = World(release.knowledge.packs[FAMILY], 0.0, 1), bank_of(FAMILY)
    telling = 0
    for n in range(300):
        machine = draw_machine(world, f"{n}")
        opening, _ = draw_tech(machine, bank, 0.0).opening()
        for phrase, tells in bank.tells.items():
            if opening.endswith(f" {phrase}"):
                telling += 1
                assert all(machine.result(check) in results for check, results in tells.items())
    assert telling > 20


def test_what_phrases_of_the_bank_tell_are_results_of_the_packs(release: Release) -> None:
    """A check or a result that is renamed takes them along."""
    for family, pack in release.knowledge.packs.items():
        bank = bank_of(family)
        ways = (bank.says, bank.works, *(voice.says for voice in bank.voices))
        phrases = {phrase for way in ways for said in way.values() for phrase in said}
        for phrase, tells in bank.tells.items():
            assert phrase in phrases
            assert all(set(results) <= set(pack.checks[check].results) for check, results in tells.items())


def test_each_voice_says_what_every_check_of_its_machines_shows(release: Release) -> None:
    """A result that is new, renamed or gone is put right in the voices, too."""
    for family, pack in release.knowledge.packs.items():
        voices = bank_of(family).voices
        assert len(voices) >= 2
        for voice in voices:
            assert {check: set(said) for check, said in voice.answers.items()} == {
                check: set(entry.results) for check, entry in pack.checks.items()}
            assert voice.says.keys() <= pack.complaints.keys()


def test_who_types_is_heard_and_the_others_press_numbers(release: Release) -> None:
    """Some techs type what they see, and it is counted how it was heard."""
    seen = list(visits(release, FAMILY, 12, 5))
    typed = [sum(visit.typed) for visit in seen]
    assert any(typed)
    assert not all(typed)
    assert sum(visit.typed[0] for visit in seen) > sum(visit.typed[1] + visit.typed[2] for visit in seen)
