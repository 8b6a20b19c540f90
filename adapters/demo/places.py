"""Invented addresses of the invented town of Millbrook, and photos drawn for its machines."""

from __future__ import annotations

import io
from random import Random
from typing import Final

from PIL import Image, ImageDraw, ImageFont

STREETS: Final = ("Hazel Lane", "Mill Road", "Weir Street", "Orchard Row", "Chapel Hill", "Station Road",
                  "Miller's Court", "Alder Way", "Bridge Street", "Lock Lane", "Quarry Road", "Spring Gardens")


def address(rng: Random) -> str:
    """'14 Hazel Lane'."""
    return f"{rng.randint(1, 98)} {rng.choice(STREETS)}"


def plate_photo(title: str, rng: Random) -> bytes:
    """A rating plate of no maker's: JPEG bytes."""
    image = Image.new("RGB", (960, 640), (92, 98, 102))
    draw = ImageDraw.Draw(image)
    draw.rounded_rectangle((80, 70, 880, 570), 18, fill=(214, 216, 212), outline=(60, 60, 60), width=4)
    serial = f"{rng.randint(10_000_000, 99_999_999)}"
    rows = (title.upper(), f"MODEL  HL-{rng.randint(100, 999)}", f"SERIAL  {serial}", "120/240 V~  60 Hz",
            f"{rng.choice((1200, 1800, 2400, 5400))} W", f"MADE {rng.randint(2012, 2024)}")
    for number, row in enumerate(rows):
        draw.text((120, 105 + 74 * number), row, fill=(30, 32, 34), font=ImageFont.load_default(size=44))
    for _ in range(400):
        x, y = rng.randint(80, 880), rng.randint(70, 570)
        draw.point((x, y), fill=(120, 112, 100))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80)
    return out.getvalue()
