"""Finding messages by their words."""

from __future__ import annotations

import re
import sqlite3
from typing import Final

from bot.store.rows import Hit
from bot.store.stamps import instant

_WORD: Final = re.compile(r"\w+")
MOST_WORDS: Final = 20


def search(conn: sqlite3.Connection, words: str, limit: int = 50) -> tuple[Hit, ...]:
    """Messages that hold all the words (the last may be the beginning of one), best first; none for no words.

    Only words reach the index, each in quotes, so nothing that is typed can be read as its query syntax.
    """
    tokens = _WORD.findall(words.replace("_", " "))[:MOST_WORDS]
    if not tokens:
        return ()
    query = " ".join(f'"{token}"' for token in tokens) + "*"
    rows = conn.execute(
        "SELECT m.id, m.conversation, m.job, m.at, snippet(messages_fts, 0, '', '', ' … ', 24)"
        " FROM messages_fts JOIN messages m ON m.seq = messages_fts.rowid"
        " WHERE messages_fts MATCH ? ORDER BY rank, m.seq DESC LIMIT ?", (query, limit))
    return tuple(Hit(message, conversation, job, instant(at), snippet)
                 for message, conversation, job, at, snippet in rows)
