"""Lines that would be taken for an answer to what is asked and are one to another look; answers that stay whole."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from bot.conversation.release import Release
from bot.language.answers.likeness import own_words
from bot.language.answers.nearest import MOST, nearest_checks
from tests.conversation.test_told_beside import facts
from tests.conversation.test_washers_as_typed import visit


@pytest.mark.parametrize(("opening", "said", "told", "asked"), [
    ("fridge warm both sides", "cond fan runs fine", ("condenser_fan_watch", "spins"), "compressor_hum"),
    ("dryer long dry elec", "with hose off it blows strong", ("air_only_outlet", "strong"), "flap_without_filter"),
    ("top loader no water comes in", "hose pours strong in a bucket", ("tap_flow", "strong"), "watch_fill")])
def test_a_line_goes_to_the_look_it_lies_much_nearer_to(release: Release, opening: str, said: str,
                                                        told: tuple[str, str], asked: str) -> None:
    """What was asked is still open; it is not taken for answered by another part."""
    found = facts(visit(release, opening, said), "result")
    assert told in found.items()
    assert asked not in found


@pytest.mark.parametrize(("lines", "told", "untold"), [
    (("front load washer wont start", "lamps come on, beeps, but no start"), ("any_life", "alive_no_start"),
     "lamp_in_outlet"),
    (("dishwasher not working", "touch pad", "1", "1", "lights up and every key beeps but it wont start"),
     ("keys_respond", "all"), "latch_push")])
def test_an_answer_in_several_parts_is_one_answer(release: Release, lines: tuple[str, ...], told: tuple[str, str],
                                                  untold: str) -> None:
    """Its parts tell nothing of other looks, and the trouble said again is none of them."""
    found = facts(visit(release, *lines), "result")
    assert told in found.items()
    assert untold not in found


def test_the_packs_own_words_for_what_is_asked_are_its_answer(release: Release) -> None:
    """Whatever else they lie near to."""
    found = facts(visit(release, "top loader belt drive wont spin washes ok", "runs no spin"), "result")
    assert found["watch_spin"] == "runs_no_spin"


def test_what_a_check_calls_its_results_lies_nearest_to_it(release: Release) -> None:
    """Of all checks of the machine; some have results of the same name."""
    index = release.index
    chance, hits, tried = Random(5), 0, 0
    for family, pack in index.knowledge.packs.items():
        for check in chance.sample(sorted(pack.checks), 12):
            for result in pack.checks[check].results:
                found = nearest_checks(index, family, own_words(pack.checks[check], result)[1])
                assert len(found) <= MOST
                hits += check in found
                tried += 1
    assert hits > 0.9 * tried


def test_a_firms_own_check_is_among_them(release: Release) -> None:
    """Nobody has typed anything for it yet; where its words lie is worked out when they are first looked for."""
    pack = release.knowledge.packs["dryer"]
    checks = {**pack.checks, "our_look": pack.checks["belt_look"]}
    packs = {**release.knowledge.packs, "dryer": pack.model_copy(update={"checks": checks})}
    firm = replace(release.index, knowledge=release.knowledge.model_copy(update={"packs": packs}), places={})
    assert set(nearest_checks(firm, "dryer", "belt is in two pieces")) >= {"belt_look", "our_look"}
