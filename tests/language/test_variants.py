"""How the machine is built, as told, and not as guessed."""

import pytest

from bot.language.understand import understand


@pytest.mark.parametrize("text", [
    "top load. clothes are soaking wet every time my guess is belt",
    "top load washer. customer thinks the belt broke. basket does not spin",
    "front loader, customer says its a direct drive problem maybe, no spin",
    "top load washer wont agitate. electronic keys. is there a shift actuator",
    "top loader wont agitate, shift actuator no, none there"])
def test_a_guess_at_the_cause_a_question_or_a_no_leaves_the_build_open(release, text):
    """What nobody has seen is no build: a belt is not looked for on a machine that may have none."""
    assert not {"drive", "shifter"} & set(understand(release.index, text).variant)


@pytest.mark.parametrize(("text", "axis", "value"), [
    ("top loader belt drive, wont spin", "drive", "belt"),
    ("belt drive i think, top load washer, wont spin", "drive", "belt"),
    ("we have a gas dryer, no heat", "fuel", "gas"), ("dryer no heat, i think its gas", "fuel", "gas"),
    ("top loader, the belt snapped, no spin", "drive", "belt"),
    ("top loader wont agitate, it has a shift actuator", "shifter", "present")])
def test_what_was_seen_or_called_so_is_one(release, text, axis, value):
    """'Belt drive i think' is a word on the build; a belt that snapped was there."""
    assert understand(release.index, text).variant.get(axis) == value
