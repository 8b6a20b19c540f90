"""A dishwasher that trips or stands wet underneath gets no power for a look; ice near gas gets no hot air."""

from __future__ import annotations

import pytest

from bot.conversation.job import Job
from bot.conversation.release import Release

POWERED = {"run", "live"}


def powered(release: Release, job: Job) -> list[str]:
    """Of the checks now asked, those that put power on the machine."""
    pack = release.knowledge.packs[job.family or ""]
    assert job.question is not None
    return [key for key in job.question.checks if pack.checks[key].power in POWERED]


@pytest.mark.parametrize("told", [
    "dishwasher trips the breaker ten minutes in when it heats",
    "dishwasher kicks the breaker",
    "dishwasher gives me a shock at the door, breaker is off, everybody is fine",
])
def test_a_dishwasher_that_trips_is_metered_and_not_started(release, chat_of, told):
    """Question after question passed on, none of them starts it: one trip that was seen is enough."""
    chat = chat_of()
    chat.send(told)
    for _ in range(6):
        if chat.job.question is None or chat.job.question.kind != "check":
            break
        assert powered(release, chat.job) == []
        chat.send("skip")


def test_a_trip_when_it_heats_goes_straight_to_the_elements_sheath(chat_of):
    """The moment was told with the complaint: the element is read to its sheath before anything else."""
    chat = chat_of()
    chat.send("dishwasher trips the breaker when it starts to heat")
    assert chat.job.question.checks[0] == "heater_to_ground"


def test_water_in_the_base_keeps_the_power_off_until_the_leak_is_found(release, chat_of):
    """The float is up: the machine is locked off, and what comes next needs no power, whatever did not fit before."""
    chat = chat_of()
    chat.send("drain pump on the dishwasher runs all the time, door open too")
    chat.send("valve hums, a trickle")
    said = chat.send("float is up, water in the base pan")[0].text
    assert "Breaker off and locked" in said
    for _ in range(5):
        if chat.job.question is None or chat.job.question.kind != "check":
            break
        assert powered(release, chat.job) == []
        chat.send("skip")


def test_a_frozen_fill_tube_is_thawed_without_hot_air_and_bills_no_part(release):
    """The repair says which dryer is none, and costs nothing: the valve that drips is a part of its own."""
    _, repair = release.knowledge.packs["refrigerator"].repair_of("fill_tube.frozen")
    said = " ".join(repair.cautions)
    assert (repair.cost, repair.parts) == ("none", ())
    assert "R-600a" in said and "hot-air gun" in said
