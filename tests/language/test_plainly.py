"""Roundabout ways of saying what fails, and what was so and is over."""

from __future__ import annotations

import pytest

from bot.language import Index, understand


def said(index: Index, family: str, text: str) -> tuple[set[str], set[str]]:
    """What is reported, and what is denied."""
    meaning = understand(index, text, family)
    return {guess.id for guess in meaning.complaints if guess.p >= 0.5}, set(meaning.denied)


@pytest.mark.parametrize(("family", "text", "reported"), [
    ("top_load_washer", "does everything but drain", {"no_drain"}),
    ("dryer", "works great apart from heating", {"no_heat"}),
    ("top_load_washer", "everything but the spin works", {"no_spin"}),
    ("top_load_washer", "agitation is the problem", {"no_agitate"}),
    ("dishwasher", "drains ok but not all the way", {"no_drain"}),
    ("front_load_washer", "pumps out alright only not completely", {"no_drain"}),
    ("top_load_washer", "problems: leaks, noisy", {"leaks", "noisy"}),
    ("top_load_washer", "it has problems draining", {"no_drain"}),
    ("dryer", "runs with the heat off but kills the breaker on high", {"trips_breaker"}),
    ("dryer", "heating is broke", {"no_heat"}),
    ("refrigerator", "the cooling is broken", {"both_warm"}),
    ("dishwasher", "drain broken", {"no_drain"}),
    ("dishwasher", "door latch is broken, drains ok", {"part_broken", "door_wont_latch"}),
])
def test_what_fails_is_heard_however_it_is_put(index: Index, family: str, text: str, reported: set[str]) -> None:
    """'Everything but X' and 'X is the problem' report X; a list after 'problems:' denies nothing."""
    complaints, denied = said(index, family, text)
    assert complaints == reported
    assert not denied & reported


def test_a_list_of_problems_may_name_a_danger(index: Index) -> None:
    """'Problems: burning smell' smells."""
    assert understand(index, "problems: burning smell, squeals", "top_load_washer").hazard == "fire"


@pytest.mark.parametrize(("family", "text", "reported", "denied"), [
    ("top_load_washer", "i said it wont fill but it does fill, it wont agitate", {"no_agitate"}, "no_fill"),
    ("front_load_washer", "wasnt draining, cleaned the filter, drains now. wont spin", {"no_spin"}, "no_drain"),
    ("dryer", "drum wasnt turning, put a belt on it, turns now, no heat", {"no_heat"}, "no_tumble"),
    ("top_load_washer", "used to leak, doesnt anymore. wont spin", {"no_spin"}, "leaks"),
    ("dryer", "was squealing, quit squealing, now wont heat", {"no_heat"}, "noisy"),
])
def test_what_was_mended_or_taken_back_is_denied(index: Index, family: str, text: str, reported: set[str],
                                                 denied: str) -> None:
    """A later 'now it does' outweighs what was said of yesterday."""
    complaints, gone = said(index, family, text)
    assert complaints == reported
    assert denied in gone


@pytest.mark.parametrize(("text", "reported"), [
    ("replaced the pump because it would not drain, now it shakes", {"shakes"}),
    ("leaked last year, gasket replaced. now wont drain", {"no_drain"}),
])
def test_what_a_repair_ended_long_ago_is_no_trouble_of_today(index: Index, text: str, reported: set[str]) -> None:
    """What a part was put in for is over, once something else is the matter."""
    assert said(index, "top_load_washer", text)[0] == reported


@pytest.mark.parametrize(("text", "reported"), [
    ("replaced the pump because it would not drain, now it still wont drain", {"no_drain"}),
    ("wont spin when loaded but it does spin when empty", {"no_spin"}),
    ("it quit spinning two weeks ago, now it wont drain either", {"no_spin", "no_drain"}),
])
def test_what_goes_on_is_not_over(index: Index, text: str, reported: set[str]) -> None:
    """A repair that did not help, a case in which it works, a trouble that began: all are of today."""
    assert said(index, "front_load_washer", text)[0] == reported


def test_an_oven_as_hot_as_it_was_set_is_not_wrong(index: Index) -> None:
    """Two readings that agree deny what two that differ tell; one that is denied does not agree."""
    assert said(index, "range", "set 350 reads 350 on thermometer") == (set(), {"oven_temperature_wrong"})
    assert "oven_temperature_wrong" not in said(index, "range", "180 isnt 180, its far off")[1]


def test_the_number_of_a_code_is_no_temperature(index: Index) -> None:
    """'Error 22 C' says nothing of how warm it is; a temperature beside a code does."""
    assert said(index, "refrigerator", "display flashing 22 C error")[0] == {"error_code"}
    assert "freezer_warm" in said(index, "refrigerator", "code 14 C freezer 20 degrees fridge fine")[0]


def test_a_cold_freezer_says_nothing_of_the_fridge(index: Index) -> None:
    """'Freezer cold' denies a warm freezer, and no more."""
    assert said(index, "refrigerator", "freezer cold") == (set(), {"freezer_warm"})
    assert "fresh_food_warm" not in said(index, "refrigerator", "freezer cold, ice maker wont make ice")[1]
