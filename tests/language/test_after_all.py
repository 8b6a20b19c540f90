"""Dangers that a sentence tells in two halves, by a depth or beside denials, and what only goes like them."""

import pytest

from bot.language.index import Index
from bot.language.understand import understand


@pytest.mark.parametrize(("text", "hazard"), [
    ("customer says no gas smell but i smell it", "gas"), ("she doesnt smell gas, i do", "gas"),
    ("no gas smell at the flex before i moved it, now there is", "gas"),
    ("i dont smell gas anymore but she still does", "gas"), ("antes no olia a gas, ahora si", "gas"),
    ("no co alarm yesterday but it went off today", "co"), ("customer saw no smoke, i do", "fire"),
    ("wasnt smoking, now it is", "fire"), ("customer never got shocked but i just did", "shock"),
    ("i didnt get hurt, my helper did", "injury"), ("he said no flooding, its flooding now", "flood")])
def test_what_one_denies_and_another_affirms_is_there(index: Index, text: str, hazard: str) -> None:
    """Whoever smelt it and whenever it began: it counts, and nothing of it is taken as denied."""
    meaning = understand(index, text)
    assert meaning.hazard == hazard
    assert "gas_smell" not in meaning.denied


@pytest.mark.parametrize("text", [
    "no gas smell, i do hear the igniter", "she doesnt smell gas and neither do i", "no gas smell and now it lights",
    "used to smell gas but not now", "no smoke but it does squeak", "no burning smell, it did trip",
    "it doesnt shock me and it doesnt shock her", "gas smell? no, neither of us"])
def test_a_denial_beside_something_else_stays_one(index: Index, text: str) -> None:
    """'I do' alone affirms it; 'i do hear' is of something else."""
    assert understand(index, text, "dryer").hazard is None


def test_a_burner_that_was_out_and_is_lit_is_no_fire(index: Index) -> None:
    """A flame belongs there, on a range and in a dryer."""
    assert understand(index, "customer gets no flames, i do", "range").hazard is None


@pytest.mark.parametrize(("text", "hazard"), [
    ("kitchen floor is under two inches of water from the dishwasher and still coming", "flood"),
    ("three inches of water on the basement floor and climbing", "flood"),
    ("floor was dry, now theres two inches and it keeps rising", "flood"), ("water up to my ankles", "flood"),
    ("hay como 5 cm de agua en el piso y sigue subiendo", "flood"),
    ("tub has three inches of water and rising slowly", None), ("an inch of water in the drum, wont drain", None),
    ("water on the floor after each load, keeps coming back", None),
    ("had an inch of water on the laundry floor last week, mopped it", None)])
def test_water_is_a_flood_by_its_depth_on_a_floor(index: Index, text: str, hazard: str | None) -> None:
    """In a tub the same depth is how it fills."""
    assert understand(index, text, "top_load_washer").hazard == hazard


@pytest.mark.parametrize(("text", "hazard"), [
    ("no spin no drain shocks you", "shock"), ("wont drain wont spin, shocks people", "shock"),
    ("no drain no spin, needs shocks", None), ("no spin no drain shocks are worn", None)])
def test_denials_before_a_shock_take_nothing_from_it(index: Index, text: str, hazard: str | None) -> None:
    """Who gets one is said; those of the suspension are a part."""
    assert understand(index, text, "front_load_washer").hazard == hazard


@pytest.mark.parametrize(("text", "hazard"), [
    ("punctured the freezer wall, gas hissing out", "refrigerant"),
    ("gas hissing out of the coil i nicked", "refrigerant"),
    ("gas shooting out of the tube i cut", "refrigerant"),
    ("pulled the fridge out and the gas line behind it is hissing", "gas"), ("i smell gas behind the fridge", "gas")])
def test_gas_out_of_a_fridges_circuit_is_refrigerant(index: Index, text: str, hazard: str) -> None:
    """What is smelt, or comes from a gas line beside it, stays gas."""
    assert understand(index, text, "refrigerator").hazard == hazard


@pytest.mark.parametrize("text", ["nobody worked on it n nothing spilled", "nothing spilled on it"])
def test_what_speaks_of_no_smell_denies_none(index, text):
    """A 'nothing' of something else never clears the air of gas."""
    assert "gas_smell" not in understand(index, text, family="range").denied
