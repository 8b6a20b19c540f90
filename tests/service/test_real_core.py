"""The service around the core as it ships: a visit, a flood, a restart in the middle."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from bot.conversation.firm import Firm
from bot.conversation.routing import LIMIT
from bot.service.opening import opened
from tests.service.crew import Clock, sit, tell, typed

OPENING = "toploader belt drive, washes ok but wont spin, belt looks glazed"


async def test_a_visit_goes_on_after_a_restart(tmp_path: Path) -> None:
    """Rui opens a visit; the program is started anew; his answer lands on the question that was open."""
    clock = Clock()
    with opened(tmp_path, Firm(), clock=clock) as service:
        rui, first = sit(service, "Rui", clock)
        await tell(service, typed(rui, OPENING, clock))
        assert service.store.parked() == ()
        asked = [row for row in first.rows if row.question is not None]
        assert len(asked) == 1
    with opened(tmp_path, Firm(), clock=clock) as service:
        rui, second = sit(service, "Rui", clock)
        restored = await service.restored(rui.person, rui.conversation)
        assert restored is not None
        assert [question.question for question in restored.questions] == [asked[0].question]
        await tell(service, typed(rui, "1", clock))
        assert service.store.parked() == ()
        changed = next(row for row in second.rows if row.kind == "alter")
        assert (changed.closed, changed.message) == ("answered", asked[0].message)
        (job,) = service.store.view(typed(rui, "?", clock)).open_jobs
        kept = service.store.job(job.id)
        assert kept is not None
        assert kept.version == 2


async def test_a_visit_goes_the_same_whether_all_was_made_ready_or_not(tmp_path: Path) -> None:
    """What a server makes beforehand spares a wait and changes no word; messages may come while it is made."""
    said = []
    for ready in (False, True):
        clock = Clock()
        with opened(tmp_path / str(ready), Firm(), clock=clock) as service:
            making = asyncio.create_task(service.make_ready()) if ready else None
            rui, screen = sit(service, "Rui", clock)
            await tell(service, typed(rui, OPENING, clock))
            if making is not None:
                await making
            await tell(service, typed(rui, "2", clock))
            assert service.store.parked() == ()
            said.append([row.paragraphs for row in screen.rows if row.kind == "send"])
    assert said[0] == said[1]


async def test_a_tool_that_is_missing_before_the_machine_is_known(tmp_path: Path) -> None:
    """'No meter' in the first message, or in the second, is taken and not tripped over."""
    clock = Clock()
    with opened(tmp_path, Firm(), clock=clock) as service:
        for name, texts in (("Rui", ["no meter here, it wont start"]), ("Dana", ["it leaks", "no meter"])):
            met, screen = sit(service, name, clock)
            await tell(service, *(typed(met, text, clock) for text in texts))
            assert service.store.parked() == ()
            assert len(screen.rows) >= len(texts)


async def test_a_thousand_messages_a_minute(tmp_path: Path) -> None:
    """Someone leans on the send key: every message is kept, the first forty are answered, one word to slow down."""
    clock = Clock()
    with opened(tmp_path, Firm(), clock=clock) as service:
        rui, screen = sit(service, "Rui", clock)
        await tell(service, typed(rui, OPENING, clock))
        await tell(service, typed(rui, "where", clock))
        before = len(screen.rows)
        each = sum(row.kind == "send" for row in screen.rows[2:])
        for number in range(1000):
            event = typed(rui, "where", clock)
            await service.accept(replace(event, at=clock() + timedelta(milliseconds=50 * number)))
        await service.drain()
        assert service.store.parked() == ()
        assert (await service.health()).backlog.events == 0
        said = [line for line in screen.lines()[before:] if not line.startswith("~")]
        assert len(said) <= each * LIMIT
        assert sum("a lot at once" in line for line in said) == 1
        assert len(service.store.search("where", 2000)) >= 1000
