"""Working on events: route, step, render, commit. Plain functions for worker threads; no loop here.

Events of a conversation come one after the other (the inbox sees to that). Events of one job are serialised on its
lane: in this process by a lock, between processes by the versions that the commit compares. `step` runs outside of
any write lock; if something moved on meanwhile, the event is routed and stepped again on what is there now.
"""

from __future__ import annotations

import logging
import threading
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from secrets import token_bytes, token_hex
from typing import Final

from bot.conversation.context import Context
from bot.conversation.crew.duty import next_on
from bot.conversation.effects import ROOM, Alter, Effect, Post, Say, Text, Trace
from bot.conversation.events import Due, Event
from bot.conversation.firm import Firm
from bot.conversation.ids import derive
from bot.conversation.job import Job
from bot.conversation.markup import Paragraph, plain
from bot.conversation.routing import Pointed, Routed
from bot.service.activity import Activity
from bot.service.core import Core
from bot.service.releases import Releases
from bot.store.errors import ConflictError, LeaseLostError, StoreBusyError, StoreFailedError
from bot.store.outbox import in_room as copy_in
from bot.store.protocol import Store
from bot.store.rows import Claimed, Commit, Rendered, View

log = logging.getLogger(__name__)

CHANCE: Final = 16
"""Bytes of chance for each event: a code takes 12."""
RERUNS: Final = 50
"""Conflicts in a row on one event before it is put back for a moment."""
ATTEMPTS: Final = 3
OPEN_END: Final = timedelta(days=365)
"""How long messages wait for somebody who is off duty until they say otherwise."""
PARKED: Final = "desk.parked"
MOVED: Final = "desk.release_moved"


class Lanes:
    """Works on claimed events. Safe to use from several threads."""

    def __init__(self, store: Store, core: Core, releases: Releases, firm: Firm, clock: Callable[[], datetime],
                 activity: Activity) -> None:
        self._store = store
        self._core = core
        self._releases = releases
        self._firm = firm
        self._clock = clock
        self._activity = activity
        self.links: dict[str, str] = {}
        """Platform -> the link by which somebody new opens a chat with us; `{code}` stands for their code."""
        self.rooms: dict[str, str] = {}
        """Room (platform and address) -> its conversation: where offers are posted, too."""
        self._locks: dict[str, tuple[threading.Lock, int]] = {}
        self._guard = threading.Lock()

    def work_on(self, claimed: Claimed, *, claim_next: bool = False) -> Claimed | None:
        """Have the event's effect stored, or its failure. Returns what to work on next, if something was claimed.

        Raises StoreBusyError and StoreFailedError: then nothing was stored and the event is still to do.
        """
        if claimed.attempts >= ATTEMPTS:
            return self._failed(claimed, "whatever worked on it ended without a word, several times")
        try:
            return self._apply(claimed, claim_next)
        except (StoreBusyError, StoreFailedError):
            raise
        except LeaseLostError:
            log.warning("event %s was taken over by another process", claimed.event.id)
            return None
        except Exception as error:
            log.exception("event %s failed (attempt %d of %d)", claimed.event.id, claimed.attempts + 1, ATTEMPTS)
            return self._failed(claimed, _described(error))

    def _apply(self, claimed: Claimed, claim_next: bool) -> Claimed | None:
        for _ in range(RERUNS):
            try:
                return self._once(claimed, claim_next)
            except ConflictError as conflict:
                log.info("event %s again: %s", claimed.event.id, conflict)
        raise StoreBusyError(f"event {claimed.event.id} met a conflict {RERUNS} times in a row")

    def _once(self, claimed: Claimed, claim_next: bool) -> Claimed | None:
        event, view = claimed.event, self._store.view(claimed.event)
        context = self._context(view)
        if event.person not in context.people:
            gone = Trace(what="routed", data={"dropped": "the person is no longer of the crew"})
            return self._commit(Commit(claimed, context.now, effects=(gone,), claim_next=claim_next))
        with self._activity.doing("step"):
            pointed = Pointed(view.target.job, view.target.question, view.target.offer)
            routed = self._core.route(event, pointed, view.desk, view.open_jobs, context)
        lane = routed.job or routed.opens
        if lane is None:
            return self._commit(self._filled(
                Commit(claimed, context.now, (routed.desk,), effects=routed.effects, claim_next=claim_next), context))
        with self._lane(lane):
            return self._commit(self._stepped(claimed, routed, view, context, claim_next))

    def _context(self, view: View) -> Context:
        return Context(now=self._clock(), release=self._releases.current, firm=self._firm, people=self._store.crew(),
                       open_jobs=view.open_jobs, past=view.past, notes=self._store.firm_notes(),
                       links=tuple(self.links.values()), chance=token_bytes(CHANCE))

    def _stepped(self, claimed: Claimed, routed: Routed, view: View, context: Context, claim_next: bool) -> Commit:
        """The commit of an event that went to a job."""
        context = replace(context, open_jobs=tuple(j for j in view.open_jobs if j.id not in (routed.job, routed.opens)))
        before, context, moved = self._begun(routed, context)
        with self._activity.doing("step"):
            job, stepped = self._core.step(before, routed.event, context)
        job = replace(job, version=before.version)
        effects = (*routed.effects, *moved, *stepped)
        language = context.people[job.tech].language if job.tech in context.people else "en"
        label = plain(self._core.render(self._core.label(job, context), self._firm, language))
        site = next((fact.value for fact in reversed(job.standing("site"))), None)
        told = tuple(dict.fromkeys(m for m in (claimed.event.message, routed.event.message) if m is not None))
        return self._filled(Commit(claimed, context.now, (routed.desk,), job, label, site, told, effects,
                                   claim_next=claim_next), context)

    def _begun(self, routed: Routed, context: Context) -> tuple[Job, Context, tuple[Effect, ...]]:
        """The job as it stands, or a new one, with the context of its release."""
        if routed.opens is not None:
            return self._core.open(routed.opens, routed.event, context), context, ()
        job = self._store.job(routed.job or "")
        if job is None:
            raise LookupError(f"routed to job {routed.job}, which does not exist")
        return self._released(job, routed.event, context)

    def _released(self, job: Job, event: Event, context: Context) -> tuple[Job, Context, tuple[Effect, ...]]:
        """The job with the release it began on; if that can no longer be read, with today's, and a word about it."""
        release = self._releases.get(job.release)
        if release is not None:
            return job, replace(context, release=release), ()
        log.warning("job %s moves from release %s to %s", job.id, job.release, context.release.id)
        word = Say(id=derive(event.id, "release_moved"), to=job.tech, conversation=job.conversation,
                   texts=(Text(MOVED),), job=job.id)
        return replace(job, release=context.release.id), context, (word,)

    def _filled(self, commit: Commit, context: Context) -> Commit:
        """The commit with all that people will read worked out, each in the reader's language."""
        event = commit.claimed.event
        messages = tuple(self._rendered(effect, context, held_until(effect, event, context))
                         for effect in commit.effects if isinstance(effect, Say))
        posts = {effect.id: tuple(self._rendered(in_room(effect, room), context) for room in self.rooms.values())
                 for effect in commit.effects if isinstance(effect, Post)}
        answers: dict[str, Paragraph] = {
            effect.message: self._core.render(effect.answer, self._firm,
                                              self._language(effect.reader or event.person, context))
            for effect in commit.effects if isinstance(effect, Alter) and effect.answer is not None}
        return replace(commit, messages_out=messages, posts=posts, answers=answers)

    def _rendered(self, say: Say, context: Context, held: datetime | None = None) -> Rendered:
        language = self._language(say.to, context)
        if say.picture is not None:
            from bot.service.drawing import with_drawing  # noqa: PLC0415  six megabytes that most starts never need

            say = with_drawing(say, lambda text: plain(self._core.render(text, self._firm, language)), self._store,
                               context.now)
        return Rendered(say, tuple(self._core.render(text, self._firm, language) for text in say.texts),
                        tuple(self._core.render(choice.label, self._firm, language) for choice in say.choices), held)

    def _language(self, person: str, context: Context) -> str:
        """The person's language; a room's is the firm's."""
        if person in context.people:
            return context.people[person].language
        return self._firm.locale[:2] if person == ROOM else "en"

    def _commit(self, commit: Commit) -> Claimed | None:
        with self._activity.doing("commit"):
            return self._store.commit(commit)

    def _failed(self, claimed: Claimed, failure: str) -> Claimed | None:
        """Note the failure; at the last one the tech is told that the message waits for the owner."""
        try:
            return self._store.fail(claimed, failure, self._clock(), self._parking_notice(claimed.event))
        except LeaseLostError:
            return None

    def _parking_notice(self, event: Event) -> Rendered | None:
        person = self._store.crew().get(event.person)
        if person is None:
            return None
        say = Say(id=token_hex(10), to=event.person, conversation=event.conversation or None,
                  texts=(Text(PARKED),), reply_to=event.message)
        return Rendered(say, (self._core.render(Text(PARKED), self._firm, person.language),))

    @contextmanager
    def _lane(self, job: str) -> Iterator[None]:
        with self._guard:
            lock, users = self._locks.get(job, (threading.Lock(), 0))
            self._locks[job] = (lock, users + 1)
        try:
            with lock:
                yield
        finally:
            with self._guard:
                lock, users = self._locks.pop(job)
                if users > 1:
                    self._locks[job] = (lock, users - 1)


def held_until(say: Say, event: Event, context: Context) -> datetime | None:
    """Until when a message waits for its reader's duty; None: not at all.

    Nobody off duty is written to of the bot's own accord or on somebody else's, but for what is urgent. Whoever writes
    is there, and is answered.
    """
    reader = context.people.get(say.to)
    if reader is None or say.urgent or (event.person == say.to and not isinstance(event, Due)):
        return None
    on = next_on(reader, context.now, context.firm)
    if on == context.now:
        return None
    return on if on is not None else context.now + OPEN_END


def in_room(post: Post, conversation: str) -> Say:
    """The message that a post is in a room."""
    return Say(id=copy_in(post.id, conversation), to=ROOM, conversation=conversation, texts=post.texts, job=post.job,
               question=post.question, choices=post.choices)


def _described(error: Exception) -> str:
    """The error and where it was raised, without values: what people typed does not belong in there."""
    frame = traceback.extract_tb(error.__traceback__)[-1]
    return f"{type(error).__name__} in {frame.name} ({frame.filename.rpartition('/')[2]}:{frame.lineno})"
