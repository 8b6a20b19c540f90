"""The picture of readings: as PNG, and on its way out with the photos."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from bot.conversation.firm import Firm
from bot.conversation.job import Fact
from bot.conversation.picture import OnBands, Picture
from bot.conversation.questions.bands import on_bands
from bot.diagnosis.evidence import Seen
from bot.diagnosis.readings import judge
from bot.service import drawing
from bot.service.drawing import FILLS, ORDER, WIDTH, png
from bot.service.lettering import Lettering
from bot.service.opening import opened
from bot.service.service import Service
from knowledge.loader import load
from tests.service.crew import Clock, Screen, sit, tell, typed

SAID = ("good", "suspect", "bad", "give or take", "without leads")
DRYER = load(families=["dryer"]).knowledge.packs["dryer"]


def row(key: str, number: float | None) -> OnBands:
    """A reading of a dryer on its bands."""
    check = DRYER.checks[key]
    result = (next(k for k, r in check.results.items() if r.band and r.band.open) if number is None
              else judge(check, Seen(key, value=number), {}).result)
    drawn = on_bands(check, Fact("m1", "result", key, result, number), {}, Firm())
    assert drawn is not None
    return drawn


THREE = Picture((row("element_ohms", 34.0), row("thermal_fuse_ohms", 0.4), row("exhaust_temp", 45.0)))


def drawn(picture: Picture) -> Image.Image:
    """The picture, as a phone would open it."""
    return Image.open(io.BytesIO(png(picture, SAID)), formats=["PNG"]).convert("RGB")


def test_it_is_as_wide_as_a_phone_wants_and_as_long_as_its_rows() -> None:
    """900 pixels; every row adds the same; the same rows give the same bytes."""
    heights = [drawn(Picture(THREE.rows[:count])).size for count in (1, 2, 3)]
    assert {width for width, _ in heights} == {WIDTH}
    assert heights[0][1] < heights[1][1] < heights[2][1] < 900
    assert png(THREE, SAID) == png(Picture(THREE.rows), SAID)


def test_meanings_differ_without_colour() -> None:
    """In grey, the legend's boxes differ by pattern: solid, broad stripes, a finer net."""
    image = drawn(THREE)
    colours = [image.getpixel((x, 40)) for x in range(WIDTH)]
    left = [colours.index(FILLS[verdict]) for verdict in ORDER]
    grey = np.asarray(image.convert("L"), dtype=float)
    good, suspect, bad = (grey[24:56, x + 4:x + 56] for x in left)
    assert np.ptp(good) == 0
    assert min(np.ptp(suspect), np.ptp(bad)) > 60, "light and dark"
    assert {light_runs(line) for line in suspect} <= {2, 3, 4}, "broad stripes"
    assert max(light_runs(line) for line in bad) >= 5, "a finer net"


def light_runs(line: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> int:
    """How many light stretches a line of pixels has."""
    light = line > line.mean()
    return int(light[0]) + int((light[1:] & ~light[:-1]).sum())


def test_words_stay_within_the_picture() -> None:
    """A name too long for two lines is cut, so is a word longer than a line; letters that the font lacks go plain."""
    pen = Lettering(ImageDraw.Draw(Image.new("RGB", (1, 1))), 38)
    for name in ("heating element between the two terminals behind the lint duct on the left-hand side, lead off, cold",
                 "Donaudampfschifffahrtselektrizitätenhauptbetriebswerk", "датчик температуры", ""):
        lines = pen.lines(name, 500, 2)
        assert 1 <= len(lines) <= 2
        assert all(pen.width(line) <= 500 for line in lines)
        drawn(Picture((replace(THREE.rows[0], check=name),)))
    assert pen.width("µF") == pen.width("uF")
    assert pen.width("é") == pen.width("e")
    assert pen.width("10 Ω") > pen.width("10 ")


async def three_readings(service: Service, clock: Clock) -> tuple[Screen, Screen]:
    """Rui has no heat, Marta takes it and asks for three checks; then she looks at the case and passes it to Dana."""
    rui, _ = sit(service, "Rui", clock)
    marta, hers = sit(service, "Marta", clock, "senior")
    for who, words in (
            (rui, "electric dryer runs but no heat"), (rui, "senior"), (marta, "mine"),
            (marta, "ask heating element"), (rui, "10.9 ohm"), (marta, "ask thermal fuse"), (rui, "0.4 ohm"),
            (marta, "ask high limit and heater cut-off"), (rui, "OL"), (marta, "where")):
        await tell(service, typed(who, words, clock))
    _, danas = sit(service, "Dana", clock, "senior")
    await tell(service, typed(marta, "pass to Dana", clock))
    assert service.store.parked() == ()
    return hers, danas


async def test_it_goes_with_the_brief_like_a_photo(tmp_path: Path) -> None:
    """Both seniors have the picture with the case: one file in the store, for whatever platform they are on."""
    clock = Clock()
    with opened(tmp_path, Firm(), clock=clock) as service:
        hers, danas = await three_readings(service, clock)
        [case] = [row for row in hers.rows if row.photos]
        [offer] = [row for row in danas.rows if row.photos]
        assert case.photos == offer.photos and offer.choices
        seen = service.store.photo(case.photos[0])
        assert seen is not None and (seen.mime, seen.width) == ("image/png", WIDTH)
        with Image.open(service.store.photo_file(case.photos[0])) as picture:
            assert picture.size == (seen.width, seen.height)


async def test_a_brief_without_its_picture_is_better_than_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                                               caplog: pytest.LogCaptureFixture) -> None:
    """Drawing fails: the words go out, and the log says so."""
    def no_ink(*_: object) -> bytes:
        raise OSError("no font")

    monkeypatch.setattr(drawing, "png", no_ink)
    clock = Clock()
    with opened(tmp_path, Firm(), clock=clock) as service:
        _, danas = await three_readings(service, clock)
        assert [row.photos for row in danas.rows] == [()]
        assert "10.9 Ω" in danas.lines()[0]
    assert "could not be drawn" in caplog.text
