"""Washers typed with one thumb: sounds, corrections, a repair that did not cure, the place of a leak."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.conversation.release import Release
from tests.conversation.test_washers_told import facts, told, visit


@pytest.mark.parametrize("opening", [
    "frontloder doesnt drain, stops w water in drum, hums tho. cust says kid loses hair clips",
    "front loader stops mid cycle full of water, humming noise",
    "front loader stops in the wash full of water, just buzzes",
])
def test_a_bare_hum_where_water_stays_is_no_drum_that_stands(release: Release, opening: str) -> None:
    """The pump is listened to; nobody is sent to a senior for a motor that nobody spoke of."""
    chat = visit(release, opening)
    assert "tumble_watch" not in facts(chat, "result") and "no_tumble" not in facts(chat, "complaint")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks[0] in {"pump_sound", "filter_look"}


def test_a_hum_told_with_the_drain_is_the_pumps(release: Release) -> None:
    """Said once, it is not asked; what rattles in spin is another thing."""
    assert facts(visit(release, "front loader wont drain, hums tho"), "result")["pump_sound"] == "hums"
    assert "pump_sound" not in facts(visit(release, "front loader wont drain n rattles when spinning"), "result")


@pytest.mark.parametrize(("opening", "check", "result"), [
    ("front load wont drain, coin trap full of lint", "filter_look", "packed"),
    ("front loader wont drain, trap packed w lint", "filter_look", "packed"),
    ("top loader leaks, tub seal", "drip_place", "center"),
    ("top loader slow fill, hot tap was half closed", "tap_look", "shut"),
    ("front load no fill, cold tap off", "taps_look", "shut"),
    ("front load wont spin, load was unbalanced", "load_ask", "one_heavy"),
    ("top loader shakes, towels all on one side", "load_look", "heavy"),
    ("tl never gets full, drain hose shoved way down the pipe", "standpipe_look", "deep"),
    ("toploader wont spin, belt layin on the floor", "belt_grip", "off"),
    ("toploader dead, no lights", "any_life", "dead"),
    ("front loader wont start, just clicks", "any_life", "alive_no_start"),
])
def test_the_first_line_tells_it_by_thumb(release: Release, opening: str, check: str, result: str) -> None:
    """Said once, it is not asked."""
    assert facts(visit(release, opening), "result").get(check) == result


@pytest.mark.parametrize("opening", [
    "front loader fills n drains at the same time", "toploader drains while its filling",
    "front load washer, drains as it fills"])
def test_water_that_goes_as_it_comes_is_a_complaint(release: Release, opening: str) -> None:
    """Neither that it fills nor that it drains is good news here."""
    chat = visit(release, opening)
    assert "no_fill" in facts(chat, "complaint") and not {"no_fill", "no_drain"} & facts(chat, "denied").keys()


@pytest.mark.parametrize("answer", ["belt, layin on the floor", "belt, lying in the bottom", "belt, snapped"])
def test_how_the_belt_was_found_is_told_with_the_build(release: Release, answer: str) -> None:
    """Asked how it is driven: the belt, and where it lies."""
    chat = visit(release, "toploader wont spin", "motor runs basket stands", answer)
    assert facts(chat, "variant")["drive"] == "belt" and facts(chat, "result")["belt_grip"] == "off"


@pytest.mark.parametrize("answer", ["nothing in the pump", "nothin stuck in the pump", "theres nothing in the trap"])
def test_what_lies_in_a_pump_is_no_sound_of_it(release: Release, answer: str) -> None:
    """Asked what the pump does: what was found in it is filed where it belongs."""
    chat = visit(release, "front load wont drain", answer)
    assert "pump_sound" not in facts(chat, "result") and facts(chat, "result")["filter_look"] == "clean"


@pytest.mark.parametrize(("opening", "answer", "check"), [
    ("front loader wont fill", "hot tap is off", "taps_look"), ("toploader wont fill", "hot tap off", "tap_look")])
def test_a_tap_found_off_was_looked_at(release: Release, opening: str, answer: str, check: str) -> None:
    """Who says that it is off need not look again."""
    assert facts(visit(release, opening, answer), "result")[check] == "shut"


@pytest.mark.parametrize("answer", ["cant hear nothin from the pump", "dont hear nothing from it"])
def test_who_hears_nothing_has_listened(release: Release, answer: str) -> None:
    """No sound is an answer, and nothing that could not be done."""
    chat = visit(release, "top load wont drain", answer)
    assert facts(chat, "result")["watch_drain"] == "silent" and "watch_drain" not in facts(chat, "cannot")


SHAKES = ("top load shakes bad in spin", "bounces 4 times", "bit by bit", "got a set", "yes", "done")


def test_still_bangs_with_a_full_load_is_no_cure(release: Release) -> None:
    """'Empty its smooth' tells when, not that it is well; both are kept for the next look."""
    chat = visit(release, *SHAKES, "still bangs but only w towels all on one side. empty its smooth")
    assert chat.job is not None and chat.job.phase is Phase.CHECKS
    assert "suspension.worn" in facts(chat, "repaired")
    assert facts(chat, "result")["bang_empty"] == "loaded" and facts(chat, "result")["load_look"] == "heavy"


def test_no_more_shaking_is_one(release: Release) -> None:
    """The other side of it."""
    chat = visit(release, *SHAKES, "no more shaking, quiet")
    assert chat.job is not None and chat.job.phase is Phase.CLOSING


def test_what_it_does_since_the_repair_is_kept(release: Release) -> None:
    """A new pump that hums where the old one was silent: said with the repair, it is not asked."""
    chat = visit(release, "toploader stops after wash w tub full, no drain no spin", "pump is dead quiet",
                 "its own motor", "OL", "its free", "got one", "yes",
                 "fitted new pump still wont drain, hums now")
    assert "replace_drain_pump" in facts(chat, "repaired")
    assert facts(chat, "result")["watch_drain"] == "hums"


HEATER = ("clothes cold after hot wash, front loader. fills ok", "all at once", "with heater")


@pytest.mark.parametrize(("lines", "element", "to_ground"), [
    (("0.00 ohm, and 0 to flange", "nothin trips. sorry had the meter on beep, its OL across n OL to flange"),
     "open", "clear"),
    (("0.00 ohm, and 0 to flange", "wait wrong range. 28 ohm and OL to the flange"), "good", "clear"),
    (("14 ohm, OL to ground", "no wait its OL across"), "open", "clear"),
    (("14 ohm, OL to ground", "sorry leads were swapped, OL across, 14 ohm to ground"), "open", "leak"),
])
def test_each_reading_put_right_is_its_own(release: Release, lines: tuple[str, ...], element: str,
                                           to_ground: str) -> None:
    """Across and to the metal, put right in one breath; what was not meant stands."""
    seen = facts(visit(release, *HEATER, *lines), "result")
    assert (seen["heater_ohms"], seen["heater_to_ground"]) == (element, to_ground)


def test_a_lock_that_clicks_was_called(release: Release) -> None:
    """The keys that called it need no trying."""
    chat = visit(release, "front load wont start", "lights up, nothing runs", "clicks and gives up")
    assert chat.job is not None and chat.job.question is not None
    assert facts(chat, "result")["lock_watch"] == "clicks" and "keys_respond" not in chat.job.question.checks


def test_a_silent_valve_is_no_siphon(release: Release) -> None:
    """No buzz, good coils: what lets water out is not looked for where none comes in."""
    chat = visit(release, "top loader wont fill", "no buzz no water", "both 1.1k")
    assert chat.job is not None and chat.job.question is not None
    assert "standpipe_look" not in chat.job.question.checks


def test_a_leak_at_the_drawer_ends_at_its_hose(release: Release) -> None:
    """The gasket is whole, the dose right, no foam: neither is blamed, and the hose is seen from above."""
    chat = visit(release, "fl door boot leaks puddle front after 10 min wash",
                 "its clean n whole, no tears. water runs down inside the front left side from up by the drawer",
                 "little foam only", "drawer is clean")
    assert facts(chat, "result")["leak_place"] == "drawer"
    for line in ("right dose", "track on the hose from the drawer", "settles at once"):
        chat.send(line)
    assert facts(chat, "result")["top_hoses_look"] == "hose"
    assert "Leaking hose under the detergent drawer" in told(chat) and "Clear the suds" not in told(chat)


@pytest.mark.parametrize(("line", "result"), [
    ("cap reads 10 uf, stamped 45", "weak"), ("10 uf stamped 45", "weak"), ("capacitor 44 of 45 uf", "good")])
def test_a_capacity_told_beside_its_stamp_is_compared(release: Release, line: str, result: str) -> None:
    """While the winding is asked: the two figures are the answer to the capacitor."""
    chat = visit(release, "tl wont spin, hums", "hums", line)
    assert facts(chat, "result")["capacitor_uf"] == result


@pytest.mark.parametrize("opening", [
    "fl washer, comes out cold on warm n hot", "tl washer clothes come out cold", "front loader buzzes when it drains",
    "front load wont drain, buzzing when it shud drain"])
def test_plain_words_raise_no_alarm(release: Release, opening: str) -> None:
    """Cold water is nobody out cold, and a pump that buzzes gives nobody a buzz."""
    assert facts(visit(release, opening), "danger") == {}


@pytest.mark.parametrize(("opening", "danger"), [
    ("clothes came out cold, my helper is out cold", "injury"), ("customer out cold by the washer", "injury"),
    ("i get a buzz when i open the door of the front loader", "shock"),
    ("top loader gives a buzz when you touch the lid", "shock"),
    ("top load squeals in spin then burnin rubber", "fire")])
def test_the_same_words_of_somebody_do(release: Release, opening: str, danger: str) -> None:
    """Who lies there, who felt it; and rubber that burns, with no word of a smell."""
    assert danger in facts(visit(release, opening), "danger")
