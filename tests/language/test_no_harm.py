"""Words of a danger that are of something else where they stand, and the same words where they are not."""

from __future__ import annotations

import pytest

from bot.language.index import Index
from bot.language.understand import understand


def _hazard(index: Index, text: str, family: str, *checks: str) -> str | None:
    return understand(index, text, family, checks).hazard


@pytest.mark.parametrize(("family", "check", "text"), [
    ("top_load_washer", "screens_look", "shut the taps, got a bit wet, screens are full of grit"),
    ("top_load_washer", "capacitor_uf", "bled it first, reads dead"),
    ("refrigerator", "run_capacitor_reading", "bled the cap down first and its spot on"),
    ("top_load_washer", "drain_end_bucket", "strong like a fire hose"),
    ("dryer", "flame_colour", "no flame to look at"),
    ("range", "flame_scope", "all flames good"),
    ("dryer", "watch_run", "turns, stuck my arm in and its cold"),
    ("dryer", "drum_by_hand", "stuck. put my knee on it and it wont go"),
    ("dishwasher", "float_move", "hangs up, theres a coin stuck under it"),
    ("range", "electrode_look", "cracked and it moves when i touch it"),
    ("refrigerator", "outlet_tester", "no ground by the chart. shocker"),
    ("top_load_washer", "pressure_hose_blow", "hose split at the end, air comes out of it"),
    ("dryer", "control_look", "its got a display n touch buttons"),
    ("range", "igniter_amps", "full current, nothing wrong there")])
def test_an_answer_that_only_sounds_like_a_danger_is_none(index: Index, family: str, check: str, text: str) -> None:
    """At the check that is open."""
    assert _hazard(index, text, family, check) is None


@pytest.mark.parametrize(("family", "check", "text", "hazard"), [
    ("top_load_washer", "screens_look", "got a bit of a shock off the tap", "shock"),
    ("top_load_washer", "screens_look", "got a bit wet and felt a tingle", "shock"),
    ("top_load_washer", "capacitor_uf", "i bled all over the panel", "injury"),
    ("refrigerator", "run_capacitor_reading", "bled it first, still bit me, got shocked", "shock"),
    ("dryer", "flame_colour", "flames", "fire"),
    ("dryer", "watch_run", "my arm is stuck in the drum", "injury"),
    ("dryer", "watch_run", "stuck my hand in and it cut me bad", "injury"),
    ("dryer", "watch_run", "got my hand stuck in the drum", "injury"),
    ("dishwasher", "float_move", "the kid is stuck under it", "injury"),
    ("range", "electrode_look", "it tingles when i touch it", "shock"),
    ("refrigerator", "outlet_tester", "i get shocked when i touch it", "shock"),
    ("front_load_washer", "drain_ask", "hose split and water is everywhere", "flood")])
def test_the_same_words_of_a_danger_stay_one(index: Index, family: str, check: str, text: str, hazard: str) -> None:
    """Whatever is asked."""
    assert _hazard(index, text, family, check) == hazard
