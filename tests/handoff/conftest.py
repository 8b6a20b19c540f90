"""Rui, a junior, and Marta, his senior, in a chat each."""

import pytest

from bot.conversation.firm import Person
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

MARTA = Person("marta", "Marta", "senior", signoffs=frozenset({"live", "gas", "refrigerant", "lifting"}))


@pytest.fixture
def rui_and_marta(release):
    """A crew of two; Rui's sign-offs are named."""

    def make(*signoffs):
        return Chat(release, Person("rui", "Rui", phone="555-0101", signoffs=frozenset(signoffs)), FIRM, crew=(MARTA,))

    return make


@pytest.fixture
def told():
    """All that a person was told in a chat, a line each."""
    return lambda crew, person: "\n".join(said.text for said in crew.heard.get(person, []))
