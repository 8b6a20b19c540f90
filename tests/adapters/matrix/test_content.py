"""What contents of events mean, and what ours look like: no network needed."""

from __future__ import annotations

import json
import re
import tomllib
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from adapters.matrix import relations, rendering
from bot.conversation.markup import Span, plain
from bot.service.config import read_config
from bot.store.rows import Outgoing

YES_NO = (("yes", (Span("Yes"),)), ("no", (Span("No"),)))
THREE = (("result:a/one", (Span("Clicks"),)), ("result:a/two", (Span("No click"),)), ("later", (Span("Later"),)))
JSON = st.recursive(st.none() | st.booleans() | st.integers() | st.text(max_size=8),
                    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(
                        st.sampled_from(["rel_type", "event_id", "key", "m.in_reply_to", "is_falling_back", "x"]),
                        inner, max_size=4), max_leaves=8)


@pytest.mark.parametrize(("key", "choice"), [
    ("1\N{VARIATION SELECTOR-16}\N{COMBINING ENCLOSING KEYCAP}", 1), ("2\N{COMBINING ENCLOSING KEYCAP}", 2), ("3", 3),
    ("clicks", 1), ("No click", 2), ("\N{HEAVY BLACK HEART}", None), ("\N{THUMBS UP SIGN}", None), ("4", None),
    ("\N{KEYCAP TEN}", None)])
def test_a_reaction_means_a_number_or_a_label(key: str, choice: int | None):
    """Keycaps, digits and words choose; anything else, and a number too many, does not."""
    assert relations.choice_of(key, THREE) == choice


@pytest.mark.parametrize(("key", "choice"), [
    ("\N{THUMBS UP SIGN}", 1), ("\N{THUMBS UP SIGN}\U0001F3FD", 1), ("\N{WHITE HEAVY CHECK MARK}", 1),
    ("\N{THUMBS DOWN SIGN}", 2), ("\N{CROSS MARK}", 2), ("nope", 2)])
def test_thumbs_mean_yes_and_no(key: str, choice: int):
    """Whatever the colour of the hand."""
    assert relations.choice_of(key, YES_NO) == choice


def test_a_thread_answers_its_root_unless_it_says_otherwise():
    """The fallback for clients without threads is no answer to the message it names."""
    fallback = {"m.relates_to": {"rel_type": "m.thread", "event_id": "$root", "is_falling_back": True,
                                 "m.in_reply_to": {"event_id": "$latest"}}}
    assert relations.replied(fallback) == "$root"
    meant = {"m.relates_to": {**fallback["m.relates_to"], "is_falling_back": False}}
    assert relations.replied(meant) == "$latest"
    assert relations.replied({"m.relates_to": {"m.in_reply_to": {"event_id": "$it"}}}) == "$it"


def test_a_quotation_above_a_reply_is_not_what_was_said():
    """Older clients repeat the message that they answer; a '>' of one's own stays."""
    content = {"body": "> <@bot:x> Motor silent?\n> 1. Yes\n\n2", "m.relates_to": {"m.in_reply_to": {"event_id": "$q"}}}
    assert relations.text(content) == "2"
    assert relations.text({"body": "> 5 ohm"}) == "> 5 ohm"


def test_a_files_name_is_no_caption():
    """Words beside a photo are those that are not its name."""
    assert relations.caption({"body": "IMG_1.jpg"}) == ""
    assert relations.caption({"body": "IMG_1.jpg", "filename": "IMG_1.jpg"}) == ""
    assert relations.caption({"body": "the belt", "filename": "IMG_1.jpg"}) == "the belt"


@given(st.dictionaries(st.sampled_from(["m.relates_to", "m.new_content", "body", "filename", "m.mentions"]), JSON))
def test_no_content_is_too_strange(content: dict[str, Any]):
    """Anyone can send anything: it reads as nothing, and raises nothing."""
    json.dumps(content)
    relations.text(content)
    relations.caption(content)
    relations.replaced(content)
    relations.replied(content)
    relations.reaction(content)
    relations.mentions(content, "@bot:x")


class _Text(HTMLParser):
    """The words of a page, and its tags."""

    def __init__(self) -> None:
        super().__init__()
        self.words = ""
        self.tags: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert attrs == []
        self.tags.add(tag)
        self.words += "\n" if tag == "br" else ""

    def handle_data(self, data: str) -> None:
        self.words += data


PARAGRAPHS = st.lists(st.lists(st.builds(Span, st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20),
                                         st.sampled_from(["plain", "bold", "typed"])), max_size=4).map(tuple),
                      max_size=3)


@given(PARAGRAPHS, PARAGRAPHS)
def test_nothing_in_a_message_becomes_markup(paragraphs: Any, choices: Any):
    """The two forms say the same, and only our own tags are in it."""
    content = rendering.message(paragraphs, choices)
    page = _Text()
    page.feed(content["formatted_body"])
    page.close()
    assert page.tags <= {"p", "ol", "li", "strong", "code", "br"}
    numbers = re.compile(r"^\d+\. ", re.MULTILINE)
    said = numbers.sub("", "".join(map(plain, [*paragraphs, *choices])))
    assert "".join(numbers.sub("", page.words).split()) == "".join(said.split())
    for number, choice in enumerate(choices, 1):
        assert f"{number}. {' '.join(plain(choice).split())}" in content["body"]


def test_a_closed_question_loses_its_choices_and_shows_the_answer():
    """The new version takes the place of the old one; what became of it stands below."""
    out = Outgoing(row=1, key="k", kind="alter", message="m", conversation="c", platform="matrix", account="@bot:x",
                   address="!r:x", person="p", paragraphs=((Span("Does it "), Span("click", "bold"), Span("?")),),
                   choices=((Span("Yes"),), (Span("No"),)), sent_as=("$q",), closed="answered", answer=(Span("Yes"),))
    content = rendering.closed(out)
    assert content["m.relates_to"] == {"rel_type": "m.replace", "event_id": "$q"}
    assert content["m.new_content"]["body"] == "Does it click?\n→ Yes"
    assert content["m.new_content"]["formatted_body"] == ("<p>Does it <strong>click</strong>?</p>"
                                                          "<p>→ <strong>Yes</strong></p>")
    assert content["body"].startswith("* ")


def test_the_guides_settings_are_settings():
    """What the README shows can be copied."""
    guide = (Path(__file__).parents[3] / "adapters" / "matrix" / "README.md").read_text(encoding="utf-8")
    examples = re.findall(r"```toml\n(.*?)```", guide, re.DOTALL)
    assert len(examples) == 3
    for example in examples:
        assert read_config(tomllib.loads(example)).matrix is not None
