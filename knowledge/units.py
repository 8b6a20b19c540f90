"""Units in packs: '1.2 kohm' as an author writes it, to the number a pack keeps."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from pint import UnitRegistry

_NUMBER: Final = re.compile(r"(?P<number>[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?)\s*(?P<unit>[a-zµΩ°]*)", re.IGNORECASE)
DEFINITIONS = """
kilo- = 1e3 = k-
mega- = 1e6 = M-
milli- = 1e-3 = m-
micro- = 1e-6 = µ- = u-
ohm = [resistance] = Ω
volt = [voltage] = V
ampere = [current] = A = amp
microfarad = [capacitance] = uF = µF = mfd
watt = [power] = W
second = [time] = s
minute = 60 * second = min
hour = 60 * minute = h
rpm = [turning]
celsius = [temperature] = degC = °C
fahrenheit = 5/9 * celsius; offset: -160/9 = degF = °F
""".strip().splitlines()


@cache
def registry() -> UnitRegistry[Any]:
    """The few units of the trade. Built from our own definitions: the full registry takes half a second."""
    from pint import UnitRegistry  # noqa: PLC0415  imported when first needed, it is slow

    return UnitRegistry(DEFINITIONS, autoconvert_offset_to_baseunit=True)


def si_value(value: object) -> object:
    """A number as it is; text such as '1.2 kohm' or '45 min' as a number in base units.

    Raises ValueError with what to write instead.
    """
    if not isinstance(value, str):
        return value
    refused = f"'{value}' is no number with a unit: write e.g. 1200 or '1.2 kohm'"
    found = _NUMBER.fullmatch(value.strip())
    if found is None:
        raise ValueError(refused)
    number, unit = float(found["number"]), found["unit"]
    if not unit:
        return number
    try:
        return float(registry().Quantity(number, unit).to_base_units().magnitude)
    except Exception as error:  # pint raises half a dozen kinds, with no common base
        raise ValueError(refused) from error
