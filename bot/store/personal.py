"""Where names, phone numbers, addresses and typed text may stand: in these columns and nowhere else.

Erasure works through this list (and the photos' files, counted by `photo_uses`); everything else holds opaque ids,
numbers, instants and words of our own. A test holds the list against the schema: a new column must be put on one
side or the other.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

PERSONAL: Final[Mapping[str, Mapping[str, str]]] = {
    "persons": {"name": "what the crew calls them", "phone": "where they can be rung"},
    "identities": {"user": "their account on the platform, on some a phone number"},
    "invites": {"name": "who was invited"},
    "conversations": {"address": "the platform's id of the chat"},
    "audit": {"data": "what was done to whom; ids, roles, and whatever a later act needs"},
    "inbox": {"event": "what they typed, as it came", "understood": "the words that led to a meaning",
              "failure": "where an event failed; no values, but a mistake could put some there"},
    "sites": {"key": "the address, for finding it again", "name": "the address or work order, as typed"},
    "jobs": {"label": "how the job is named, often by its address", "state": "all that was told, in words and numbers"},
    "desks": {"state": "a message that waits to know its job"},
    "traces": {"data": "what was understood, word by word"},
    "records": {"data": "labels, some with words of the tech's"},
    "offers": {"reason": "why a senior is wanted"},
    "messages": {"plain": "the words of both sides", "texts": "parameters, some typed", "rendered": "as it was shown",
                 "choices": "labels, some with addresses", "answer": "the choice taken"},
    "messages_fts": {"plain": "the index of all words"},
    "messages_words": {"term": "a look into that index"},
    "notes": {"note": "what the owner wrote to a visit"},
    "firm_notes": {"note": "what a senior wrote for the next tech with a fault"},
    "wordings": {"phrase": "words that were added to the firm's own pack"},
    "outbox": {"answer": "the choice taken", "reason": "what the platform said when it refused"},
    "arrivals": {"lane": "the platform's id of the chat", "payload": "what they sent, as it came"},
    "timers": {"data": "what the job wants to be reminded of"},
}
"""Table -> column -> what of a person may stand there."""

IMPERSONAL: Final[Mapping[str, tuple[str, ...]]] = {
    "persons": ("id", "role", "language", "timezone", "on_duty", "conversation", "created", "removed", "hours",
                "off_until", "on_until"),
    "signoffs": ("person", "what", "granted"),
    "identities": ("id", "platform", "account", "person", "created"),
    "invites": ("id", "code_hash", "role", "created", "expires", "used", "person", "links"),
    "conversations": ("id", "platform", "account", "person", "created"),
    "audit": ("seq", "at", "person", "what"),
    "settings": ("key", "value"),
    "inbox": ("seq", "id", "conversation", "person", "kind", "at", "accepted", "state", "attempts", "claims",
              "lease_owner", "lease_until", "handled", "job", "timer"),
    "sites": ("id",),
    "jobs": ("id", "version", "release", "family", "phase", "tech", "conversation", "handed_to", "outcome", "question",
             "site", "opened", "touched", "ended"),
    "desks": ("conversation", "version", "focus"),
    "traces": ("event", "step", "job", "what", "at"),
    "records": ("id", "job", "person", "what", "at", "event"),
    "offers": ("id", "job", "people", "urgent", "at", "event"),
    "messages": ("seq", "id", "conversation", "person", "direction", "event", "job", "at", "question", "reply_to",
                 "photos", "urgent", "closed", "forget"),
    "message_ids": ("conversation", "platform_id", "message", "part"),
    "outbox": ("seq", "key", "kind", "message", "conversation", "closed", "created", "state", "attempts", "failures",
               "not_before", "lease_owner", "lease_until", "finished", "held_until"),
    "arrivals": ("seq", "platform", "account", "key", "batch", "kept", "failure"),
    "timers": ("id", "job", "person", "conversation", "at", "name", "set_by"),
    "releases": ("id", "created", "families"),
    "photos": ("sha256", "mime", "bytes", "width", "height", "brightness", "sharpness", "kept"),
    "photo_uses": ("sha256", "message"),
    "logins": ("key_hash", "person", "created", "expires", "used"),
    "sessions": ("key_hash", "person", "created", "expires"),
    "marks": ("job", "message", "mark", "person", "at"),
    "notes": ("id", "job", "message", "person", "at"),
    "firm_notes": ("number", "id", "family", "fault", "person", "job", "at", "retired"),
    "wordings": ("id", "family", "meaning", "language", "person", "at", "undone"),
    "messages_words": ("doc", "cnt"),
    "visits": ("job", "finding", "finding_p", "found", "proved", "repair", "verdict", "failed", "ordered", "unsafe",
               "hazard", "offered", "taken_by", "misses", "marked_wrong"),
    "job_seniors": ("job", "person"),
    "learned": ("number", "data", "person", "at", "undone"),
}
"""Table -> columns that never hold anything of a person's but opaque ids."""
