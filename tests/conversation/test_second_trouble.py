"""A second trouble told with the first is taken up once the first is cured, and never lost at the closing."""

from __future__ import annotations

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

TRIPS_AND_DRAINS = "front load trips the rcd ten minutes into the wash and also its slow to drain"


def mended(release: Release, opening: str, repair: str) -> Chat:
    """A visit at its proof: whoever decides here has this repair made first, and then asks for the pump."""

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        option = Option("check", "pump_sound", 0.0, 0.0) if proving else Option("repair", repair, 0.0, 0.0)
        return Decision(option, (option,))

    proving: list[bool] = []
    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send(opening)
    while chat.job.question.kind == "check":
        chat.send("skip")
    for text in ("got one", "yes", "done"):
        chat.send(text)
    proving.append(True)
    assert chat.job.phase is Phase.PROOF
    return chat


def complaints(chat: Chat) -> set[str]:
    """What is complained of now."""
    return {fact.subject for fact in chat.job.standing("complaint")}


def test_the_first_cured_the_second_is_next(release):
    """'Doesn't trip now but it's still slow draining' closes nothing."""
    chat = mended(release, TRIPS_AND_DRAINS, "replace_heater")
    chat.send("doesnt trip now but its still slow draining")
    assert chat.job.phase is Phase.CHECKS
    assert complaints(chat) == {"no_drain"}


def test_it_works_is_said_of_the_first(release):
    """What was told second comes up by itself."""
    chat = mended(release, TRIPS_AND_DRAINS, "replace_heater")
    chat.send("works")
    assert chat.job.phase is Phase.CHECKS
    assert complaints(chat) == {"no_drain"}


def test_where_only_the_second_is_told_the_first_is_asked_once_more(release):
    """'Still slow draining' says nothing of the heater."""
    chat = mended(release, TRIPS_AND_DRAINS, "replace_heater")
    said = chat.send("still slow draining")
    assert chat.job.phase is Phase.PROOF
    assert "trips the breaker" in str(said)
    chat.send("works")
    assert complaints(chat) == {"no_drain"}


def test_what_the_repair_cannot_have_cured_is_asked_for_before_the_closing(release):
    """Both were heard at once, and 'works' may be said of one of them."""
    chat = mended(release, "front load washer wont drain, leaks at the door", "door_gasket.torn_or_fouled")
    assert complaints(chat) == {"no_drain", "leaks"}
    said = chat.send("works")
    assert chat.job.phase is Phase.PROOF
    assert "Gone too?" in str(said)
    chat.send("still the same")
    assert complaints(chat) == {"no_drain"}
