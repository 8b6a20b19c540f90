"""What most stories need: the knowledge release, compiled once, and a chat with the whole core."""

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, settings

from bot.conversation.firm import Person
from bot.conversation.release import Release, compile_release
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM
from knowledge.loader import load

settings.register_profile("chargehand", suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("chargehand")  # how fast inputs are made is the machine's affair, and it is busy with other tests


@pytest.fixture(scope="session")
def release() -> Release:
    """The packs that come with the program."""
    return compile_release("tests", load().knowledge)


@pytest.fixture
def chat_of(release: Release) -> Callable[..., Chat]:
    """A new chat of Rui, with the sign-offs that are named."""

    def make(*signoffs: str) -> Chat:
        return Chat(release, Person("rui", "Rui", signoffs=frozenset(signoffs)), FIRM)  # type: ignore[arg-type]

    return make
