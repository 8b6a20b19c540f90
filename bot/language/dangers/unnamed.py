"""A hazard that no word names: 'the drum gave me a bite'."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from bot.language.dangers.gas_joint import of_work_on_gas
from bot.language.dangers.hazards import Danger, harmless, of_a_meter, of_a_part, of_metal_alone
from bot.language.dangers.no_harm import cuts_a_part, of_a_leak_to_metal, of_the_ground, of_volts
from bot.language.dangers.sounds_like import of_a_fuel, of_a_valve, of_gas_turned
from bot.language.meaning import Hazard

DANGER: Final = 0.0
DANGER_ASKED: Final = 2.0
"""Learned log odds from which a message tells of a hazard that none of its words names, and while a check is open, when
it is more likely the answer. On 3,687 messages that were kept back, hazards were right in .988, from 1 on in .985."""
DANGER_ANSWERED: Final = 4.5
PLAIN_ANSWER: Final = 0.95
"""The first instead, where the words are so surely an answer to the open check; not so of fire, of which many a part
tells. Of 5,595 typed answers of nine people 12 were taken for a danger that no word names and that there was none of
('its got a display n touch buttons'), all of them from 2.0 to 4.1 and at least as surely an answer; of 1,002 true ones
322 lie below 4.5, and to any one check 1 in 50 of these is an answer from .9 on."""
DANGER_WORDS: Final = 5
"""'Gas one' says which machine it is."""
LEARNED_HAZARDS: Final[tuple[Hazard, ...]] = ("gas", "fire", "injury", "shock", "refrigerant", "flood")
"""Those told often enough to learn from."""


def learned_danger(heard: Mapping[str, float], least: float, words: Sequence[str]) -> list[Danger]:
    """The hazard that the message as a whole is most like, where no word names one: 'the drum gave me a bite'."""
    odds, hazard = max((heard[f"hazard:{h}"], h) for h in LEARNED_HAZARDS)
    no_shock = of_a_part(words) or of_a_meter(words) or of_metal_alone(words) or of_a_leak_to_metal(words)
    only = {"shock": no_shock or of_the_ground(words) or of_volts(words), "injury": cuts_a_part(words),
            "gas": of_a_fuel(words) or of_gas_turned(words) or of_work_on_gas(" ".join(words)),
            "flood": of_a_valve(words)}
    sounds_like = harmless(words) or only.get(hazard, False)
    return [] if odds < least or sounds_like else [Danger(hazard, 0, 0)]
