"""Gas that lit with a boom in somebody's face: the person first, then the room, then a senior."""

from __future__ import annotations

import pytest

from bot.conversation.release import Release
from bot.simulation.chat import Chat
from tests.conversation.test_told_beside import facts, visit


def said(chat: Chat) -> str:
    """All that the tech was shown."""
    return "\n".join(one.text for one in chat.heard["rui"])


@pytest.mark.parametrize("opening", [
    "gas dryer lit off with a boom an singed my arm", "dryer went boom lit my eyebrows",
    "gas range went whoosh n got my hair", "gas dryer blew back in my face when it lit",
    "oven woomphed and now my beard is singed"])
def test_a_burner_that_lights_in_a_face_is_a_hurt_first(release: Release, opening: str) -> None:
    """The burn is cooled, the room aired, and the visit is a senior's; nobody is asked what the heat is like."""
    chat = visit(release, opening)
    assert facts(chat, "danger") == {"injury": ""}
    assert "cool running water" in said(chat)
    assert "air the room" in said(chat)


@pytest.mark.parametrize("answer", ["eyebrows singed", "arm hairs are gone", "it flashed at me"])
def test_a_burn_told_in_passing_is_heard_at_any_question(release: Release, answer: str) -> None:
    """Told as a joke, at the question for something else."""
    chat = visit(release, "gas dryer no heat", answer)
    assert facts(chat, "danger") == {"injury": ""}
    assert "cool running water" in said(chat)


def test_a_cut_is_not_cooled(release: Release) -> None:
    """What goes for a burn is not said of a cut."""
    assert "running water" not in said(visit(release, "dishwasher door cut my finger open"))


@pytest.mark.parametrize("opening", [
    "gas dryer no flame, i had my face right at the hole", "gas dryer, it lit and i held my ear on it, rumbles",
    "dryer no heat, lint in my hair"])
def test_a_face_near_the_burner_is_no_hurt(release: Release, opening: str) -> None:
    """Looking through the sight hole burns nobody."""
    assert facts(visit(release, opening), "danger") == {}
