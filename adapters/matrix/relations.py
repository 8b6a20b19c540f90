"""What the content of an event says about itself and about others: plain functions on its JSON."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from bot.conversation.markup import Paragraph, plain
from bot.conversation.questions.choosing import choose

Content = Mapping[str, Any]
_QUOTE: Final = re.compile(r"\A(?:> [^\n]*\n)+\n?")
_DECORATION: Final = re.compile("[\N{VARIATION SELECTOR-16}\N{COMBINING ENCLOSING KEYCAP}\U0001F3FB-\U0001F3FF]")
_SIGNS: Final = {"\N{KEYCAP TEN}": "10", "\N{THUMBS UP SIGN}": "yes", "\N{WHITE HEAVY CHECK MARK}": "yes",
                 "\N{HEAVY CHECK MARK}": "yes", "\N{OK HAND SIGN}": "yes", "\N{THUMBS DOWN SIGN}": "no",
                 "\N{CROSS MARK}": "no", "\N{HEAVY MULTIPLICATION X}": "no"}
"""Reactions that stand for a word."""


def text(content: Content) -> str:
    """The words of a message, without the quotation that older clients put above a reply."""
    body = _string(content.get("body"))
    return _QUOTE.sub("", body) if replied(content) is not None else body


def caption(content: Content) -> str:
    """The words that came with a file; its name is none of them."""
    name = _string(content.get("filename"))
    return text(content) if name and name != content.get("body") else ""


def replaced(content: Content) -> tuple[str, Content] | None:
    """The event that this one is a new version of, and the new content."""
    relation = _relation(content)
    new = content.get("m.new_content")
    if relation.get("rel_type") != "m.replace" or not isinstance(new, Mapping):
        return None
    target = _string(relation.get("event_id"))
    return (target, new) if target else None


def replied(content: Content) -> str | None:
    """The event that this one answers: in so many words, or as part of the thread below it."""
    relation = _relation(content)
    answer = relation.get("m.in_reply_to")
    target = _string(answer.get("event_id")) if isinstance(answer, Mapping) else ""
    if relation.get("rel_type") == "m.thread" and (relation.get("is_falling_back") or not target):
        target = _string(relation.get("event_id"))
    return target or None


def reaction(content: Content) -> tuple[str, str] | None:
    """The event that was reacted to, and with what."""
    relation = _relation(content)
    target, key = _string(relation.get("event_id")), _string(relation.get("key"))
    return (target, key) if relation.get("rel_type") == "m.annotation" and target and key else None


def choice_of(key: str, choices: Sequence[tuple[str, Paragraph]], language: str = "en") -> int | None:
    """The choice (from 1) that a reaction means: a number, a word, or a sign for yes or no."""
    bare = _DECORATION.sub("", key).strip()
    values = [value for value, _ in choices]
    chosen = choose(_SIGNS.get(bare, bare), values, {value: plain(label) for value, label in choices}, language)
    return values.index(chosen) + 1 if chosen is not None else None


def mentions(content: Content, user: str) -> bool:
    """Whether a message is addressed to that user."""
    mentioned = content.get("m.mentions")
    users = mentioned.get("user_ids") if isinstance(mentioned, Mapping) else None
    return isinstance(users, list) and user in users


def _relation(content: Content) -> Mapping[str, Any]:
    relation = content.get("m.relates_to")
    return relation if isinstance(relation, Mapping) else {}


def _string(value: object) -> str:
    return value if isinstance(value, str) else ""
