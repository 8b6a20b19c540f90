"""How a message looks on Telegram: escaped by construction, cut where a reader pauses, buttons for gloves."""

from __future__ import annotations

import logging
import sys
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from adapters.shared.choices import press_data, read_press
from adapters.shared.splitting import joined, split, units
from adapters.telegram.account import Discreet
from adapters.telegram.rendering import TEXT_LIMIT, closed, html, keyboard, layout
from bot.conversation.markup import Span, plain
from bot.store.rows import Outgoing
from tests.peers.botapi import markup

STYLES = st.sampled_from(["plain", "bold", "typed"])
SPANS = st.builds(Span, st.text(max_size=60), STYLES)
PARAGRAPHS = st.lists(st.lists(SPANS, max_size=6).map(tuple), max_size=6).map(tuple)
ROW = Outgoing(row=1, key="k", kind="send", message="m", conversation="c", platform="telegram", account="1",
               address="5", person="p", paragraphs=((Span("Which one?"),),))


@given(PARAGRAPHS)
def test_html_reads_back_as_what_was_meant(paragraphs: tuple[tuple[Span, ...], ...]) -> None:
    """Whatever anybody typed, Telegram reads our HTML without complaint, and the words are the same."""
    words = joined(paragraphs)
    assert markup.read(html(words)) == plain(words)


@given(st.lists(SPANS, max_size=12).map(tuple), st.integers(min_value=2, max_value=50))
def test_parts_are_short_enough_and_hold_everything(message: tuple[Span, ...], limit: int) -> None:
    """No part is over the limit, none is empty, and only white space at the cuts is lost."""
    parts = split(message, limit)
    assert all(0 < units(plain(part)) <= limit for part in parts)
    assert "".join("".join(plain(part).split()) for part in parts) == "".join(plain(message).split())


@given(st.lists(st.sampled_from(["Belt", "slides", "on", "the", "pulley", "no", "grip", "at", "all"]), min_size=3,
                max_size=9).map(" ".join), st.integers(min_value=10, max_value=60))
def test_sentences_are_not_cut(sentence: str, count: int) -> None:
    """Short sentences stay whole, however many there are."""
    text = " ".join(f"{sentence}." for _ in range(count))
    for part in split((Span(text),), 300):
        assert plain(part).endswith(".")


def test_styles_survive_the_cut() -> None:
    """A bold run that is cut is bold on both sides."""
    first, second = split((Span("one two. ", "plain"), Span("three four. five six.", "bold")), 22)
    assert html(first) == "one two. <b>three four.</b>" and html(second) == "<b>five six.</b>"


def test_emoji_count_double() -> None:
    """Telegram counts in UTF-16 units: 3,000 faces are more than one message."""
    out = replace(ROW, paragraphs=((Span("😀" * 3000),),))
    assert all(units(plain(part.words)) <= TEXT_LIMIT for part in layout(out)) and len(layout(out)) == 2


def test_short_labels_share_a_row() -> None:
    """Two short ones beside each other, a long one alone: wide enough for a glove."""
    labels = ("Silent", "Hums", "Runs, but nothing moves", "Slow")
    board = keyboard(replace(ROW, question="a" * 20, choices=tuple((Span(label),) for label in labels)))
    assert board is not None
    assert [[b.text for b in row] for row in board.inline_keyboard] == [
        ["Silent", "Hums"], ["Runs, but nothing moves"], ["Slow"]]
    assert all(len(str(b.callback_data).encode()) <= 64 for row in board.inline_keyboard for b in row)


@given(st.text(max_size=80))
def test_only_our_own_data_is_a_press(data: str) -> None:
    """Anything else that comes back from a button is nothing."""
    read = read_press(data)
    assert read is None or press_data(*read) == data or data.rpartition(":")[2].startswith("0")


def test_a_question_that_was_withdrawn_says_so() -> None:
    """And one that was passed over just loses its buttons."""
    part = layout(ROW)[-1]
    withdrawn = closed(replace(ROW, kind="alter", closed="withdrawn"), part)
    assert withdrawn is not None and plain(withdrawn) == "Which one?\n\n→ Taken back."
    assert closed(replace(ROW, kind="alter", closed="passed"), part) is None


def test_tokens_do_not_reach_the_log() -> None:
    """Web addresses of the Bot API hold the token, in messages and in tracebacks alike."""
    token = "123456:AAbbccddeeffgghhiijj"
    record = logging.LogRecord("httpx", logging.INFO, "f", 1, "POST %s", (f"http://x/bot{token}/getMe",), None)
    assert Discreet().filter(record) and token not in record.getMessage()
    try:
        raise ValueError(f"the token {token} was rejected")
    except ValueError:
        record = logging.LogRecord("telegram", logging.ERROR, "f", 1, "failed", None, sys.exc_info())
    assert Discreet().filter(record)
    assert token not in logging.Formatter().format(record)


def test_what_people_wrote_does_not_reach_the_log() -> None:
    """The library quotes an answer that it cannot read: that is somebody's message."""
    record = logging.LogRecord("telegram.Bot", logging.CRITICAL, "f", 1, "Received data was %r", ("14 Hazel Lane",),
                               None)
    assert Discreet().filter(record) and "Hazel" not in logging.Formatter().format(record)
