"""A group of seniors: jobs may be offered there, and taken by a button; the talk itself goes on in private.

A press in the group counts as a press by that person in their own chat. Words in a group are not for us, but one:
`/id` from a senior or owner is answered with the group's address, as the settings file needs it.
"""

from __future__ import annotations

import re
from typing import Final

from telegram import Message

from adapters.telegram.places import Place

_ASKS: Final = re.compile(r"^/id(@\w+)?\s*$")


def place_of(message: Message) -> Place:
    """The group, or the topic of it, where a message stands."""
    return Place(message.chat.id, message.message_thread_id if message.is_topic_message else None)


def asks_for_address(message: Message) -> bool:
    """Whether somebody wants to know the group's address."""
    return _ASKS.match(message.text or "") is not None


def answer_address(message: Message) -> str:
    """The line for the settings file."""
    return f'seniors_group = "{place_of(message).address}"'


def is_seniors(chat: int, group: str | None) -> bool:
    """Whether that chat is the group of the settings file."""
    return group is not None and Place.of(group).chat == chat
