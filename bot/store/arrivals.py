"""What a platform handed over that is no event yet: a photo to be fetched first, an album whose parts still come.

It is kept as the platform sent it, so that the platform may be told at once, and leaves when its event is accepted.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from datetime import datetime

from bot.store.rows import Arrival
from bot.store.stamps import stamp


def keep(conn: sqlite3.Connection, platform: str, account: str, arrivals: Sequence[Arrival], now: datetime) -> None:
    """Keep them in this order; one that is kept already stays where it is."""
    conn.executemany(
        "INSERT INTO arrivals (platform, account, key, lane, batch, payload, kept) VALUES (?, ?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (platform, account, key) DO NOTHING",
        [(platform, account, a.key, a.lane, a.batch, a.payload, stamp(now)) for a in arrivals])


def kept(conn: sqlite3.Connection, platform: str, account: str) -> tuple[Arrival, ...]:
    """All that wait, oldest first."""
    rows = conn.execute("SELECT key, lane, payload, batch, failure FROM arrivals WHERE platform = ? AND account = ?"
                        " ORDER BY seq", (platform, account))
    return tuple(Arrival(*row) for row in rows)


def drop(conn: sqlite3.Connection, platform: str, account: str, keys: Sequence[str]) -> None:
    """They are events now."""
    conn.executemany("DELETE FROM arrivals WHERE platform = ? AND account = ? AND key = ?",
                     [(platform, account, key) for key in keys])


def fail(conn: sqlite3.Connection, platform: str, account: str, keys: Sequence[str], failure: str) -> None:
    """They could not be made events of; they stay, for whoever looks into it."""
    conn.executemany("UPDATE arrivals SET failure = ? WHERE platform = ? AND account = ? AND key = ?",
                     [(failure, platform, account, key) for key in keys])
