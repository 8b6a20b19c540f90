"""One transaction for all that one event changes."""

from __future__ import annotations

import sqlite3
from datetime import datetime

from bot.conversation.effects import (
    Alter,
    Audit,
    CancelTimer,
    CrewChange,
    Effect,
    Invite,
    KeepNote,
    Offer,
    Post,
    Record,
    Remove,
    RetireNote,
    Say,
    SetDuty,
    SetReach,
    SetTimer,
    SignOff,
    Trace,
    Uninvite,
)
from bot.store import firm_notes, inbox, jobs, messages, outbox, people, timers
from bot.store.rows import Claimed, Commit


def write(conn: sqlite3.Connection, commit: Commit, owner: str) -> Claimed | None:
    """Write it all, or raise (LeaseLostError, ConflictError) and write nothing. Returns the next claimed event."""
    inbox.held(conn, commit.claimed, owner)
    for desk in sorted(commit.desks, key=lambda desk: desk.conversation):
        jobs.put_desk(conn, desk)
    if commit.job is not None:
        jobs.put_job(conn, commit.job, commit.label, commit.site, commit.now)
    rendered = {message.say.id: message for message in commit.messages_out}
    for step, effect in enumerate(commit.effects):
        if isinstance(effect, Say):
            outbox.send(conn, rendered[effect.id], commit.claimed.event.id, commit.now)
        else:
            _carry_out(conn, effect, commit, step)
    job = commit.job.id if commit.job else None
    inbox.handled(conn, commit.claimed, job, _understood(commit.effects), commit.now)
    if job is not None:
        messages.belong(conn, commit.messages_in, job)
    if not commit.claim_next:
        return None
    return inbox.claim_next(conn, commit.claimed.event.conversation, owner, commit.now)


def _carry_out(conn: sqlite3.Connection, effect: Effect, commit: Commit, step: int) -> None:
    event, now = commit.claimed.event, commit.now
    match effect:
        case Post():
            for message in commit.posts.get(effect.id, ()):
                outbox.send(conn, message, event.id, now)
        case Alter():
            outbox.alter(conn, effect, commit.answers.get(effect.message), event.id, now)
        case SetTimer():
            timers.put(conn, effect, event.id)
        case CancelTimer():
            timers.cancel(conn, effect.id, now)
        case Record():
            jobs.add_record(conn, effect, event.id, event.person, now)
        case Offer():
            jobs.add_offer(conn, effect, event.id, now)
        case Audit():
            jobs.add_audit(conn, effect, event.person, now)
        case Invite() | Uninvite() | Remove() | SignOff() | SetDuty() | SetReach():
            _change_crew(conn, effect, now)
        case KeepNote():
            firm_notes.keep(conn, effect, now)
        case RetireNote():
            firm_notes.retire(conn, effect.number, now)
        case Trace():
            jobs.add_trace(conn, effect, event.id, step, commit.job.id if commit.job else None, now)


def _change_crew(conn: sqlite3.Connection, change: CrewChange, now: datetime) -> None:
    match change:
        case Invite():
            people.invite(conn, change, now, people.VALID)
        case Uninvite():
            people.uninvite(conn, change.name, now)
        case Remove():
            people.remove(conn, change.person, now)
        case SignOff():
            people.sign_off(conn, change.person, change.what, now, revoke=change.revoke)
        case SetDuty():
            people.set_duty(conn, change)
            outbox.unhold(conn, change.person)
        case SetReach():
            people.set_reach(conn, change)


def _understood(effects: tuple[Effect, ...]) -> str | None:
    for effect in reversed(effects):
        if isinstance(effect, Trace) and effect.what == "understood":
            return jobs.dump_data(effect.data)
    return None
