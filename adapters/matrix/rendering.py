"""A message of ours as Matrix shows it: plain text, and beside it the same in the little HTML that all clients know.

Matrix has no buttons, so choices are numbered: a number, the words, or a reaction with the number answers.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any, Final

from adapters.shared.choices import closing
from bot.conversation.markup import Paragraph, plain
from bot.store.rows import Outgoing

_TAGS: Final = {"plain": "", "bold": "strong", "typed": "code"}


def message(paragraphs: Sequence[Paragraph], choices: Sequence[Paragraph] = (), *, reply_to: str | None = None
            ) -> dict[str, Any]:
    """The content of a new message."""
    content: dict[str, Any] = {
        "msgtype": "m.text", "body": _plain(paragraphs, choices), "format": "org.matrix.custom.html",
        "formatted_body": _html(paragraphs, choices)}
    if reply_to is not None:
        content["m.relates_to"] = {"m.in_reply_to": {"event_id": reply_to}}
    return content


def closed(out: Outgoing) -> dict[str, Any]:
    """The content that takes the place of a question: its choices are gone, what became of it stands below."""
    under = closing(out)
    new = message((*out.paragraphs, under) if under is not None else out.paragraphs)
    return {**new, "body": f"* {new['body']}", "formatted_body": f"* {new['formatted_body']}", "m.new_content": new,
            "m.relates_to": {"rel_type": "m.replace", "event_id": out.sent_as[0]}}


def _plain(paragraphs: Sequence[Paragraph], choices: Sequence[Paragraph]) -> str:
    numbered = [f"{number}. {_one_line(choice)}" for number, choice in enumerate(choices, 1)]
    return "\n".join([*(plain(paragraph) for paragraph in paragraphs), *numbered])


def _html(paragraphs: Sequence[Paragraph], choices: Sequence[Paragraph]) -> str:
    items = "".join(f"<li>{_spans(choice)}</li>" for choice in choices)
    return "".join(f"<p>{_spans(paragraph)}</p>" for paragraph in paragraphs) + (f"<ol>{items}</ol>" if items else "")


def _spans(paragraph: Paragraph) -> str:
    return "".join(_tagged(escape(span.text).replace("\n", "<br>"), _TAGS[span.style]) for span in paragraph)


def _tagged(text: str, tag: str) -> str:
    return f"<{tag}>{text}</{tag}>" if tag else text


def _one_line(paragraph: Paragraph) -> str:
    return " ".join(plain(paragraph).split())
