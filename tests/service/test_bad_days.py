"""Days on which everything happens at once: restarts, jumping clocks, phones without signal, two answers to one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from bot.conversation.effects import Audit
from bot.conversation.markup import plain
from bot.conversation.wording import render as rendering
from bot.service.delivery import Later
from tests.service.crew import Clock, house, pressed, sit, tell, typed
from tests.service.real import OPENING, House, house_of, text_of


@pytest.fixture
def firm(tmp_path: Path) -> Iterator[House]:
    """Marta and João seniors, Rui a junior."""
    with house_of(tmp_path) as made:
        for name, role in (("Marta", "senior"), ("João", "senior"), ("Rui", "junior")):
            made.seat(name, role)
        yield made


async def handed(firm: House) -> None:
    """Rui's case is offered."""
    for words in (OPENING, "1", "senior"):
        await firm.says("Rui", words)


async def test_five_hundred_timers_at_once(tmp_path: Path) -> None:
    """Fifty visits with ten reminders each; half-way the program ends. Each rings once, in order."""
    clock = Clock()
    with house(tmp_path, clock) as service:
        seats = [sit(service, f"Tech {number}", clock) for number in range(50)]
        for met, _ in seats:
            await tell(service, *(typed(met, f"timer {3600 - n}", clock) for n in range(10)))
            clock.forward(0.001)
        clock.forward(7200)
        assert service.store.backlog().timers == 500
        assert service.store.fire_timers(clock(), 250) == 250
    with house(tmp_path, clock) as service:
        seats = [sit(service, f"Tech {number}", clock) for number in range(50)]
        await service.drain()
        assert service.store.parked() == ()
        assert service.store.backlog().timers == 0
        for _, screen in seats:
            rung = [line for line in screen.lines() if line.endswith("due wake")]
            assert rung == [f"{number}: due wake" for number in range(11, 21)]


async def test_the_clock_jumps_ahead(firm: House) -> None:
    """Three days at once: both reminders ring, each once, and say what is so."""
    await handed(firm)
    await firm.at(firm.clock() + timedelta(days=3))
    await firm.at(firm.clock() + timedelta(days=3))
    assert firm.told("Rui").count("Nobody has taken it yet") == 1
    assert firm.told("Rui").count("Ring the office") == 1
    await firm.presses("Marta", 1)
    assert "Marta has it." in firm.told("Rui")


async def test_the_clock_is_set_back(firm: House) -> None:
    """By a day: nothing rings twice, no time is negative, and a hundred messages later the tech is still answered."""
    await handed(firm)
    firm.clock.forward(-86400)
    await firm.presses("Marta", 2)
    for number in range(130):
        firm.clock.forward(2)
        await firm.accept("Rui", f"where {number}" if number % 2 else "where")
    await firm.service.drain()
    assert firm.service.store.parked() == ()
    assert "a lot at once" not in firm.told("Rui")
    await firm.at(firm.clock() + timedelta(days=2))
    assert "-" not in "".join(line for line in firm.told("Marta").splitlines() if line.startswith("Still waiting"))
    assert firm.told("Marta").count("Still waiting") == 1


async def test_a_hand_off_while_the_junior_has_no_signal(firm: House) -> None:
    """Everything said meanwhile comes in order when he is back, an hour later; nothing waits on him."""
    screen = firm.screens["Rui"]
    await firm.says("Rui", OPENING)
    await firm.says("Rui", "1")
    there = screen.answer
    screen.answer = lambda out: Later(1.0)
    before = len(screen.rows)
    await firm.accept("Rui", "senior")
    await firm.service.drain()
    await firm.presses("Marta", 1)
    await firm.says("Marta", "is the belt shiny")
    await firm.says("Marta", "and is there oil on it")
    assert len(screen.rows) == before
    screen.answer = there
    await firm.at(firm.clock() + timedelta(hours=1))
    told = [text_of(row) for row in screen.rows[before:] if row.kind == "send"]
    assert "Put to" in told[1]
    assert [line for line in told if line.startswith("Marta")] == [
        "Marta has it.", "Marta: is the belt shiny",
        "Marta: and is there oil on it"]
    assert "Rui: no oil" in await _then(firm, "Rui", "no oil", "Marta")


async def test_two_answers_to_one_question(firm: House) -> None:
    """Two buttons in the same moment: the last one stands, and what changed is said."""
    await firm.says("Rui", OPENING)
    question, rui = firm.screens["Rui"].rows[-1], firm.seats["Rui"]
    first, third = (plain(question.choices[number]) for number in (0, 2))
    for choice in (1, 3):
        await firm.service.accept(pressed(rui, str(question.question), choice, firm.clock))
    await firm.service.drain()
    assert firm.service.store.parked() == ()
    job = firm.job_of("Rui")
    asked = next(a.question for a in job.asked if a.question.id == question.question)
    (stands,) = [fact for fact in job.standing("result") if fact.subject == asked.checks[0]]
    assert asked.values[2] == f"result:{stands.subject}/{stands.value}"
    assert first != third
    assert "not motor silent in spin." in firm.told("Rui")


async def test_a_senior_takes_it_twice_and_refuses_it(firm: House) -> None:
    """Three taps on one offer: it is theirs, once."""
    await handed(firm)
    marta = firm.seats["Marta"]
    offer = next(row for row in reversed(firm.screens["Marta"].rows) if row.question is not None)
    for choice in (1, 1, 2):
        await firm.service.accept(pressed(marta, str(offer.question), choice, firm.clock))
    await firm.service.drain()
    assert firm.service.store.parked() == ()
    assert firm.told("Rui").count("Marta has it.") == 1
    assert firm.job_of("Rui").handed_to == marta.person


async def test_twenty_take_it_at_once(firm: House) -> None:
    """Over the real store, from twenty chats in the same moment: exactly one has it."""
    for number in range(18):
        firm.seat(f"Senior {number}", "senior")
    await handed(firm)
    names = [name for name in firm.seats if name != "Rui"]
    for name in reversed(names):
        offer = next(row for row in reversed(firm.screens[name].rows) if row.question is not None)
        await firm.service.accept(pressed(firm.seats[name], str(offer.question), 1, firm.clock))
    await firm.service.drain()
    assert firm.service.store.parked() == ()
    told = Counter("yours" if "It's yours." in firm.told(name) else "gone" for name in names)
    assert told == {"yours": 1, "gone": 19}
    assert sum("has it already" in firm.told(name) for name in names) == 19


async def test_restarted_in_mid_relay(tmp_path: Path) -> None:
    """The program ends between two lines; both seats go on where they were, and no line is lost or doubled."""
    clock = Clock()
    with house_of(tmp_path, clock) as firm:
        for name, role in (("Marta", "senior"), ("Rui", "junior")):
            firm.seat(name, role)
        await handed(firm)
        await firm.presses("Marta", 1)
        await firm.accept("Rui", "it is shiny")
    with house_of(tmp_path, clock) as firm:
        for name, role in (("Marta", "senior"), ("Rui", "junior")):
            firm.seat(name, role)
        await firm.service.drain()
        assert firm.told("Marta").count("Rui: it is shiny") == 1
        assert "Marta: then change it" in await _then(firm, "Marta", "then change it", "Rui")
        assert "Back to the bot." in await firm.says("Marta", "carry on")
        assert "Marta says carry on." in firm.told("Rui")


async def test_an_answer_is_in_its_readers_language(firm: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """Marta takes it: João's closed offer says so in his language, Marta's own in hers."""
    languages = {**rendering.__globals__["LANGUAGES"], "xx": {"offer.taken": "{name} tem-no."}}
    monkeypatch.setitem(rendering.__globals__, "LANGUAGES", languages)
    joao = firm.service.store.crew()[firm.seats["João"].person]
    firm.service.store.update_person(replace(joao, language="xx"), firm.clock(), Audit(what="language"))
    await handed(firm)
    await firm.presses("Marta", 1)
    closed = {name: [plain(row.answer) for row in firm.screens[name].rows if row.kind == "alter" and row.answer]
              for name in ("Marta", "João")}
    assert closed == {"Marta": ["Marta has it."], "João": ["Marta tem-no."]}


async def _then(firm: House, who: str, words: str, reader: str) -> str:
    """What somebody else is told upon somebody's words."""
    before = len(firm.screens[reader].rows)
    await firm.says(who, words)
    return "\n".join(text_of(row) for row in firm.screens[reader].rows[before:])

