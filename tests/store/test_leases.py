"""Inbox, outbox, timers and versions under any interleaving of two processes, one of which may die at any moment."""

from __future__ import annotations

import random
import tempfile
from collections import Counter
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.conversation.desk import Desk
from bot.conversation.effects import Audit, CancelTimer, Effect, Say, SetTimer, Text
from bot.conversation.events import Due, Event, Typed
from bot.conversation.firm import Person
from bot.conversation.ids import derive
from bot.conversation.job import Fact, Job
from bot.conversation.markup import Span
from bot.store import inbox, outbox
from bot.store.errors import ConflictError, LeaseLostError
from bot.store.rows import Accepted, Claimed, Commit, Met, Outgoing, Outlet, Rendered
from bot.store.sqlite import SqliteStore
from tests.service.small import NOON, heard_by

PEOPLE = ("rui", "dana")
EXTRAS = ("", "other", "timer", "cancel")


def person(store: SqliteStore, name: str) -> Met:
    """One of the crew with a chat."""
    store.add_person(Person(name, name.title()), NOON, Audit(what="test"))
    store.enrol(name, "pretend", "a", name, NOON)
    met = store.meet("pretend", "a", name, name, NOON)
    assert met is not None
    return met


def message(met: Met, number: int) -> Typed:
    """A person's message of that number."""
    return Typed(id=f"{met.person}-{number}", at=NOON, person=met.person, conversation=met.conversation,
                 text=str(number))


def said(event: Event, to: str, effect: str = "say") -> tuple[Say, Rendered]:
    """A word to someone."""
    say = Say(id=derive(event.id, effect), to=to, texts=(Text("raw", {"text": "x"}),))
    return say, Rendered(say, ((Span("x"),),))


class World:
    """Two processes on a folder, two chats that write about one job, and what the outside has seen of it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.now: datetime = NOON
        self.stores = [SqliteStore(folder), SqliteStore(folder)]
        self.chats = {name: person(self.stores[0], name) for name in PEOPLE}
        self.sent: dict[str, list[str]] = {name: [] for name in PEOPLE}
        self.hands: list[tuple[int, Claimed]] = []
        self.mail: list[tuple[int, Outgoing]] = []
        self.applied: list[str] = []
        self.due: Counter[str] = Counter()
        self.timers: set[str] = set()
        self.cancelled: set[str] = set()
        self.seen: dict[str, list[int]] = {met.conversation: [] for met in self.chats.values()}
        self.said: dict[str, int] = dict.fromkeys(self.seen, 0)
        self.write(0, 4)
        _, claimed = self.hands.pop()
        self._commit(0, claimed, Job(id="job", tech="rui", conversation=self.chats["rui"].conversation, release="r",
                                     opened=NOON))

    def write(self, which: int, more: int) -> None:
        """Someone writes; sometimes the platform sends their last message again."""
        met = self.chats[PEOPLE[more % 2]]
        if more > 7 and self.sent[met.person]:
            accepted = self.stores[which].accept(message(met, len(self.sent[met.person]) - 1), self.now, claim=True)
            assert accepted == Accepted(new=False)
            return
        event = message(met, len(self.sent[met.person]))
        accepted = self.stores[which].accept(event, self.now, claim=more > 3)
        assert accepted.new
        self.sent[met.person].append(event.id)
        if accepted.claimed is not None:
            self.hands.append((which, accepted.claimed))

    def take(self, which: int, more: int) -> None:
        """A process takes events to work on."""
        self.hands.extend((which, claimed) for claimed in self.stores[which].claim_events(self.now, 1 + more % 3))

    def work(self, which: int, more: int) -> None:
        """A process commits an event that it took, or one that it takes now."""
        if not self.hands:
            self.take(which, 0)
        if self.hands:
            which, claimed = self.hands.pop(more % len(self.hands))
            self._commit(which, claimed, self._job(which), EXTRAS[more % len(EXTRAS)], behind=more > 5)

    def work_late(self, which: int, more: int) -> None:
        """A process commits an event on a version that has moved on: it is refused, and the event stays in hand."""
        if self.hands and self._job(which).version > 1:
            which, claimed = self.hands[more % len(self.hands)]
            job = self._job(which)
            before = list(self.applied)
            with pytest.raises((ConflictError, LeaseLostError)):
                self._commit(which, claimed, replace(job, version=job.version - 1), strict=True)
            assert self.applied == before

    def give_back(self, which: int, more: int) -> None:
        """A process puts an event back unworked."""
        if self.hands:
            which, claimed = self.hands.pop(more % len(self.hands))
            self.stores[which].release_event(claimed)

    def ring(self, which: int, more: int) -> None:
        """Timers that are due become events."""
        self.stores[which].fire_timers(self.now)

    def wait(self, which: int, more: int) -> None:
        """Time passes: timers come due; after long enough every lease has run out."""
        self.now += timedelta(seconds=(1, 20, 40, 70)[more % 4])

    def fetch(self, which: int, more: int) -> None:
        """A process takes rows to deliver."""
        rows = self.stores[which].claim_outgoing(Outlet("pretend", "a"), self.now, 1 + more % 3)
        self.mail.extend((which, out) for out in rows)

    def deliver(self, which: int, more: int) -> None:
        """A row is delivered, or the platform says later; with its end the next is taken, or not."""
        if not self.mail:
            self.fetch(which, 0)
        if not self.mail:
            return
        which, out = self.mail.pop(more % len(self.mail))
        try:
            if more == 9:
                self.stores[which].later(out, self.now + timedelta(seconds=5))
                return
            then = Outlet("pretend", "a") if more % 2 else None
            following = self.stores[which].delivered(out, (str(out.row),), self.now, then)
        except LeaseLostError:
            return
        self.seen[out.conversation].append(out.row)
        if following is not None:
            self.mail.append((which, following))

    def die(self, which: int, more: int) -> None:
        """A process ends with everything in its hands; another one starts in its place."""
        store = self.stores[which]
        store._readers.close()
        store._writer.close()
        assert store._owner._file is not None
        store._owner._file.close()
        self.stores[which] = SqliteStore(self.folder)
        self.hands = [held for held in self.hands if held[0] != which]
        self.mail = [held for held in self.mail if held[0] != which]

    def _job(self, which: int) -> Job:
        job = self.stores[which].job("job")
        assert job is not None
        return job

    def _commit(self, which: int, claimed: Claimed, job: Job, extra: str = "", *, behind: bool = False,
                strict: bool = False) -> None:
        event = claimed.event
        say, rendered = said(event, event.person)
        effects: tuple[Effect, ...] = (say,)
        messages = [rendered]
        if extra == "timer":
            at = self.now + timedelta(seconds=20)
            effects += (SetTimer(id=derive(event.id, "timer"), at=at, name="wake", job="job", person="rui",
                                 conversation=self.chats["rui"].conversation),)
        elif extra == "cancel" and self.timers:
            effects += (CancelTimer(id=min(self.timers)),)
        elif extra == "other":
            other, rendered = said(event, "dana" if event.person == "rui" else "rui", "other")
            effects += (other,)
            messages.append(rendered)
        desk = self.stores[which].view(event).desk
        new = replace(job, facts=(*job.facts, Fact(event.id, "given", "heard", event.id)))
        commit = Commit(claimed, self.now, (replace(desk, count=desk.count + 1),), new, effects=effects,
                        messages_out=tuple(messages), claim_next=behind)
        try:
            following = self.stores[which].commit(commit)
        except LeaseLostError:
            if strict:
                raise
            return
        self._note(event, effects)
        if following is not None:
            self.hands.append((which, following))

    def _note(self, event: Event, effects: tuple[Effect, ...]) -> None:
        """What a commit that went through means for the outside."""
        self.applied.append(event.id)
        if isinstance(event, Due):
            assert event.timer not in self.cancelled
            self.timers.discard(event.timer)
            self.due[event.timer] += 1
        for effect in effects:
            if isinstance(effect, Say):
                self.said[self.chats[effect.to].conversation] += 1
            elif isinstance(effect, SetTimer):
                self.timers.add(effect.id)
            elif isinstance(effect, CancelTimer):
                self.timers.discard(effect.id)
                self.cancelled.add(effect.id)

    def check(self) -> None:
        """Each event once and each chat's in order; no timer twice; rows of a chat in order, no more than written."""
        job = self._job(0)
        assert heard_by(job) == tuple(self.applied)
        assert job.version == len(self.applied)
        for name in PEOPLE:
            mine = [event for event in self.applied if event.startswith(f"{name}-")]
            assert mine == self.sent[name][:len(mine)]
        assert all(count == 1 for count in self.due.values())
        for conversation, rows in self.seen.items():
            assert rows == sorted(set(rows))
            assert len(rows) <= self.said[conversation]

    def finish(self) -> None:
        """Whatever happened, everything can still be finished: no event and no row is stuck."""
        self.hands.clear()
        self.mail.clear()
        store = self.stores[1]
        for _ in range(2):
            self.now += timedelta(seconds=100)
            store.fire_timers(self.now)
            while claims := store.claim_events(self.now, 5):
                for claimed in claims:
                    self._commit(1, claimed, self._job(1))
            while rows := store.claim_outgoing(Outlet("pretend", "a"), self.now, 5):
                for out in rows:
                    store.delivered(out, (), self.now)
                    self.seen[out.conversation].append(out.row)
        self.check()
        assert len(self.applied) == sum(map(len, self.sent.values())) + sum(self.due.values())
        assert {chat: len(rows) for chat, rows in self.seen.items()} == self.said
        assert self.timers == set()
        backlog = store.backlog()
        assert (backlog.events, backlog.outgoing, backlog.timers) == (0, 0, 0)
        for each in self.stores:
            each.close()


USUAL = ("write", "write", "take", "take", "work", "work", "work", "fetch", "deliver", "deliver", "wait", "ring")
RARE = ("work_late", "give_back", "die")
STEPS = 120


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32))
def test_any_interleaving_of_two_processes(seed: int) -> None:
    """Whatever two processes do in whatever order, and whenever one dies, nothing is lost, doubled or out of order.

    The steps come from a seed and not from a strategy: drawn one by one they repeat themselves, and two processes
    with the same event in hand, which is what matters most here, hardly ever happened.
    """
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        world = World(Path(folder))
        for _ in range(STEPS):
            getattr(world, chance.choice(USUAL + RARE))(chance.randrange(2), chance.randrange(10))
            world.check()
        world.finish()


def test_a_job_taken_twice(tmp_path: Path) -> None:
    """Two seniors take a job at once, each on what they saw: one gets it, the other is told to look again."""
    one, two = SqliteStore(tmp_path), SqliteStore(tmp_path)
    rui, dana = person(one, "rui"), person(one, "dana")
    opened = one.accept(message(rui, 0), NOON, claim=True).claimed
    assert opened is not None
    new = Job(id="job", tech="rui", conversation=rui.conversation, release="r", opened=NOON)
    one.commit(Commit(opened, NOON, job=new))
    mine, theirs = one.accept(message(rui, 1), NOON, claim=True), two.accept(message(dana, 0), NOON, claim=True)
    seen = two.job("job")
    assert seen is not None
    assert mine.claimed is not None
    assert theirs.claimed is not None
    one.commit(Commit(mine.claimed, NOON, job=replace(seen, handed_to="rui")))
    with pytest.raises(ConflictError):
        two.commit(Commit(theirs.claimed, NOON, (Desk(dana.conversation, "dana"),), replace(seen, handed_to="dana")))
    kept = two.job("job")
    assert kept is not None
    assert (kept.handed_to, kept.version) == ("rui", 2)
    assert two.view(message(dana, 1)).desk.version == 0, "nothing of the refused commit is there"
    assert [brief.id for brief in two.view(message(rui, 2)).open_jobs] == ["job"]


def test_whoever_works_on_it_dies(tmp_path: Path) -> None:
    """An event whose workers end without a word is not tried for ever."""
    rui: Met | None = None
    claims = 0
    while claims < 50:
        store = SqliteStore(tmp_path)
        rui = rui or person(store, "rui")
        if claims == 0:
            store.accept(message(rui, 0), NOON)
        (claimed,) = store.claim_events(NOON, 1)
        claims += 1
        if claimed.attempts >= inbox.ATTEMPTS:
            break
        store.close()
        store._owner._folder.joinpath(store.owner).touch()  # as if it had been killed: its file is there, unlocked
    assert claims == inbox.CLAIMS + 1
    assert outbox.LEASE > inbox.LEASE
