"""Messages of both sides: words, what was asked, under which ids the platform knows them."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Final

from pydantic import TypeAdapter

from bot.conversation.effects import Text
from bot.conversation.events import (
    Due,
    Edited,
    Event,
    Other,
    PhotoSent,
    Pressed,
    Redacted,
    Typed,
    Undelivered,
)
from bot.conversation.markup import Paragraph, Span, plain
from bot.store.rows import Choices, Open, Rendered, Target
from bot.store.stamps import instant, stamp

_PARAGRAPHS: Final[TypeAdapter[tuple[Paragraph, ...]]] = TypeAdapter(tuple[Paragraph, ...])
_PARAGRAPH: Final[TypeAdapter[Paragraph]] = TypeAdapter(Paragraph)
_TEXTS: Final[TypeAdapter[tuple[Text, ...]]] = TypeAdapter(tuple[Text, ...])
_LABELS: Final[TypeAdapter[tuple[tuple[str, Paragraph], ...]]] = TypeAdapter(tuple[tuple[str, Paragraph], ...])
FORGOTTEN: Final = "(a code: forgotten once it was delivered)"


def add_incoming(conn: sqlite3.Connection, event: Event, platform_ids: Sequence[str]) -> None:
    """Keep a person's message, or what they changed of an earlier one."""
    match event:
        case Edited():
            conn.execute("UPDATE messages SET plain = ? WHERE id = ? AND direction = 'in'", (event.text, event.target))
        case Redacted():
            conn.execute("UPDATE messages SET plain = '' WHERE id = ? AND direction = 'in'", (event.target,))
        case Typed() | PhotoSent() | Other() if event.message is not None:
            _add_words(conn, event, event.message)
            link(conn, event.conversation, event.message, platform_ids)
        case _:
            pass


def _add_words(conn: sqlite3.Connection, event: Typed | PhotoSent | Other, message: str) -> None:
    words = event.text if isinstance(event, Typed) else event.caption
    photos: tuple[str, ...] = ()
    if isinstance(event, PhotoSent):
        photos = tuple(p.sha256 for p in event.photos if p.sha256)
    elif isinstance(event, Other) and event.kept:
        photos = (event.kept,)
    conn.execute(
        "INSERT INTO messages (id, conversation, person, direction, event, at, plain, reply_to, photos)"
        " VALUES (?, ?, ?, 'in', ?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING",
        (message, event.conversation, event.person, event.id, stamp(event.at), words,
         None if isinstance(event, Other) else event.reply_to, json.dumps(photos) if photos else None))
    use_photos(conn, message, photos)


def belong(conn: sqlite3.Connection, messages: Iterable[str], job: str) -> None:
    """These messages of a person's were about that job."""
    conn.executemany("UPDATE messages SET job = ? WHERE id = ? AND direction = 'in'",
                     [(job, message) for message in messages])


def use_photos(conn: sqlite3.Connection, message: str, photos: Iterable[str]) -> None:
    """Count the message among the users of its photos."""
    conn.executemany("INSERT INTO photo_uses (sha256, message) VALUES (?, ?) ON CONFLICT DO NOTHING",
                     [(photo, message) for photo in photos])


def add_outgoing(conn: sqlite3.Connection, out: Rendered, conversation: str | None, event: str, now: datetime) -> None:
    """Keep a message of ours, as key and parameters and as rendered. Without a conversation it reaches nobody."""
    say = out.say
    labels = tuple((choice.value, label) for choice, label in zip(say.choices, out.labels, strict=True))
    conn.execute(
        "INSERT INTO messages (id, conversation, person, direction, event, job, at, plain, texts, rendered, question,"
        " choices, reply_to, photos, urgent, forget) VALUES (?, ?, ?, 'out', ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (say.id, conversation or "", say.to, event, say.job, stamp(now), "\n".join(map(plain, out.paragraphs)),
         _TEXTS.dump_json(say.texts).decode(), dump_paragraphs(out.paragraphs), say.question,
         _LABELS.dump_json(labels).decode() if labels else None, say.reply_to,
         json.dumps(say.photos) if say.photos else None, int(say.urgent), int(say.forget)))
    if say.photos:
        use_photos(conn, say.id, say.photos)


def close_choices(conn: sqlite3.Connection, message: str, closed: str, answer: Paragraph | None) -> None:
    """Mark a message's question as closed."""
    conn.execute("UPDATE messages SET closed = ?, answer = ? WHERE id = ?", (closed, dump_paragraph(answer), message))


def forget(conn: sqlite3.Connection, message: str) -> None:
    """Overwrite the words of a message that holds a code: it is where it was meant to go."""
    conn.execute("UPDATE messages SET plain = ?2, texts = '[]', rendered = ?3 WHERE id = ?1 AND forget = 1",
                 (message, FORGOTTEN, dump_paragraphs(((Span(FORGOTTEN),),))))


def link(conn: sqlite3.Connection, conversation: str, message: str, platform_ids: Sequence[str]) -> None:
    """Under these ids the platform knows the message, in order."""
    conn.executemany("INSERT INTO message_ids (conversation, platform_id, message, part) VALUES (?, ?, ?, ?)"
                     " ON CONFLICT DO UPDATE SET message = excluded.message, part = excluded.part",
                     [(conversation, platform_id, message, part) for part, platform_id in enumerate(platform_ids)])


def our_id(conn: sqlite3.Connection, conversation: str, platform_id: str) -> str | None:
    """Our id of a message that the platform knows as `platform_id`."""
    row = conn.execute("SELECT message FROM message_ids WHERE conversation = ? AND platform_id = ?",
                       (conversation, platform_id)).fetchone()
    return row[0] if row else None


def platform_ids(conn: sqlite3.Connection, message: str) -> tuple[str, ...]:
    """The platform's ids of a message of either side, in order."""
    rows = conn.execute("SELECT platform_id FROM message_ids WHERE message = ? ORDER BY part", (message,))
    return tuple(platform_id for (platform_id,) in rows)


def ids_in(conn: sqlite3.Connection, conversation: str, message: str) -> tuple[str, ...]:
    """The platform's ids of a message in that conversation, where it may stand as another one.

    What was passed on stands in two chats: as the person's own message, and as ours, which has its event.
    """
    here = conn.execute("SELECT conversation, job, event FROM messages WHERE id = ?", (message,)).fetchone()
    if here is None or here[0] == conversation:
        return platform_ids(conn, message)
    there = conn.execute("SELECT id FROM messages WHERE job = ? AND event = ? AND conversation = ?"
                         " ORDER BY direction = 'in' DESC, seq LIMIT 1", (*here[1:], conversation)).fetchone()
    return platform_ids(conn, there[0]) if there else ()


def target(conn: sqlite3.Connection, event: Event) -> Target:
    """What the event points at, as far as it is known here."""
    match event:
        case Pressed():
            row = conn.execute("SELECT id, job, question FROM messages WHERE question = ?",
                               (event.question,)).fetchone()
            return Target(*row) if row else Target(question=event.question)
        case Due():
            return Target(job=event.job)
        case Edited() | Redacted() | Undelivered():
            found = _pointed_at(conn, event.target)
            return Target(event.target, event.job, found.question) if isinstance(event, Undelivered) else found
        case Typed() | PhotoSent() if event.reply_to is not None:
            return _pointed_at(conn, event.reply_to)
        case Typed():
            return Target(offer=_offer(conn, event))
        case _:
            return Target()


def _offer(conn: sqlite3.Connection, event: Typed) -> tuple[str, str, int] | None:
    row = conn.execute(
        "SELECT m.job, m.question, json_array_length(m.choices) FROM messages m JOIN jobs j ON j.id = m.job"
        " WHERE m.conversation = ?1 AND m.question IS NOT NULL AND m.closed IS NULL"
        " AND CASE WHEN j.ended IS NULL THEN j.tech <> ?2"
        " ELSE j.question = m.question OR (m.choices IS NULL AND j.tech <> ?2) END"  # a senior's note may come late
        " ORDER BY m.seq DESC LIMIT 1", (event.conversation, event.person)).fetchone()
    return (str(row[0]), str(row[1]), int(row[2] or 0)) if row else None


def _pointed_at(conn: sqlite3.Connection, message: str) -> Target:
    row = conn.execute("SELECT job, question FROM messages WHERE id = ?", (message,)).fetchone()
    return Target(message, *row) if row else Target(message)


def open_questions(conn: sqlite3.Connection, conversation: str) -> tuple[Open, ...]:
    """Questions of a conversation that were delivered and are still their job's open one, oldest first.

    A question that belongs to no job ('which one?') counts while it is the desk's.
    """
    rows = conn.execute(
        "SELECT m.id, m.job, m.question, m.rendered, m.choices, m.at FROM messages m"
        " LEFT JOIN jobs j ON j.id = m.job LEFT JOIN desks d ON d.conversation = m.conversation"
        " WHERE m.conversation = ? AND m.question IS NOT NULL AND m.closed IS NULL AND CASE WHEN m.job IS NULL"
        "  THEN json_extract(d.state, '$.question') = m.question ELSE j.ended IS NULL AND j.question = m.question END"
        " AND NOT EXISTS (SELECT 1 FROM outbox o WHERE o.message = m.id AND o.kind = 'send' AND o.state = 'waiting')"
        " ORDER BY m.seq", (conversation,))
    return tuple(Open(message, job, question, load_paragraphs(rendered), load_labels(choices), instant(at))
                 for message, job, question, rendered, choices, at in rows)


def choices_of(conn: sqlite3.Connection, message: str) -> Choices | None:
    """The question and choices of a message of ours, whether it is still open or not."""
    row = conn.execute("SELECT question, choices FROM messages WHERE id = ? AND direction = 'out'"
                       " AND question IS NOT NULL AND choices IS NOT NULL", (message,)).fetchone()
    return Choices(row[0], _LABELS.validate_json(row[1])) if row else None


def dump_paragraphs(paragraphs: tuple[Paragraph, ...]) -> str:
    """Paragraphs as JSON."""
    return _PARAGRAPHS.dump_json(paragraphs).decode()


def load_paragraphs(text: str) -> tuple[Paragraph, ...]:
    """The paragraphs that `dump_paragraphs` wrote."""
    return _PARAGRAPHS.validate_json(text)


def paragraphs_said(texts: str | None, rendered: str | None) -> tuple[tuple[str, str], ...]:
    """Key and words of each paragraph of a message of ours; nothing of a person's message."""
    if not texts or not rendered:
        return ()
    return tuple((str(text["key"]), plain(paragraph))
                 for text, paragraph in zip(json.loads(texts), load_paragraphs(rendered), strict=False))


def dump_paragraph(paragraph: Paragraph | None) -> str | None:
    """A paragraph as JSON, if there is one."""
    return None if paragraph is None else _PARAGRAPH.dump_json(paragraph).decode()


def load_paragraph(text: str | None) -> Paragraph | None:
    """The paragraph that `dump_paragraph` wrote."""
    return None if text is None else _PARAGRAPH.validate_json(text)


def load_labels(text: str | None) -> tuple[Paragraph, ...]:
    """The labels of a message's choices, in order."""
    return () if text is None else tuple(label for _, label in _LABELS.validate_json(text))
