"""Which machine it is, told bit by bit."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

WASHERS = {"top_load_washer", "front_load_washer"}


@pytest.mark.parametrize("washer", ["washer", "washing machine", "its the washer"])
@pytest.mark.parametrize(("build", "family"), [
    ("top", "top_load_washer"), ("the front one", "front_load_washer"), ("top load", "top_load_washer")])
def test_a_washer_is_one_of_two(release, washer, build, family):
    """'Washer' leaves two, and 'top' is then the one that is top-load: what was told first is kept."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send("whirling noise")
    assert len(chat.job.question.values) == len(release.knowledge.packs)
    chat.send(washer)
    assert set(chat.job.question.values) == WASHERS
    assert "follow" not in chat.heard["rui"][-1].text
    chat.send(build)
    assert chat.job.family == family
    assert "noisy" in {fact.subject for fact in chat.job.standing("complaint")}


def test_a_trouble_told_with_the_name_is_kept(release):
    """Both are filed once it is clear which washer it is."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    for line in ("noise", "its a washer n it wont spin", "top load"):
        chat.send(line)
    assert {fact.subject for fact in chat.job.standing("complaint")} == {"noisy", "no_spin"}


@pytest.mark.parametrize("reading", ["118 volts there, not turning", "element 28 ohm", "fuse reads open"])
def test_a_reading_of_no_known_machine_asks_for_the_machine(release, reading):
    """Nothing is filed, and nothing breaks."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    for line in ("hey", reading):
        chat.send(line)
    assert chat.job.question.kind == "family"
    assert not chat.job.standing("result")
