"""Messages in, answers out: the whole way through the service."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from bot.conversation.events import Edited, Typed
from bot.service import people
from bot.service.delivery import Delivered, Later, Never
from bot.service.service import Service, tidied
from bot.store.rows import Outgoing, Outlet
from tests.service.crew import Clock, Screen, house, pressed, sit, tell, typed
from tests.service.small import heard_by


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def service(tmp_path: Path, clock: Clock) -> Iterator[Service]:
    with house(tmp_path, clock) as opened:
        yield opened


async def test_a_message_is_answered(service: Service, clock: Clock) -> None:
    """Rui writes, and reads the answer."""
    rui, screen = sit(service, "Rui", clock)
    await tell(service, typed(rui, "hello", clock))
    assert screen.lines() == ["1: hello"]


async def test_a_message_seen_before_is_dropped(service: Service, clock: Clock) -> None:
    """The platform sends the same update again; it counts once."""
    rui, screen = sit(service, "Rui", clock)
    event = typed(rui, "hello", clock)
    assert await service.accept(event)
    assert not await service.accept(event)
    await service.drain()
    assert not await service.accept(event)
    await service.drain()
    assert screen.lines() == ["1: hello"]


async def test_answers_keep_the_order_of_messages(service: Service, clock: Clock) -> None:
    """Thirty messages at once, while the service runs: thirty answers in the same order."""
    rui, screen = sit(service, "Rui", clock)
    running = asyncio.create_task(service.run())
    for number in range(30):
        await service.accept(typed(rui, f"m{number}", clock))
    await service.drain()
    service.stop()
    await running
    assert screen.lines() == [f"{number + 1}: m{number}" for number in range(30)]


async def test_a_press_closes_its_question(service: Service, clock: Clock) -> None:
    """Two buttons, one press: the earlier message is changed under the platform's own id."""
    rui, screen = sit(service, "Rui", clock)
    await tell(service, typed(rui, "ask", clock))
    asked = screen.rows[0]
    assert asked.question is not None
    assert [choice[0].text for choice in asked.choices] == ["Yes", "No"]
    (waiting,) = service.store.open_questions(rui.conversation)
    assert waiting.question == asked.question
    await tell(service, pressed(rui, asked.question, 2, clock))
    assert screen.lines() == ["1: ask", "2: pressed 2", "~answered"]
    change = screen.rows[2]
    assert change.sent_as == (f"p{asked.row}",)
    assert change.answer is not None
    assert change.answer[0].text == "2"
    assert service.store.open_questions(rui.conversation) == ()


async def test_two_jobs_of_one_tech(service: Service, clock: Clock) -> None:
    """A second machine is another job; a reply to a message of the first goes to the first."""
    rui, screen = sit(service, "Rui", clock)
    await tell(service, typed(rui, "washer", clock), typed(rui, "new dryer", clock))
    first = screen.rows[0]
    known_as = service.store.our_id(rui.conversation, f"p{first.row}")
    await tell(service, replace(typed(rui, "leaks too", clock), reply_to=known_as), typed(rui, "cold", clock))
    assert screen.lines() == ["1: washer", "1: new dryer", "2: leaks too", "2: cold"]
    briefs = service.store.view(typed(rui, "?", clock)).open_jobs
    assert [brief.label for brief in briefs] == ["washer", "new dryer"]


async def test_an_edit_lands_on_the_job_of_its_message(service: Service, clock: Clock) -> None:
    """Rui corrects a message of the first job while he is on the second."""
    rui, screen = sit(service, "Rui", clock)
    wrong = typed(rui, "5 ohm", clock)
    await tell(service, wrong, typed(rui, "new dryer", clock))
    await tell(service, Edited(id="edit", at=clock(), person=rui.person, conversation=rui.conversation,
                               target=wrong.message or "", text="50 ohm"))
    assert screen.lines()[-1] == "2: edited 50 ohm"
    assert [hit.snippet for hit in service.store.search("50 ohm")] == ["50 ohm", "2: edited 50 ohm"]


async def test_a_failing_event_is_parked_after_three_attempts(service: Service, clock: Clock) -> None:
    """What cannot be worked on waits for the owner, the tech is told, and the next message goes on."""
    rui, screen = sit(service, "Rui", clock)
    bad = typed(rui, "boom", clock)
    await tell(service, typed(rui, "one", clock), bad, typed(rui, "two", clock))
    assert screen.lines() == ["1: one", "desk.parked", "2: two"]
    (parked,) = service.store.parked()
    assert (parked.id, parked.attempts) == (bad.id, 3)
    assert parked.failure.startswith("RuntimeError in step (small.py:")
    assert service.store.requeue(bad.id)
    await service.drain()
    assert service.store.parked()[0].attempts == 3


async def test_someone_without_a_conversation(service: Service, clock: Clock) -> None:
    """A message to somebody who never wrote comes back to the job as undelivered, once."""
    rui, screen = sit(service, "Rui", clock)
    await tell(service, typed(rui, "elsewhere nobody", clock))
    assert screen.lines() == ["1: elsewhere nobody"]
    (job,) = service.store.view(typed(rui, "?", clock)).open_jobs
    kept = service.store.job(job.id)
    assert kept is not None
    assert heard_by(kept) == ("elsewhere nobody",)


async def test_one_job_writes_to_two_people(service: Service, clock: Clock) -> None:
    """One commit holds the rows of both receivers; each screen shows its own."""
    rui, at_rui = sit(service, "Rui", clock)
    marta, at_marta = sit(service, "Marta", clock, "senior")
    await tell(service, typed(rui, f"elsewhere {marta.person}", clock))
    assert at_rui.lines() == [f"1: elsewhere {marta.person}"]
    assert at_marta.lines() == ["psst"]


async def test_timers_come_due_once(service: Service, clock: Clock) -> None:
    """A timer wakes its job once, when it is time and not before; one taken back never does."""
    rui, screen = sit(service, "Rui", clock)
    await tell(service, typed(rui, "timer 60", clock))
    clock.forward(59)
    await service.drain()
    assert screen.lines() == ["1: timer 60"]
    clock.forward(2)
    await service.drain()
    await service.drain()
    assert screen.lines() == ["1: timer 60", "2: due wake"]
    await tell(service, typed(rui, "timer 60", clock), typed(rui, "cancel", clock))
    clock.forward(100)
    await service.drain()
    assert screen.lines()[2:] == ["3: timer 60", "4: cancel"]


async def test_a_timer_taken_back_after_it_came_due(service: Service, clock: Clock) -> None:
    """The timer is due already and waits behind a message that takes it back: it does not ring."""
    rui, screen = sit(service, "Rui", clock)
    await tell(service, typed(rui, "timer 60", clock))
    await service.accept(typed(rui, "cancel", clock))
    clock.forward(100)
    assert service.store.fire_timers(clock()) == 1
    await service.drain()
    assert screen.lines() == ["1: timer 60", "2: cancel"]


async def test_delivery_waits_and_keeps_its_order(service: Service, clock: Clock) -> None:
    """The platform says 'later': nothing overtakes the row that waits, and nothing is lost."""
    rui, screen = sit(service, "Rui", clock)
    screen.answer = lambda out: Later(30)
    await tell(service, typed(rui, "a", clock), typed(rui, "b", clock))
    assert screen.lines() == []
    screen.answer = lambda out: Delivered()
    await service.drain()
    assert screen.lines() == []
    clock.forward(31)
    await service.drain()
    assert screen.lines() == ["1: a", "2: b"]


async def test_what_can_never_be_delivered_is_told_to_the_job(service: Service, clock: Clock) -> None:
    """Marta blocked the bot: the job hears of it, and Rui's chat goes on."""
    rui, at_rui = sit(service, "Rui", clock)
    marta, at_marta = sit(service, "Marta", clock, "senior")
    at_marta.answer = lambda out: Never("blocked")
    await tell(service, typed(rui, f"elsewhere {marta.person}", clock))
    assert at_rui.lines() == [f"1: elsewhere {marta.person}", "2: undelivered blocked"]


async def test_an_adapter_that_fails_is_given_up_on(service: Service, clock: Clock) -> None:
    """Errors of the adapter itself are tried again with growing pauses, then the row is given up."""
    rui, screen = sit(service, "Rui", clock)
    tries = 0

    def fail(out: Outgoing) -> Delivered:
        nonlocal tries
        if "2:" in str(out.paragraphs):
            return Delivered()
        tries += 1
        raise OSError("broken adapter")

    screen.answer = fail
    await tell(service, typed(rui, "a", clock), typed(rui, "b", clock))
    assert tries == 1
    for _ in range(24):
        clock.forward(400)
        await service.drain()
    assert tries == 8 + 8  # the message itself, then the word about it
    assert screen.lines() == ["2: b"]


async def test_strangers_are_not_met(service: Service, clock: Clock) -> None:
    """An account that belongs to nobody has no conversation."""
    assert await service.meet("terminal", "local", "stranger", "stranger") is None


async def test_messages_of_someone_removed_have_no_effect(service: Service, clock: Clock) -> None:
    """Dana was removed while a message of hers waited: it is noted and goes nowhere."""
    dana, screen = sit(service, "Dana", clock)
    await tell(service, typed(dana, "hello", clock))
    await service.accept(typed(dana, "still there?", clock))
    people.remove(service.store, dana.person, clock())
    await service.drain()
    assert screen.lines() == ["1: hello"]
    assert await service.meet("terminal", "local", "dana", "dana") is None


@pytest.mark.parametrize(
    "text", ["", "x" * 10_000, "🔧" * 50, "مرحبا", "a\x00b", "half \ud83d character", "'; DROP TABLE jobs"])
async def test_any_text_is_kept_and_answered(service: Service, clock: Clock, text: str) -> None:
    """Odd text goes in and out whole, apart from what no text file could hold."""
    rui, screen = sit(service, "Rui", clock)
    await tell(service, typed(rui, text, clock))
    assert len(screen.lines()) == 1
    assert service.store.parked() == ()


async def test_restart_goes_on_where_it_stopped(tmp_path: Path, clock: Clock) -> None:
    """Accepted but not worked on, answered but not delivered: another process does both."""
    folder = tmp_path / "restart"
    with house(folder, clock) as first:
        rui, _ = sit(first, "Rui", clock)
        first._couriers.clear()
        await tell(first, typed(rui, "ask", clock))
        await first.accept(typed(rui, "two", clock))
    with house(folder, clock) as second:
        _, screen = sit(second, "Rui", clock)
        assert await second.restored(rui.person, rui.conversation) is None, "it is on its way, not from before"
        await second.drain()
        assert screen.lines() == ["1: ask", "2: two"]
    with house(folder, clock) as third:
        restored = await third.restored(rui.person, rui.conversation)
        assert restored is not None
        (question,) = restored.questions
        assert restored.heading[0].text == "desk.restored"
        assert question.paragraphs[0][0].text == "1: ask"
        assert [label[0].text for label in question.choices] == ["Yes", "No"]


async def test_two_processes_share_a_folder(tmp_path: Path, clock: Clock) -> None:
    """Rui's and Marta's terminals are two services; either may do the work, each shows its own."""
    folder = tmp_path / "shared"
    with house(folder, clock) as one, house(folder, clock) as two:
        rui, at_rui = sit(one, "Rui", clock)
        marta, at_marta = sit(two, "Marta", clock, "senior")
        running = [asyncio.create_task(one.run()), asyncio.create_task(two.run())]
        for number in range(10):
            await one.accept(typed(rui, f"r{number}", clock))
            await two.accept(typed(marta, f"m{number}", clock))
        await one.accept(typed(rui, f"elsewhere {marta.person}", clock))
        for _ in range(200):
            if len(at_rui.rows) == 11 and len(at_marta.rows) == 11:
                break
            await asyncio.sleep(0.02)
        one.stop()
        two.stop()
        await asyncio.gather(*running)
        assert at_rui.lines() == [*(f"{n + 1}: r{n}" for n in range(10)), f"11: elsewhere {marta.person}"]
        assert sorted(at_marta.lines()) == sorted([*(f"{n + 1}: m{n}" for n in range(10)), "psst"])


async def test_health_tells_what_waits(service: Service, clock: Clock) -> None:
    """The health page sees backlog, what was done, and no problem."""
    rui, _ = sit(service, "Rui", clock)
    await service.accept(typed(rui, "hello", clock))
    waiting = await service.health()
    assert (waiting.backlog.events, waiting.backlog.oldest_event) == (1, clock())
    await service.drain()
    done = await service.health()
    assert (done.backlog.events, done.backlog.outgoing, done.problems) == (0, 0, {})
    assert done.done["deliver"] == 1


async def test_an_outlet_takes_only_its_own(service: Service, clock: Clock) -> None:
    """A courier of another account is handed nothing."""
    rui, screen = sit(service, "Rui", clock)
    other = Screen(Outlet("terminal", "another"))
    service.add(other)
    await tell(service, typed(rui, "hello", clock))
    assert (len(screen.rows), len(other.rows)) == (1, 0)


async def test_stop_finishes_what_is_in_hand(service: Service, clock: Clock) -> None:
    """After `stop` nothing new is begun; what was accepted is still there."""
    rui, screen = sit(service, "Rui", clock)
    running = asyncio.create_task(service.run())
    await asyncio.sleep(0)
    for number in range(5):
        await service.accept(typed(rui, f"m{number}", clock))
    service.stop()
    await asyncio.wait_for(running, 5)
    backlog = await service.health()
    assert len(screen.rows) + backlog.backlog.events == 5


def test_events_are_tidied_for_the_store() -> None:
    """NUL and half characters become the replacement character or a question mark."""
    event = tidied(Typed(id="e", at=Clock()(), person="p", conversation="c", text="a\x00\ud83d"))
    assert isinstance(event, Typed)
    assert event.text == "a\ufffd?"
