"""Plain and trade words that lie near a word of danger, and slips that still mean it."""

import pytest

from bot.language.dangers.sounds_like import of_a_fuel, of_absorbers
from bot.language.dangers.unsafe_seen import hot_at_feed
from bot.language.index import Index
from bot.language.understand import understand


@pytest.mark.parametrize("text", [
    "top load washer lid tongue is bent, wont spin", "top load washer wont spin, basket still joined i think",
    "front load washer spins but shakes, coupling still looks joined ok", "dryer has a toggle switch that sticks",
    "fridge leaks brown fluid", "top load washer leaks, looks like gearcase fluids",
    "dryer wont start, spare belt on the truck",
    "range wont heat, both joints soldered ok", "dishwasher wont drain, i spoke to the customer",
    "fridge noisy, the gauges are in the van", "dryer noisy, i torqued the screws and the torques were fine",
    "washer was buried behind boxes, wont spin", "dryer wont heat, mrs burke is a smoker", "fridge warm, sparse frost"])
def test_a_plain_word_is_no_slip_of_a_danger(index: Index, text: str) -> None:
    """Joined is not jolted, fluid no flood, spare no spark: a false alarm stops the work and dulls the true one."""
    meaning = understand(index, text)
    assert meaning.hazard is None
    assert not {"electric_shock", "sparks", "burning_smell"} & {guess.id for guess in meaning.complaints}


@pytest.mark.parametrize(("text", "hazard"), [
    ("dryer is smokeing", "fire"), ("i see smoek from the motor", "fire"), ("washer sparcks at the plug", "fire"),
    ("it shokced me when i touched the lid", "shock"), ("i felt a tinglle on the door", "shock"),
    ("dishwasher smells a bit like a soldering iron", "fire"), ("the laundry room is floodded", "flood"),
    ("i got jollted off the cabinet", "shock")])
def test_a_slip_of_a_danger_still_means_it(index: Index, text: str, hazard: str) -> None:
    """Thumbs shake next to smoke."""
    assert understand(index, text).hazard == hazard


@pytest.mark.parametrize(("text", "part"), [
    ("shocks feel soft", True), ("shocks feel like nothing", True), ("i got both shocks off , they feel dead", True),
    ("pushed the shocks in by hand , they go in easy", True), ("one of the shocks is leaking oil", True),
    ("i took the two front shocks off the tub", True), ("shocks done last jan", True),
    ("i got shocks off the cabinet", False), ("the shocks happen when i touch it", False),
    ("the shock threw me back", False), ("two shocks today when i grabbed the handle", False),
    ("felt a couple shocks", False), ("customer had shocks from it", False), ("shocks all over", False),
    ("two shocks and a trip since it was put in", False), ("the shocks get worse when it spins", False)])
def test_shocks_are_a_part_where_they_are_handled_or_found_so(text: str, part: bool) -> None:
    """Those that carry the tub are pushed, pulled and felt; the others are got."""
    assert of_absorbers(text.split()) is part


@pytest.mark.parametrize(("text", "fuel"), [
    ("all gas", True), ("gas on all of it", True), ("gas , the whole thing", True), ("both are gas i think", True),
    ("gas all over", False), ("gas everywhere", False), ("its all gas in here", False), ("all gas ! !", False),
    ("gas comes out of all of them", False), ("all of it is gas and it smells", False)])
def test_gas_is_what_heats_where_nothing_else_is_said(text: str, fuel: bool) -> None:
    """Anything beside it, and anything shouted, may be a smell."""
    assert of_a_fuel(text.split()) is fuel


@pytest.mark.parametrize(("text", "hazard"), [
    ("where is the shutoff valve on this", None),
    ("stop valve came off in my hand, its a fountain, where is the main", "flood"),
    ("cant find the shutoff", "flood")])
def test_asking_for_a_valve_is_no_flood(index: Index, text: str, hazard: str | None) -> None:
    """Unless anything else is said with it."""
    assert understand(index, text, "dishwasher").hazard == hazard


def test_no_gas_smell_tells_nothing_of_how_it_lights(index: Index) -> None:
    """'No gas' may be how it is built; no gas smell, and no gas at a burner, are not."""
    for text in ("the oven, no gas smell!!", "no gas to the left burner"):
        assert "ignition" not in understand(index, text, "range").variant


@pytest.mark.parametrize("text", [
    "touch your two leads together, what does it read", "touch the leads together", "held the probes together, 0.2"])
def test_leads_that_touch_are_a_meter_being_tried(index: Index, text: str) -> None:
    """Asked by a senior, done by a junior: no shock."""
    heard = understand(index, text, "dryer")
    assert heard.hazard is None and "electric_shock" not in {c.id for c in heard.complaints}
    assert understand(index, "touched the leads together and got zapped", "dryer").hazard == "shock"


@pytest.mark.parametrize("text", [
    "got a belt on the van", "its got a belt and 2 rollers", "got a belt with me", "got a new belt here",
    "have one drum belt left", "dishes come out cold n wet", "load comes out cold", "clothes come out cold"])
def test_a_belt_in_the_van_and_cold_dishes_hurt_nobody(index: Index, text: str) -> None:
    """On a dryer a belt is a part, and what comes out cold is no person."""
    meaning = understand(index, text, family="dryer")
    assert meaning.hazard is None
    assert "electric_shock" not in {guess.id for guess in meaning.complaints}


@pytest.mark.parametrize(("text", "hazard"), [
    ("i got a belt off the cabinet", "shock"), ("got a belt when i touched the drum", "shock"),
    ("she got a belt off it", "shock"), ("helper hes out cold on the floor", "injury"),
    ("the customer was knocked out cold", "injury")])
def test_a_belt_that_was_felt_and_a_man_out_cold_are_dangers(index: Index, text: str, hazard: str) -> None:
    """The same words where somebody felt it, or lies there."""
    assert understand(index, text, family="dryer").hazard == hazard


@pytest.mark.parametrize(("text", "heats"), [
    ("dryer dead no lights nothin, plug got warm cust says", False), ("dryer wont start, cord end is hot", False),
    ("dryer heats fine but the plug is hot", True)])
def test_a_warm_plug_is_no_word_on_the_heat(index: Index, text: str, heats: bool) -> None:
    """A dead dryer with a warm plug heats nothing."""
    assert ("no_heat" in understand(index, text).denied) is heats


@pytest.mark.parametrize(("text", "where"), [
    ("plug got warm", "outlet"), ("the cord end gets real hot", "cord"), ("plug was hot under the sink", "outlet"),
    ("outlet hot 121v", None), ("outlet hot/neutral swapped", None), ("neither plug nor cord hot", None),
    ("is the plug hot?", None)])
def test_a_plug_that_gets_hot_is_told_from_one_that_is_live(text: str, where: str | None) -> None:
    """'Outlet hot' is live to an electrician."""
    assert hot_at_feed(text) == where
