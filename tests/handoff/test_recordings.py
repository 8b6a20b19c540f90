"""Voice notes and videos while a senior holds the case."""

from bot.conversation.effects import Say
from bot.conversation.firm import Person
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

MARTA = Person("marta", "Marta", "senior")


def test_recordings_go_both_ways(release):
    """The junior's reaches the senior and the senior's the junior, each as it was kept; one that was not is told."""
    chat = Chat(release, Person("rui", "Rui"), FIRM, crew=(MARTA,))
    for words in ("toploader belt drive wont spin", "1", "senior"):
        chat.send(words)
    chat.press(1, who="marta")
    chat.other("voice", kept="a" * 64)
    chat.other("video", kept="b" * 64, who="marta")
    chat.other("voice")
    passed = [e for e in chat.effects if isinstance(e, Say) and e.texts and e.texts[0].key.startswith("relay.")]
    assert [(say.to, say.photos) for say in passed] == [("marta", ("a" * 64,)), ("rui", ("b" * 64,)), ("marta", ())]
    assert "Rui sent something I can't pass on from here (voice)." in chat.heard["marta"][-1].text
