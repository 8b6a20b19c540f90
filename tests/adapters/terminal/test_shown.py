"""How a message looks, in plain lines and by hand, whatever stands in it."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from adapters.terminal.chat import write
from adapters.terminal.plain import lines
from bot.conversation.markup import Paragraph, Span

SPANS = st.lists(st.builds(Span, st.text(), st.sampled_from(["plain", "bold", "typed"])), max_size=3).map(tuple)
CONTROL = {chr(code) for code in (*range(32), *range(127, 160))} - {"\n"}


def by_hand(paragraphs: list[Paragraph], choices: list[Paragraph], width: int = 60, mark: str = "") -> list[str]:
    """The lines that a window of that width shows, without colours."""
    window = io.StringIO()
    write(Console(file=window, width=width, color_system=None), paragraphs, choices, mark)
    return window.getvalue().splitlines()


@given(st.lists(SPANS, max_size=3), st.lists(SPANS, max_size=3))
def test_every_plain_line_has_its_prefix_and_no_control_character(paragraphs: list[Paragraph],
                                                                  choices: list[Paragraph]) -> None:
    """Whatever a person typed and somebody else now reads."""
    shown = list(lines(paragraphs, choices))
    assert all(line.startswith("bot>") and not CONTROL & set(line) for line in shown)
    assert sum(line.startswith(f"bot>   {n}) ") for n in (1, 2, 3) for line in shown[-len(choices):]) >= len(choices)


@given(st.lists(SPANS, min_size=1, max_size=2))
def test_by_hand_no_control_character_passes(paragraphs: list[Paragraph]) -> None:
    """Nor is anything taken for markup of the library that draws it."""
    assert not CONTROL & set("".join(by_hand(paragraphs, [])))


def test_markup_in_typed_text_is_text() -> None:
    """Square brackets and backquotes come out as they are."""
    assert by_hand([(Span("[bold]5 ohm[/bold] `x`"),)], [])[0] == "bot [bold]5 ohm[/bold] `x`"


def test_choices_stand_in_one_row_if_they_fit() -> None:
    """Else one a line; a message that waited is marked."""
    two = [(Span("Silent"),), (Span("Hums"),)]
    assert by_hand([(Span("And the motor?"),)], two, mark="still open") == [
        "bot still open", "    And the motor?", "    1) Silent   2) Hums", ""]
    assert by_hand([(Span("And the motor?"),)], two, width=20)[1:3] == ["    1) Silent", "    2) Hums"]


@pytest.mark.parametrize("width", [24, 40, 80, 300])
def test_lines_fit_the_window(width: int) -> None:
    """And none is wider than can be read."""
    shown = by_hand([(Span("the belt slides on the motor pulley with no grip at all " * 8),)], [], width)
    assert max(map(len, shown)) <= min(width, 100)
