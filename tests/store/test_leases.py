"""Inbox, outbox, timers and versions under any interleaving of two processes, one of which may die at any moment."""

from __future__ import annotations

import shutil
import tempfile
from collections import Counter
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from bot.conversation.context import Person
from bot.conversation.desk import Desk
from bot.conversation.effects import Audit, CancelTimer, Effect, Say, SetTimer, Text
from bot.conversation.events import Due, Event, Typed
from bot.conversation.ids import derive
from bot.conversation.job import Fact, Job
from bot.conversation.markup import Span
from bot.store import inbox, outbox
from bot.store.errors import ConflictError, LeaseLostError
from bot.store.rows import Claimed, Commit, Met, Outgoing, Outlet, Rendered
from bot.store.sqlite import SqliteStore
from tests.service.small import NOON, heard_by

PEOPLE = ("rui", "dana")


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


class TwoProcesses(RuleBasedStateMachine):
    """Each rule is something one of two processes does; the model is what the outside has seen."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.now: datetime = NOON
        self.stores = [SqliteStore(self.folder), SqliteStore(self.folder)]
        self.chats = {name: person(self.stores[0], name) for name in PEOPLE}
        self.sent: dict[str, list[str]] = {name: [] for name in PEOPLE}
        self.hands: list[list[Claimed]] = [[], []]
        self.mail: list[list[Outgoing]] = [[], []]
        self.applied: list[str] = []
        self.due: Counter[str] = Counter()
        self.timers: set[str] = set()
        self.seen: dict[str, list[int]] = {met.conversation: [] for met in self.chats.values()}
        self.said: dict[str, int] = dict.fromkeys(self.seen, 0)

    which = st.integers(0, 1)

    @initialize()
    def a_job(self) -> None:
        """Both chats write about one job."""
        claimed = self._accept(0, "rui")
        assert claimed is not None
        self._commit(0, claimed, Job(id="job", tech="rui", conversation=self.chats["rui"].conversation, release="r",
                                     opened=NOON))

    @rule(which=which, name=st.sampled_from(PEOPLE), again=st.booleans())
    def write(self, which: int, name: str, again: bool) -> None:
        """Someone writes; or the platform sends their last message again."""
        if again and self.sent[name]:
            met = self.chats[name]
            accepted = self.stores[which].accept(message(met, len(self.sent[name]) - 1), self.now, claim=True)
            assert not accepted.new
            assert accepted.claimed is None
        else:
            claimed = self._accept(which, name)
            if claimed is not None:
                self.hands[which].append(claimed)

    def _accept(self, which: int, name: str) -> Claimed | None:
        event = message(self.chats[name], len(self.sent[name]))
        accepted = self.stores[which].accept(event, self.now, claim=True)
        assert accepted.new
        self.sent[name].append(event.id)
        return accepted.claimed

    @rule(which=which, limit=st.integers(0, 3))
    def take(self, which: int, limit: int) -> None:
        """A process takes events to work on."""
        self.hands[which].extend(self.stores[which].claim_events(self.now, limit))

    @precondition(lambda self: any(self.hands))
    @rule(which=which, extra=st.sampled_from(["nothing", "timer", "cancel", "other"]), behind=st.booleans(),
          stale=st.booleans())
    def work(self, which: int, extra: str, behind: bool, stale: bool) -> None:
        """A process commits an event, on what is there now or on what was there before somebody else's commit."""
        if not self.hands[which]:
            return
        claimed = self.hands[which].pop(0)
        job = self.stores[1 - which].job("job")
        assert job is not None
        if stale and job.version > 1:
            with pytest.raises((ConflictError, LeaseLostError)):
                self._commit(which, claimed, replace(job, version=job.version - 1))
            self.hands[which].insert(0, claimed)
        else:
            self._commit(which, claimed, job, extra, behind=behind)

    def _commit(self, which: int, claimed: Claimed, job: Job, extra: str = "nothing", *, behind: bool = False) -> None:
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
        try:
            following = self.stores[which].commit(Commit(claimed, self.now, (replace(desk, count=desk.count + 1),), new,
                                                         effects=effects, messages_out=tuple(messages),
                                                         claim_next=behind))
        except LeaseLostError:
            return
        self.applied.append(event.id)
        for effect in effects:
            if isinstance(effect, Say):
                self.said[self.chats[effect.to].conversation] += 1
            elif isinstance(effect, SetTimer):
                self.timers.add(effect.id)
            elif isinstance(effect, CancelTimer):
                self.timers.discard(effect.id)
        if isinstance(event, Due):
            self.timers.discard(event.timer)
            self.due[event.timer] += 1
        if following is not None:
            self.hands[which].append(following)

    @precondition(lambda self: any(self.hands))
    @rule(which=which)
    def give_back(self, which: int) -> None:
        """A process puts an event back unworked."""
        if self.hands[which]:
            self.stores[which].release_event(self.hands[which].pop())

    @rule(which=which)
    def ring(self, which: int) -> None:
        """Timers that are due become events."""
        self.stores[which].fire_timers(self.now)

    @rule(seconds=st.sampled_from([1, 10, 25, 70]))
    def time_passes(self, seconds: int) -> None:
        """Timers come due; after long enough every lease has run out."""
        self.now += timedelta(seconds=seconds)

    @rule(which=which)
    def fetch(self, which: int) -> None:
        """A process takes a row to deliver, if it has none in hand."""
        if not self.mail[which]:
            self.mail[which].extend(self.stores[which].claim_outgoing(Outlet("pretend", "a"), self.now, 1))

    @precondition(lambda self: any(self.mail))
    @rule(which=which, well=st.booleans())
    def deliver(self, which: int, well: bool) -> None:
        """The row is delivered, or the platform says later."""
        if not self.mail[which]:
            return
        out = self.mail[which].pop()
        try:
            if well:
                self.stores[which].delivered(out, (str(out.row),), self.now)
                self.seen[out.conversation].append(out.row)
            else:
                self.stores[which].later(out, self.now + timedelta(seconds=5))
        except LeaseLostError:
            return

    @rule(which=which)
    def die(self, which: int) -> None:
        """A process ends with everything in its hands; another one starts in its place."""
        self.stores[which]._readers.close()
        self.stores[which]._writer.close()
        owner = self.stores[which]._owner
        assert owner._file is not None
        owner._file.close()
        self.stores[which] = SqliteStore(self.folder)
        self.hands[which] = []
        self.mail[which] = []

    @invariant()
    def each_event_once_and_in_order(self) -> None:
        """The job heard each event once; each chat's messages in the order that they were accepted."""
        job = self.stores[0].job("job")
        if job is None:
            return
        assert heard_by(job) == tuple(self.applied)
        assert job.version == len(self.applied)
        for name in PEOPLE:
            mine = [event for event in self.applied if event.startswith(f"{name}-")]
            assert mine == self.sent[name][:len(mine)]

    @invariant()
    def timers_at_most_once(self) -> None:
        """No setting of a timer rings twice."""
        assert all(count == 1 for count in self.due.values())

    @invariant()
    def deliveries_in_order(self) -> None:
        """Rows of a chat arrive in their order, and never more of them than were written."""
        for conversation, rows in self.seen.items():
            assert rows == sorted(set(rows))
            assert len(rows) <= self.said[conversation]

    def teardown(self) -> None:
        """Whatever happened, everything can still be finished: no event and no row is stuck."""
        store = self.stores[0]
        self.hands = [[], []]
        for _ in range(2):
            self.now += timedelta(seconds=100)
            store.fire_timers(self.now)
            while claims := store.claim_events(self.now, 5):
                for claimed in claims:
                    job = store.job("job")
                    assert job is not None
                    self._commit(0, claimed, job)
            while rows := store.claim_outgoing(Outlet("pretend", "a"), self.now, 5):
                for out in rows:
                    store.delivered(out, (), self.now)
                    self.seen[out.conversation].append(out.row)
        self.each_event_once_and_in_order()
        self.deliveries_in_order()
        assert len(self.applied) == sum(map(len, self.sent.values())) + sum(self.due.values())
        assert {c: len(rows) for c, rows in self.seen.items()} == self.said
        assert self.timers == set()
        for each in self.stores:
            each.close()
        shutil.rmtree(self.folder)


TestTwoProcesses = TwoProcesses.TestCase
TestTwoProcesses.settings = settings(max_examples=40, stateful_step_count=40, deadline=None,
                                     suppress_health_check=[HealthCheck.too_slow])


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
