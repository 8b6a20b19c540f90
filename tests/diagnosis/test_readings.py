"""Readings against values worked out by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.evidence import Evidence, Seen
from bot.diagnosis.readings import band_of, band_weights, expected, judge, plausible, uncertainty
from bot.diagnosis.thresholds import SURE
from knowledge.schema import Check, Reading
from tests.diagnosis.packs import check, fault, pack


def meter(model: str | None, default: dict[str, float], bands: dict[str, tuple[float | None, float | None] | str],
          **reading: Any) -> Check:
    """A meter check with bands; 'open' stands for OL."""
    results = {}
    for name, band in bands.items():
        shape = {"open": True} if isinstance(band, str) else {"from": band[0], "to": band[1]}
        results[name] = {"label": name, "says": name, "band": shape}
    expect = {"expect": {"model": model, "default": default}} if model else {}
    return Check.model_validate({
        **check({"normal": {"good": 0.9}}), "kind": "meter", "results": results,
        "reading": {"quantity": "ohm", **expect, **reading}})


GOOD = {"low": (None, 0.8), "good": (0.8, 1.2), "high": (1.2, None), "open": "open"}


def test_heater_by_hand() -> None:
    """5,400 W at 240 V: 240²/5400 = 10.67 Ω hot, about 10.1 cold, as 'near 10-11 Ω' says."""
    law = expected(meter("heater", {"watts": 5400, "volts": 240}, GOOD, relative=True), {})
    assert law is not None
    assert law.value == pytest.approx(0.95 * 10.667, abs=0.01)
    assert law.low < 10.0 and law.high > 11.0
    assert law.assumed == ("watts", "volts")


def test_heater_takes_the_plate_over_the_default() -> None:
    """At 208 V and 4,000 W the plate's values are used and nothing is assumed."""
    law = expected(meter("heater", {"watts": 5400, "volts": 240}, GOOD), {"watts": 4000, "volts": 208})
    assert law is not None
    assert law.value == pytest.approx(0.95 * 208**2 / 4000)
    assert law.assumed == ()


@pytest.mark.parametrize(("beta", "celsius", "ohm"), [(3435, 0, 28_700), (3435, 40, 5_760), (3950, 0, 33_600),
                                                      (3950, 40, 5_300)])
def test_thermistor_by_hand(beta: float, celsius: float, ohm: float) -> None:
    """10 kΩ sensors at freezing and at 40 °C, from the data-book law."""
    law = expected(meter("thermistor", {"r25": 10_000, "beta": beta}, GOOD), {"ambient_c": celsius})
    assert law is not None
    assert law.value == pytest.approx(ohm, rel=0.005)


def test_guessed_temperature_widens_a_thermistor() -> None:
    """About 4 % a kelvin: with the room guessed the range is far wider than with it measured."""
    sensor = meter("thermistor", {"r25": 10_000, "beta": 3950}, GOOD)
    told, guessed = expected(sensor, {"ambient_c": 25}), expected(sensor, {})
    assert told is not None and guessed is not None
    assert guessed.high - guessed.low > 2 * (told.high - told.low)
    assert "ambient_c" in guessed.assumed


def test_platinum_and_copper_by_hand() -> None:
    """1,096 Ω at 25 °C; copper rises by a quarter from 25 to 90 °C."""
    oven = expected(meter("platinum", {"r0": 1000}, GOOD), {"ambient_c": 25})
    wire = expected(meter("copper", {"r25": 10}, GOOD), {"ambient_c": 90})
    assert oven is not None and wire is not None
    assert oven.value == pytest.approx(1096.25)
    assert wire.value == pytest.approx(10 * (234.5 + 90) / (234.5 + 25))
    assert wire.value == pytest.approx(12.5, abs=0.01)


def test_uncertainty_by_hand() -> None:
    """10.0 Ω on a ±(1 % + 3 digits) meter with a 0.1 Ω step: the shares add in quadrature."""
    known = uncertainty(Reading.model_validate({"quantity": "ohm", "leads": False}), 10.0, {})
    assert known == pytest.approx(math.sqrt(0.1**2 / 3 + 0.3**2 / 3 + 0.1**2 / 12))
    leads = uncertainty(Reading.model_validate({"quantity": "ohm"}), 10.0, {})
    assert leads == pytest.approx(math.sqrt(known**2 + 0.2**2 / 3))


def test_leads_are_taken_off() -> None:
    """0.6 Ω with 0.5 Ω leads is a closed contact; with short leads it is doubtful."""
    contact = {"closed": (None, 0.5), "burnt": (0.5, None), "open": "open"}
    looks = {"k": meter(None, {}, contact).model_dump(by_alias=True)}
    model = compile_pack(pack({"a.b": fault("a", 1, {"dead": 0.5})}, looks))
    result, sure = band_of(model, "k", 0.6, {"leads_ohm": 0.5})
    assert result == "closed" and sure > SURE
    assert band_of(model, "k", 0.6, {"leads_ohm": 0.1})[1] < SURE


def test_open_is_a_result_of_its_own() -> None:
    """OL falls into the open band and no other."""
    assert judge(meter(None, {}, GOOD), Seen("k", value=math.inf), {}).result == "open"
    assert judge(meter(None, {}, GOOD), Seen("k", value=math.inf), {}).sure == 1.0


def test_relative_bands_follow_the_plate() -> None:
    """10 Ω is a good 5,400 W heater and far too low for a 1,500 W one."""
    heater = meter("heater", {"watts": 5400, "volts": 240}, GOOD, relative=True, leads=False)
    assert judge(heater, Seen("k", value=10.2), {}).result == "good"
    assert judge(heater, Seen("k", value=10.2), {"watts": 1500, "volts": 240}).result == "low"


def test_windings_are_compared_with_each_other() -> None:
    """`matches`: 12 Ω beside 8 Ω is high, beside 11.8 Ω good."""
    second = meter(None, {}, GOOD, relative=True, matches="first", leads=False)
    assert judge(second, Seen("k", value=12.0), {}, other=8.0).result == "high"
    assert judge(second, Seen("k", value=12.0), {}, other=11.8).result == "good"


def test_the_leads_are_taken_off_both_windings() -> None:
    """Small coils with leads of half an ohm: alike is alike, and a quarter too low is as odd as a third too high."""
    second = meter(None, {}, GOOD, relative=True, matches="first")
    leads = {"leads_ohm": 0.5}
    assert judge(second, Seen("k", value=1.5), leads, other=1.5).result == "good"
    assert judge(second, Seen("k", value=1.25), leads, other=1.5).result == "low"
    assert judge(second, Seen("k", value=1.5), leads, other=1.25).result == "high"


def test_a_wide_band_does_not_win_by_its_width() -> None:
    """In the middle of its own band a reading carries that band's likelihood, however wide the neighbours are."""
    bands = {"good": (0.0, 1.0), "drift": (1.0, 5.0), "bad": (5.0, 1e6)}
    weights = band_weights(meter(None, {}, bands, leads=False), Seen("k", value=3.0), {})
    assert weights[1] > 100 * max(weights[0], weights[2])


@given(st.floats(0.0, 1e7))
def test_every_reading_gets_a_band(value: float) -> None:
    """Whatever the number: a band, and a share between 0 and 1."""
    found = judge(meter("heater", {"watts": 5400, "volts": 240}, GOOD, relative=True), Seen("k", value=value), {})
    assert found.result in GOOD
    assert 0 < found.sure <= 1 + 1e-9


def test_a_range_is_read_by_its_middle_with_its_own_doubt() -> None:
    """'10 to 11' on a band edge at 10.5 is doubtful, 10.5 exactly is not better."""
    sharp = meter(None, {}, {"good": (0.0, 20.0), "high": (20.0, None)}, leads=False)
    assert judge(sharp, Seen("k", low=10, high=11), {}).sure > SURE
    assert judge(sharp, Seen("k", low=15, high=26), {}).sure < SURE


def test_impossible_values_are_noticed() -> None:
    """Outside the plausible range it is asked about before it counts; OL is always possible."""
    heater = meter(None, {}, GOOD, plausible={"from": 0, "to": 200})
    assert not plausible(heater, 9000.0)
    assert plausible(heater, 10.0)
    assert plausible(heater, math.inf)


def test_a_reading_moves_the_belief_like_its_band() -> None:
    """Deep inside a band a number says what the band's button says (misuse floor apart)."""
    looks = meter(None, {}, {"good": (0.0, 20.0), "high": (20.0, None), "open": "open"}, leads=False)
    data = looks.model_dump(by_alias=True) | {"likelihoods": {"normal": {"good": 0.95}, "coil.open": {"open": 0.9}}}
    model = compile_pack(pack({"coil.open": fault("coil", 1, {"dead": 0.5}), "b.c": fault("b", 1, {"dead": 0.5})},
                              {"ohms": data}))
    pressed = dict(believe(model, Evidence("mangle", history=(Seen("ohms", "good"),))).faults)
    typed = dict(believe(model, Evidence("mangle", history=(Seen("ohms", value=10.0),))).faults)
    assert typed["coil.open"] == pytest.approx(pressed["coil.open"], abs=0.02)
    assert typed["coil.open"] < 0.2
