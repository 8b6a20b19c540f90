"""Readings on the bands of their checks: where they stand, how far they may be off, what each band says of the part."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.conversation.firm import Firm
from bot.conversation.job import Fact
from bot.conversation.questions.bands import is_reading, on_bands, verdict
from bot.diagnosis.evidence import Seen
from bot.diagnosis.readings import judge
from knowledge.loader import load
from knowledge.schema import Check

PACKS = load().knowledge.packs
METERED = [(family, key) for family, pack in PACKS.items() for key, check in pack.checks.items() if check.reading]
PLATE = {"watts": 5400.0, "volts": 240.0}


def check_of(family: str, key: str) -> Check:
    """A check of the packs."""
    return PACKS[family].checks[key]


def read(check: Check, number: float, **spread: float) -> Fact:
    """A reading, put into its band as the talk does."""
    judged = judge(check, Seen("it", value=number, **spread), PLATE)
    return Fact("m1", "result", "it", judged.result, number, spread.get("low"), spread.get("high"))


def open_circuit(check: Check) -> Fact:
    """No continuity."""
    return Fact("m1", "result", "it", next(key for key, r in check.results.items() if r.band and r.band.open))


def test_an_element_that_reads_three_times_too_much() -> None:
    """The mark stands in the upper band, beyond the good one, whose ends follow from the plate."""
    check = check_of("dryer", "element_ohms")
    row = on_bands(check, read(check, 34.0), PLATE, Firm())
    assert row is not None and row.hit is not None
    assert (row.value, row.hit.name, row.hit.verdict) == ("34 Ω", "element reads too high", "bad")
    good = next(band for band in row.bands if band.verdict == "good")
    assert (good.low, good.high) == ("8.11 Ω", "12.7 Ω")
    assert good.right < row.least < row.at < row.most < row.hit.right


def test_no_continuity_stands_in_a_box_of_its_own() -> None:
    """OL is bad for an element and good from the element to the case."""
    for key, says in (("element_ohms", "bad"), ("element_to_case", "good")):
        check = check_of("dryer", key)
        row = on_bands(check, open_circuit(check), PLATE, Firm())
        assert row is not None and row.hit is not None
        assert (row.value, row.hit.verdict, row.hit.span) == ("OL", says, "OL")
        assert row.hit.left < row.at < row.hit.right
        assert all(band.right < row.hit.left for band in row.bands if not band.open)


def test_a_result_that_was_pressed_is_no_reading() -> None:
    """Without a number there is nothing to put on the scale."""
    check = check_of("dryer", "element_ohms")
    pressed = Fact("m1", "result", "element_ohms", "good")
    assert not is_reading(check, pressed)
    assert on_bands(check, pressed, PLATE, Firm()) is None


def test_small_resistances_stand_without_the_leads() -> None:
    """0.7 Ω of a ground wire is 0.4 Ω and the leads: in words as read, on the scale as judged, and it says so."""
    check = check_of("dryer", "ground_bond")
    row = on_bands(check, read(check, 0.7), {}, Firm())
    assert row is not None and row.hit is not None
    assert (row.value, row.less_leads, row.hit.verdict) == ("0.7 Ω", "0.4 Ω", "good")
    assert row.at < row.hit.right < row.most, "the doubt reaches over the edge"
    cold = check_of("refrigerator", "room_temperature")
    frost = on_bands(cold, read(cold, -3.0, low=-5.0, high=-1.0), {}, Firm())
    assert frost is not None and frost.less_leads == "" and frost.least < frost.at < frost.most


def test_what_a_good_machine_shows_now_and_then_is_suspect() -> None:
    """Megohms to ground are neither right nor a verdict."""
    check = check_of("dryer", "element_to_case")
    assert [verdict(check, key) for key in ("clear", "high", "grounded")] == ["good", "suspect", "bad"]


def test_even_scales_and_scales_by_decades() -> None:
    """Volts stand evenly; ohms over decades by their logarithm."""
    check = check_of("top_load_washer", "outlet_voltage")
    row = on_bands(check, read(check, 84.0), {}, Firm())
    assert row is not None
    low = next(band for band in row.bands if band.hit)
    assert row.at == pytest.approx((low.left + low.right) / 2, abs=0.01), "84 V is midway between 60 V and 108 V"
    winding = check_of("dishwasher", "pump_winding")
    wide = on_bands(winding, read(winding, 34.9), {}, Firm())
    assert wide is not None
    good = next(band for band in wide.bands if band.hit)
    assert wide.at == pytest.approx((good.left + good.right) / 2, abs=0.02), "about the geometric mean of 4 and 300"


@settings(max_examples=300, deadline=None)
@given(which=st.sampled_from(METERED), number=st.floats(0, 2e7), wide=st.floats(0, 0.5))
def test_every_reading_of_every_check_can_be_drawn(which: tuple[str, str], number: float, wide: float) -> None:
    """Bands follow each other without a gap, all within the drawing; the mark or its doubt reaches into its band."""
    check = check_of(*which)
    fact = read(check, number, low=number * (1 - wide), high=number * (1 + wide))
    row = on_bands(check, fact, PLATE, Firm(temperature="F"))
    assert row is not None and row.hit is not None
    scale = [band for band in row.bands if not band.open]
    assert scale[0].left == 0
    assert all(one.right == two.left and one.left <= one.right for one, two in pairwise(scale))
    assert 0 <= row.least <= row.at <= row.most <= scale[-1].right <= 1
    if not row.hit.open:
        assert row.least <= row.hit.right and row.most >= row.hit.left
