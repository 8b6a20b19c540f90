# ruff: noqa: E501  tables
"""Wording: every key that is used exists, every key that exists is used, and it sounds like us."""

import re
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.effects import Text
from bot.conversation.firm import Firm
from bot.conversation.job import Outcome
from bot.conversation.markup import Span, fill, localised, plain
from bot.conversation.wording import en, render
from bot.conversation.wording.amounts import chance, minutes, price, reading
from bot.service.drawing import WORDS

BOT = Path(__file__).parents[2] / "bot"
BUILT = ("choice.", "ask.", "hazard.", "handoff.", "photo.", "other.", "small.", "end.", "quantity.", "power.",
         "finding.trade.", "offer.reason.", "callback.", "held.", "picture.",
         "role.", "signoff.", "brief.danger.", "senior.not_cleared.")
"""Prefixes of keys that are put together from a value; their members are tested one by one."""


def source() -> str:
    """All of the core's code but the wording itself."""
    return "\n".join(f.read_text(encoding="utf-8") for f in BOT.rglob("*.py") if f.name not in {"en.py", "en_crew.py"})


def test_every_key_in_the_code_has_a_sentence():
    """No message can fail for want of words."""
    used = set(re.findall(r'(?:note|Text)\(\s*"([a-z_]+\.[a-z_.]+)"', source()))
    assert len(used) > 60
    assert used - set(en.TEXTS) == set()


def test_every_sentence_is_used():
    """A sentence nobody says is deleted."""
    code = source()
    idle = [key for key in en.TEXTS if f'"{key}"' not in code and not key.startswith(BUILT)]
    assert idle == []


def test_every_word_in_a_picture_has_its_text():
    """The picture of the readings and its legend need all of them."""
    assert {f"picture.{word}" for word in WORDS} == {key for key in en.TEXTS if key.startswith("picture.")}


def test_every_outcome_has_its_last_word():
    """However a visit ends, the tech hears how it was closed."""
    assert {f"end.{outcome}" for outcome in Outcome} <= set(en.TEXTS)


def test_it_sounds_like_a_lead_hand():
    """No exclamation marks, no please, no robot cheer."""
    for key, sentence in en.TEXTS.items():
        assert "!" not in sentence, key
        assert not re.search(r"\b(please|great|awesome|happy to|I'd be glad|unfortunately|apologi[sz]e)\b", sentence, re.I), key


@given(st.text(max_size=80))
def test_what_a_person_typed_never_becomes_markup(typed):
    """A parameter full of stars, ticks and braces stays plain text."""
    spans = fill("**{a}** said `x`", lambda _: typed)
    assert plain(spans) == f"{typed} said x"
    assert all(s.style in {"bold", "plain", "typed"} for s in spans)


def test_the_firms_own_words_replace_ours():
    """A firm that says socket reads socket, with the case kept, and only whole words change."""
    shown = localised((Span("Outlet dead? Outlets near the outlet."),), {"outlet": "socket"})
    assert plain(shown) == "Socket dead? Outlets near the socket."


def test_chances_are_said_as_on_the_phone():
    """Words for probabilities, from certain to a long shot."""
    assert [chance(p) for p in (0.99, 0.8, 0.5, 0.1, 0.04, 0.001)] == [
        "as good as certain", "about 8 in 10", "a coin toss", "1 in 10", "1 in 20", "a long shot"]


def test_readings_carry_their_unit():
    """Ohms go to kilo, temperatures to what the firm uses, times to minutes."""
    metric = Firm(temperature="C")
    assert reading(5.2, "ohm", Firm()) == "5.2 Ω"
    assert reading(9000, "ohm", Firm()) == "9 kΩ"
    assert reading(0.0, "celsius", Firm()) == "32 °F"
    assert reading(4.0, "celsius", metric) == "4 °C"
    assert reading(2700, "minutes", Firm()) == "45 min"
    assert reading(241, "volt_ac", Firm()) == "241 V"


def test_minutes_and_prices_are_rounded_as_people_do():
    """Nobody says 23.4 minutes."""
    assert [minutes(m) for m in (1, 4, 23, 118, 150)] == ["a minute", "4 minutes", "25 minutes", "120 minutes", "2.5 hours"]
    assert price("medium", Firm(currency="EUR")) == "30 to 120 EUR for the part"


def test_a_text_in_a_text_is_rendered_in_place():
    """Lists and nested texts come out as one sentence."""
    text = Text("echo.said", {"said": ["spins", Text("echo.cannot", {"what": "meter"})]})
    assert plain(render(text, Firm())) == "Noted: spins, no meter."
