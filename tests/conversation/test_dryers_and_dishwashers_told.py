"""Dryers and dishwashers as they are told at the door: what was said is not asked, and what is dangerous stops it."""

from __future__ import annotations

import pytest

from bot.conversation.release import Release
from bot.simulation.chat import Chat
from tests.conversation.test_told_beside import facts, visit


def asked(chat: Chat) -> tuple[str, ...]:
    """The checks that are open."""
    assert chat.job is not None
    return chat.job.question.checks if chat.job.question is not None else ()


def said(chat: Chat) -> str:
    """All that the tech was shown."""
    return "\n".join(one.text for one in chat.heard["rui"])


@pytest.mark.parametrize("opening", [
    "dryer wont stop running when door opened", "dryer keeps turning with the door open",
    "dryer, drum still turns with the door open"])
def test_a_drum_that_turns_with_the_door_open_is_stopped_at_once(release: Release, opening: str) -> None:
    """The plug comes out at the first word, and the switch is metered dead; nobody looks at sensor strips first."""
    chat = visit(release, opening)
    assert facts(chat, "result")["door_while_running"] == "keeps_on"
    assert "Pull the plug and tag it" in said(chat)
    assert asked(chat) == ("door_switch_ohms",)


def test_a_dryer_that_runs_on_when_it_should_end_is_no_open_door(release: Release) -> None:
    """Clothes bone dry and still running is a sensor or a timer."""
    assert "door_while_running" not in facts(visit(release, "dryer wont shut off on auto, clothes bone dry"), "result")


@pytest.mark.parametrize("opening", ["gas dryer lights with a boom", "gas dryer goes boom when it lights"])
def test_a_burner_that_lights_with_a_boom_is_left_off(release: Release, opening: str) -> None:
    """Gas gathers before it catches: off, and a licensed person's."""
    chat = visit(release, opening)
    assert facts(chat, "result")["burner_watch"] == "late"
    assert "Off now and left off" in said(chat)


def test_a_motor_that_hums_and_takes_a_push_is_not_asked_for_its_lamp(release: Release) -> None:
    """It has power through door, fuse and start: the drum by hand comes next, dead."""
    chat = visit(release, "dryer hums wont start, helps if u spin it by hand")
    assert facts(chat, "result")["watch_run"] == "hums"
    assert asked(chat) == ("drum_by_hand",)


def test_a_flat_spot_that_was_seen_names_the_rollers(release: Release) -> None:
    """Nobody listens for what was looked at."""
    chat = visit(release, "dryer thumping, flat spot on a roller")
    assert facts(chat, "result") == {"noise_kind": "thump", "drum_support": "rollers"}
    assert "Replace the drum rollers" in said(chat)


def test_an_ear_on_a_turning_drum_has_seen_it_start(release: Release) -> None:
    """A squeal low down, a drum that drops at the back: the front comes off, and no warm air is asked for."""
    chat = visit(release, "dryer squeals", "low down", "drops at the back")
    assert facts(chat, "result") == {"noise_kind": "squeal", "noise_place": "low", "drum_lift": "rear"}
    assert asked(chat) == ("drum_support",)


def test_weak_air_at_the_flap_is_not_felt_for_twice(release: Release) -> None:
    """With the filter in and out it was weak: the hood is the same flap."""
    chat = visit(release, "electric dryer takes 2-3 cycles to dry towels, drum is hot tho", "weak both times")
    assert facts(chat, "result") == {"flap_without_filter": "both_weak"}
    for _ in range(4):
        assert "hood_flap" not in asked(chat)
        chat.send("skip")


def test_a_drain_pump_that_hums_when_the_water_stays_was_listened_to(release: Release) -> None:
    """Nobody is sent to put an ear to it."""
    chat = visit(release, "dishwasher wont drain just hums")
    assert facts(chat, "result")["pump_sound"] == "hums"
    assert "Blocked drain pump" in said(chat)


def test_a_drain_pump_cleared_in_vain_with_a_good_winding_is_named_itself(release: Release) -> None:
    """Cleared, it hums still, 22 ohms: its impeller is turned once more, then the pump it is. It gets its call, so
    nobody looks for a part that gets none, and a bucket under the hose shows nothing of a pump that stands."""
    chat = visit(release, "dishwasher wont drain just hums", "filter clean", "do it", "done", "2")
    chat.send("hums")
    chat.send("22")
    assert asked(chat) == ("pump_impeller", "sump_look")
    chat.send("free, empty")
    assert "Replace the drain pump" in said(chat)
    assert not {"part_on_output", "drain_stream"} & set(facts(chat, "result"))


def test_a_wash_pump_that_hums_without_spray_is_not_asked_which_rack_is_dirty(release: Release) -> None:
    """No spray leaves both dirty and both arms where they stood."""
    chat = visit(release, "dishwasher fills then just hums no water spraying")
    assert facts(chat, "result")["wash_sound"] == "hums"
    assert asked(chat) == ("wash_motor_ohms", "wash_shaft")


def test_a_fill_without_a_hum_was_listened_to(release: Release) -> None:
    """No hum, no water: the float is lifted by hand."""
    chat = visit(release, "dishwasher wont fill, no hum, no water at all")
    assert facts(chat, "result")["fill_listen"] == "silent"
    assert asked(chat) == ("float_move",)


@pytest.mark.parametrize("opening", [
    "dishwasher theres dirty water in it every morning, cycle ends fine and empty",
    "dishwasher water back in the bottom by morning, cycle ends empty"])
def test_water_that_is_back_in_the_morning_is_heard(release: Release, opening: str) -> None:
    """Empty at night and full at breakfast: it is a drain's trouble, not a cycle's end."""
    assert "no_drain" in facts(visit(release, opening), "complaint")


def test_suds_all_over_the_floor_are_a_leak_of_foam_and_not_the_sink_alone(release: Release) -> None:
    """What was put into it is told with them."""
    chat = visit(release, "dishwasher overflowed, suds everywhere, cust used dish soap")
    assert "leaks" in facts(chat, "complaint")
    assert facts(chat, "result") == {"leak_place": "foam", "detergent_ask": "wrong"}


def test_half_the_keys_dead_are_heard_with_the_complaint(release: Release) -> None:
    """They are not pressed again one by one."""
    chat = visit(release, "dishwasher half the buttons dont do anything, start works sometimes")
    assert facts(chat, "result")["keys_respond"] == "some"


def test_a_start_key_that_starts_nothing_is_no_dead_key_yet(release: Release) -> None:
    """Latch, lock and leak switch do the same."""
    assert facts(visit(release, "dishwasher start button does nothing"), "result") == {}


def test_a_stop_that_a_push_on_the_door_ends_is_the_latch_that_was_tried(release: Release) -> None:
    """It goes on when he leans on it: nobody listens to the drain pump for that."""
    chat = visit(release, "dishwasher stops mid cycle, then resumes when i push the door")
    assert facts(chat, "result")["latch_push"] == "only_pushed"
    assert "pump_sound" not in asked(chat)
