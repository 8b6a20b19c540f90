"""Washers, part by part: what is said of one part is filed on that part, however short it is typed."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.conversation.release import Release
from tests.conversation.test_washers_told import facts, told, visit

BANGS = "front loader bangs in spin"


@pytest.mark.parametrize("line", [
    "reckon shocks", "id say shocks", "my money is on the shocks", "prob shocks", "suspect shocks or springs"])
def test_shocks_that_are_suspected_hurt_nobody_and_are_looked_at(release: Release, line: str) -> None:
    """A bet is no answer to what is asked; what is asked shows it."""
    chat = visit(release, BANGS, line)
    assert chat.job is not None and chat.job.phase is not Phase.HAZARD
    assert "Could be, worn shock absorbers" in told(chat)
    assert "bounce_test" not in facts(chat, "result")


@pytest.mark.parametrize("line", [
    "checked the shocks, no leaks", "shocks not leaking", "no oil on either shocks", "looked at the shocks, dry"])
def test_shocks_that_were_looked_at_deny_no_shock(release: Release, line: str) -> None:
    """Nobody spoke of current."""
    chat = visit(release, BANGS, line)
    assert chat.job is not None and chat.job.phase is not Phase.HAZARD
    assert "no shock" not in told(chat) and "electric_shock" not in facts(chat, "denied")


@pytest.mark.parametrize("line", [
    "it shocks me", "got a shock", "shocked", "shocks", "shocks not as bad", "customer says shocks",
    "checked the shocks, got a shock off the drum", "reckon shocks, got one off the cabinet", "think it shocks ppl",
    "maybe shocks, customer felt it", "shocks are bad off the lid", "bad shock"])
def test_a_shock_that_somebody_may_have_got_stays_a_danger(release: Release, line: str) -> None:
    """In doubt it is one."""
    chat = visit(release, BANGS, line)
    assert chat.job is not None and chat.job.phase is Phase.HAZARD


@pytest.mark.parametrize("opening", ["top loader wont spin", "top loader shakes in spin"])
@pytest.mark.parametrize("line", ["tub wobbles when i push the drum up", "drum wobbles when i lift it"])
def test_a_tub_that_gives_in_the_hands_is_no_machine_that_rocks(release: Release, opening: str, line: str) -> None:
    """It hangs on rods: how it answers a hand tells nothing of its feet, nor of a run."""
    chat = visit(release, opening, "runs, no spin" if "spin" in opening[-8:] else "up once and stands", line)
    assert "rock_test" not in facts(chat, "result")


@pytest.mark.parametrize("line", ["drum wobbles when i lift it", "drum wobbles if i push it up"])
def test_a_drum_that_gives_when_lifted_is_no_broken_spider(release: Release, line: str) -> None:
    """A spider shows when the drum is turned."""
    lifted = visit(release, BANGS, line)
    assert "drum_play" not in facts(lifted, "result") and "Don't let it spin" not in told(lifted)
    turned = visit(release, BANGS, "rim wobbles when i turn it")
    assert facts(turned, "result")["drum_play"] == "wobbles" and "Don't let it spin" in told(turned)


@pytest.mark.parametrize(("line", "kind"), [
    ("put clutch in, spins lovely", "proof"), ("put belt on, spins sweet", "proof"),
    ("threw new clutch in n it spins", "proof"), ("put clutch in no joy", "check")])
def test_a_part_put_in_without_an_article_is_a_repair(release: Release, line: str, kind: str) -> None:
    """'Put clutch in' is no clutch that was looked at."""
    chat = visit(release, "top loader wont spin", line)
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.kind == kind and "clutch_look" not in facts(chat, "result")


def test_still_nothing_after_a_part_shows_no_silent_run(release: Release) -> None:
    """It is the trouble once more."""
    chat = visit(release, "top loader wont spin", "put lid switch in still nothing")
    assert "watch_wash" not in facts(chat, "result") and "lid_switch_ohms" not in facts(chat, "result")


@pytest.mark.parametrize("line", ["impeller turns now", "impeller spins free", "impeller wont turn"])
def test_a_pumps_impeller_is_no_drum(release: Release, line: str) -> None:
    """Neither told nor denied of the drum."""
    chat = visit(release, "front loader wont drain", line)
    assert not {"no_tumble", "no_spin"} & ({*facts(chat, "complaint")} | {*facts(chat, "denied")})


@pytest.mark.parametrize("line", ["wait its the other one thats open", "sorry other way round",
                                  "no wait i had them backwards"])
def test_the_other_one_exchanges_what_was_told_of_two(release: Release, line: str) -> None:
    """Two switches in one line, and the wrong one called open."""
    first = visit(release, "top loader wont start", "lid switch closed, timer contact open")
    assert facts(first, "result") == {"lid_switch_ohms": "closed", "timer_contact_ohms": "open"}
    then = visit(release, "top loader wont start", "lid switch closed, timer contact open", line)
    assert facts(then, "result") == {"lid_switch_ohms": "open", "timer_contact_ohms": "closed"}


def test_the_other_one_of_which_nothing_is_known_asks_again(release: Release) -> None:
    """What was called bad is in doubt, and no part is ordered on it."""
    chat = visit(release, "front loader no heat", "element OL", "no wait its the other one thats OL")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks == ("heater_ohms",)


@pytest.mark.parametrize(("lines", "result"), [
    (("120 at the board plug but zilch at the lock",), "none"), (("0 volts at the lock plug",), "none"),
    (("120 at the lock but it dont click",), "full")])
def test_volts_at_a_part_that_stands_still_are_the_volts_at_the_dead_part(
        release: Release, lines: tuple[str, ...], result: str) -> None:
    """Told at another question, in the first line too."""
    opening = "front loader wont start door wont lock"
    assert facts(visit(release, opening, *lines), "result")["output_volts"] == result
    assert facts(visit(release, f"{opening}, {lines[0]}"), "result")["output_volts"] == result


def test_volts_at_a_pump_that_does_not_run_are_no_pump_that_runs(release: Release) -> None:
    """Nor is a valve that gets its volts a wet one."""
    assert "pump_sound" not in facts(visit(release, "front loader wont drain", "120 at the pump but it dont run"),
                                     "result")
    fill = facts(visit(release, "top loader wont fill", "120 at the valve, coils 900 ohms"), "result")
    assert fill == {"output_volts": "full", "valve_coils": "good"}


@pytest.mark.parametrize(("line", "found"), [
    ("top loader wont spin, belt ok, lid switch clicks", {"belt_grip": "grips", "lid_click": "clicks"}),
    ("top loader wont fill, taps open, screens clean", {"screens_look": "clean"}),
    ("top loader shakes, feet level, rods ok", {"rod_look": "whole"}),
    ("front loader wont drain, filter clean, hose clear", {"filter_look": "clean"}),
    ("front loader wont spin, brushes 8mm, belt ok", {"belt_look": "good"})])
def test_what_is_called_fine_in_the_first_line_is_not_asked(
        release: Release, line: str, found: dict[str, str]) -> None:
    """Each on its own look, and nothing on a run."""
    assert facts(visit(release, line), "result") == found


@pytest.mark.parametrize(("opening", "line", "asked"), [
    ("top loader wont fill", "taps open", "watch_fill"), ("front loader wont drain", "hose clear", "pump_sound"),
    ("front loader wont drain", "filter clean", "pump_sound")])
def test_a_part_that_is_well_tells_nothing_of_the_run_that_is_asked(
        release: Release, opening: str, line: str, asked: str) -> None:
    """'Hose clear' is no pump that drains."""
    assert asked not in facts(visit(release, opening, line), "result")


@pytest.mark.parametrize(("lines", "check", "ohms"), [
    (("28 ohms", "30 ohms", "heater"), "heater_ohms", 30), (("28 ohms", "heater 30 ohms"), "heater_ohms", 30),
    (("28 ohms", "heater"), "heater_ohms", 28), (("28 ohms", "thats the drain pump"), "pump_winding", 28),
    (("28 ohms", "no thats 30 ohms", "heater"), "heater_ohms", 30)])
def test_whose_reading_it_is_may_be_told_with_a_new_one(
        release: Release, lines: tuple[str, ...], check: str, ohms: float) -> None:
    """A new reading, one of a named part, a part that was not offered."""
    chat = visit(release, "front loader no heat", *lines)
    assert chat.job is not None and "don't follow" not in told(chat)
    assert [f.number for f in chat.job.standing("result") if f.subject == check] == [ohms]


@pytest.mark.parametrize(("lines", "found"), [
    (("lid switch OL", "with lid down"), {"lid_switch_ohms": "open"}),
    (("lid switch 0.2 ohms", "thats lid shut"), {"lid_switch_ohms": "closed"}),
    (("lid switch OL", "wait i had the lid up"), {"lid_switch_up": "open"}),
    (("lid switch 0.2 ohms", "lid up its OL"), {"lid_switch_ohms": "closed", "lid_switch_up": "open"})])
def test_the_lid_that_was_not_told_places_the_reading(
        release: Release, lines: tuple[str, ...], found: dict[str, str]) -> None:
    """'With lid down' says where it was read, and not that it closes."""
    assert facts(visit(release, "top loader wont spin", *lines), "result") == found


def test_ohms_at_a_boards_plug_are_no_motors(release: Release) -> None:
    """A plug is where a meter is put, and no part."""
    chat = visit(release, "front loader no heat", "element 28 ohms", "sensor wires fine, 12k at the board plug")
    assert "brush_motor_ohms" not in facts(chat, "result")
    assert chat.job is not None and chat.job.question is not None and chat.job.question.kind == "which_check"


@pytest.mark.parametrize(("line", "told"), [
    ("front loader no pump no spin", {"no_drain", "no_spin"}),
    ("front loader no tumble no pump", {"no_drain", "no_tumble"}),
    ("front loader wont drain, pump impeller spins free", {"no_drain"})])
def test_a_pump_that_does_not_pump_and_a_drum_that_does_not_turn_are_two_troubles(
        release: Release, line: str, told: set[str]) -> None:
    """What the pump's own impeller does is told of no drum."""
    assert set(facts(visit(release, line), "complaint")) == told
