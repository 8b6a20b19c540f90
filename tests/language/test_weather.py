"""Lightning outside is no spark inside."""

from __future__ import annotations

import pytest

from bot.language import Index
from bot.language.complaints.weather import without_weather
from bot.language.understand import understand


@pytest.mark.parametrize("text", [
    "dryer dead, day after lightning", "fridge dead since the day after lightning", "dryer dead after lightening storm",
    "range clock blank, had lightning last night", "dishwasher dead, lightning struck the house on sunday",
    "front load washer dead after that bad lightning"])
def test_weather_raises_no_alarm(index: Index, text: str) -> None:
    """What came before the trouble is no fire, and no spark."""
    meaning = understand(index, text)
    assert meaning.hazard is None
    assert "sparks" not in {guess.id for guess in meaning.complaints}


@pytest.mark.parametrize("text", [
    "dryer sees lightning in the back when it starts", "range, little lightning behind the panel",
    "dryer makes lightning in the drum after a minute", "dryer dead after lightning, smoke comes out the back",
    "washer dead after the lightning in the back of it", "range, tiny lightning bolts jumping from the ring to the pan",
    "lightning bolts inside the back of the top loader whenever it spins", "dryer, theres lightning behind the drum",
    "lightning inside the top loader cabinet every time it starts"])
def test_lightning_in_the_machine_stays_an_alarm(index: Index, text: str) -> None:
    """Sparks that are called so, and smoke that follows a storm."""
    assert understand(index, text).hazard is not None


@pytest.mark.parametrize("text", ["no lights on", "lightning fast spin", "light is on in the storm door"])
def test_other_words_stay(text: str) -> None:
    """Only lightning that struck is blanked."""
    assert without_weather(text) == text
