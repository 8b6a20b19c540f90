"""The pure functions that the service turns its wheels around, as one value, so that tests can put in a small core."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bot.conversation.context import Context
from bot.conversation.desk import Desk
from bot.conversation.effects import Effect, Text
from bot.conversation.events import Event
from bot.conversation.firm import Firm, JobBrief
from bot.conversation.job import Job
from bot.conversation.markup import Paragraph
from bot.conversation.routing import Pointed, Routed

Route = Callable[[Event, Pointed, Desk, Sequence[JobBrief], Context], Routed]
Step = Callable[[Job, Event, Context], tuple[Job, tuple[Effect, ...]]]
Render = Callable[[Text, Firm, str], Paragraph]


@dataclass(frozen=True, slots=True)
class Core:
    """Which job an event is about, how a job begins, what an event does to it, how that is worded, how it is named."""

    route: Route
    open: Callable[[str, Event, Context], Job]
    step: Step
    render: Render
    label: Callable[[Job, Context], Text]


def real_core() -> Core:
    """The core as it ships. Imported late: not everything that uses the service needs it."""
    from bot.conversation.routing import route  # noqa: PLC0415
    from bot.conversation.turn import label_of  # noqa: PLC0415
    from bot.conversation.wording import render  # noqa: PLC0415
    from bot.step import open_job, step  # noqa: PLC0415

    return Core(route, open_job, step, render, label_of)
