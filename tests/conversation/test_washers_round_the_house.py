"""Washers in a junior's own words: what a line tells beside the answer, by a hand, of a code, and at the end."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.simulation.chat import Chat
from tests.conversation.test_washers_told import facts, told, visit


def question(chat: Chat) -> str:
    """The kind of question that is open."""
    assert chat.job is not None and chat.job.question is not None
    return chat.job.question.kind


def phase(chat: Chat) -> Phase:
    """Where the visit stands."""
    assert chat.job is not None
    return chat.job.position.phase


@pytest.mark.parametrize("opening", [
    "TL keeps on filling, over the top nearly", "toploader water wont shut off",
    "top loader never stops filling"])
def test_too_much_water_is_no_water_with_the_plug_out(release: Release, opening: str) -> None:
    """The valve is condemned by what it does without power, and nobody looked at that."""
    chat = visit(release, opening)
    assert "overfill" in facts(chat, "complaint") and "plug_out_fill" not in facts(chat, "result")
    assert phase(chat) is Phase.CHECKS


@pytest.mark.parametrize("opening", [
    "toploader overfills, keeps coming in when its switched off", "top loader keeps filling even unplugged"])
def test_water_that_runs_without_power_is(release: Release, opening: str) -> None:
    """Said so, it is filed, and the taps are shut at once."""
    chat = visit(release, opening)
    assert facts(chat, "result")["plug_out_fill"] == "runs_on" and "Shut both taps" in told(chat)


@pytest.mark.parametrize(("opening", "read"), [
    ("front loader walks all over the place in spin", False),
    ("front loader no spin, brush pair reads all over the place", True)])
def test_what_only_a_meter_shows_wants_a_meter_or_its_part(release: Release, opening: str, read: bool) -> None:
    """A machine that walks all over the place has no brushes that were read."""
    assert ("brush_motor_ohms" in facts(visit(release, opening), "result")) is read


@pytest.mark.parametrize(("lines", "filed", "not_told"), [
    (("FL wont start", "lights up wont start", "locks clunk n then nothing. code says motor"),
     {"lock_watch": "locks", "code_ask": "motor"}, "noisy"),
    (("FL wont start", "lights up wont start", "locks with a thunk and thats it, nothing after"),
     {"lock_watch": "locks"}, "noisy"),
    (("FL wont drain", "pump silent", "water pours out at the cap ok. filter was stuffed with hair n coins"),
     {"cap_flow": "runs_out", "filter_look": "packed"}, "leaks"),
    (("TL wont start, no spin, belt", "dead", "no smell. if i thump the side it kicks in"), {"smell_where": "none"},
     "noisy")])
def test_an_answer_brings_no_trouble_of_its_own(release: Release, lines: tuple[str, ...], filed: dict[str, str],
                                                not_told: str) -> None:
    """The lock's clunk, the water at the cap and a thump with the fist are the answer, and no noise and no leak."""
    chat = visit(release, *lines)
    assert filed.items() <= facts(chat, "result").items()
    assert not_told not in facts(chat, "complaint")


def test_a_leak_that_is_told_beside_an_answer_still_counts(release: Release) -> None:
    """Where it drips, in so many words, while the gasket is asked for the smell."""
    chat = visit(release, "FL musty smell", "slimy fold. and it drips at the door when it fills")
    assert facts(chat, "result")["gasket_look"] == "fouled" and facts(chat, "result")["leak_place"] == "door"
    assert "leaks" in facts(chat, "complaint")


@pytest.mark.parametrize(("line", "result"), [
    ("no code at all. fills a tad slow maybe", "none"), ("no code showing, water comes in kinda slow", "none"),
    ("code was for the door, it drains slow", "door"), ("code says motor, locks fine", "motor")])
def test_a_code_is_answered_by_what_is_said_of_it(release: Release, line: str, result: str) -> None:
    """How it fills or drains is no word on the code."""
    chat = visit(release, "FL stops mid cycle", "pump drains well", "runs thru", "doesnt trip", line)
    assert facts(chat, "result")["code_ask"] == result
    assert ("error_code" in facts(chat, "complaint")) is (result != "none")


@pytest.mark.parametrize("line", [
    "all steps ok but then i cant open it", "fill wash drain spin all of em go, just wont let me in after",
    "fill wash drain spin all of em go, just wont let me in after. lock stays shut with the plug pulled too"])
def test_the_trouble_said_again_is_no_cannot(release: Release, line: str) -> None:
    """That the lid stays shut was told; the run was watched."""
    chat = visit(release, "TL lid wont unlock", "no code", line)
    assert facts(chat, "result")["watch_cycle"] == "all_run" and "watch_cycle" not in facts(chat, "cannot")


@pytest.mark.parametrize("line", [
    "coupler, timer", "coupler", "motor sits right on the gearbox", "it has the motor right on the gearbox",
    "motor on the gearcase"])
def test_the_drive_named_at_the_spin_is_no_spin(release: Release, line: str) -> None:
    """How it is driven, while the spin is asked for."""
    chat = visit(release, "TL wont spin", line)
    assert facts(chat, "variant")["drive"] == "coupler" and "watch_spin" not in facts(chat, "result")


@pytest.mark.parametrize(("opening", "line", "check", "result"), [
    ("FL wont spin, belt", "turned the drum by hand, nice n smooth", "drum_by_hand", "smooth"),
    ("FL wont spin, belt", "turned the drum by hand n its smooth, pump runs n drains well", "pump_sound", "drains"),
    ("TL wont spin, belt", "pushed the basket round by hand, growls", "basket_by_hand", "growls"),
    ("TL wont spin, coupler", "it rubs once a turn when i spin the basket by hand", "basket_by_hand", "scrapes"),
    ("dishwasher noisy", "spun the impeller by hand, turns free", "wash_impeller_turn", "free")])
def test_what_a_hand_turns_is_heard_with_what_it_showed(release: Release, opening: str, line: str, check: str,
                                                        result: str) -> None:
    """What was done stands before the comma, what it showed behind it."""
    assert facts(visit(release, opening, line), "result")[check] == result


def test_what_was_only_done_shows_nothing_yet(release: Release) -> None:
    """'Turned the drum by hand' is no drum that wobbles; it is asked how it ran."""
    chat = visit(release, "FL noisy", "settles", "turned the drum by hand")
    assert "drum_play" not in facts(chat, "result")
    assert chat.job is not None and chat.job.question is not None and "drum_by_hand" in chat.job.question.checks


def test_what_was_forgotten_shows_nothing(release: Release) -> None:
    """'Forgot to push it all the way in' is no tub that won't move."""
    assert "bounce_test" not in facts(visit(release, "FL noisy", "settles", "forgot to push it all the way in"),
                                      "result")


@pytest.mark.parametrize(("line", "result"), [
    ("tried volts at pump plug n theres none", "none"), ("volts to the pump, nothing", "none"),
    ("volts at the pump plug reads 120", "full")])
def test_volts_with_the_figure_last(release: Release, line: str, result: str) -> None:
    """At the part that stands still, whatever is asked."""
    chat = visit(release, "FL wont drain", "pump silent", "runs out, clean", line)
    assert facts(chat, "result")["output_volts"] == result


def test_green_wires_of_the_pump_are_not_the_locks(release: Release) -> None:
    """Whose plug it is, is said; the lock's own is heard as before."""
    assert "lock_plug_look" not in facts(visit(release, "FL wont drain", "pump silent", "pump plug wires look green"),
                                         "result")
    chat = visit(release, "FL wont start", "dead", "door lock plug is green")
    assert facts(chat, "result")["lock_plug_look"] == "bad"


def test_which_part_did_it_is_no_bet_on_it(release: Release) -> None:
    """'Its the lock that clunks' looks at no settings; 'its the bearing thats bad' looks at the bearing."""
    chat = visit(release, "FL wont start sometimes", "lights up wont start", "its the lock that clunks not the drum")
    assert "Could be, lock, delay or demo" not in told(chat)
    assert "Could be, worn drum bearing" in told(visit(release, "FL noisy", "its the bearing thats bad"))


@pytest.mark.parametrize("line", [
    "motor runs but the basket just sits there", "like i said motor runs n basket just sits"])
def test_what_was_said_before_is_no_other_look(release: Release, line: str) -> None:
    """A spin that was watched, said again while the smell is asked, times no brake."""
    chat = visit(release, "TL no spin, belt, shifter", "motor runs but the basket just sits there", "no smell", line)
    assert "basket_stop" not in facts(chat, "result") and "That I have already" in told(chat)


@pytest.mark.parametrize(("opening", "line", "check", "result"), [
    ("TL wont drain", "drain hose froze solid", "drain_hose_path", "kinked"),
    ("FL wont drain", "drain hoses frozen in the garage", "drain_hose_path", "kinked"),
    ("TL no spin, coupler", "couplers in pieces", "coupling_look", "sheared"),
    ("TL no spin no agitate", "coupler in bits", "coupling_look", "sheared")])
def test_parts_by_how_they_look(release: Release, opening: str, line: str, check: str, result: str) -> None:
    """In the words for ice and for what is in pieces."""
    assert facts(visit(release, opening, line), "result")[check] == result


@pytest.mark.parametrize("lines", [
    ("just heavy", "belt on"), ("just heavy", "dry", "new belts on"), ("just heavy", "dry", "order it", "belts on")])
def test_a_belt_that_is_on_is_done(release: Release, lines: tuple[str, ...]) -> None:
    """Whether a cause of it, the finding or its price is asked for: on to the proof."""
    assert question(visit(release, "TL no spin, belt", "runs no spin", "no grip, dry", *lines)) == "proof"


def test_power_that_is_on_is_no_part(release: Release) -> None:
    """'Power on' at the finding fits no belt."""
    chat = visit(release, "TL no spin, belt", "runs no spin", "no grip, dry", "just heavy", "dry", "got one",
                 "power on")
    assert question(chat) != "proof" and not facts(chat, "repaired")


LOCK = ("TL lid wont unlock", "no code", "runs right through", "still shut w the power pulled", "home and bright",
        "got one", "yes", "done")


@pytest.mark.parametrize("line", [
    "opens by itself every time", "lid pops open by itself 3 times runnin", "lets go on its own in a min"])
def test_a_lid_that_lets_go_is_proved(release: Release, line: str) -> None:
    """How it runs now, with no word of 'now' or 'works'."""
    assert question(visit(release, *LOCK, line)) == "closing"


@pytest.mark.parametrize("line", ["still wont open", "lid still stays shut"])
def test_a_lid_that_stays_shut_is_not(release: Release, line: str) -> None:
    """The same is no cure."""
    assert phase(visit(release, *LOCK, line)) not in {Phase.CLOSING, Phase.PROOF}


@pytest.mark.parametrize("line", ["nothing left over, tools in the bag", "no screws left, all on"])
def test_closed_up_by_what_is_left(release: Release, line: str) -> None:
    """Nothing left over is all of it; a screw is not."""
    assert question(visit(release, *LOCK, "works", line)) == "site"
    assert question(visit(release, *LOCK, "works", "one screw left over")) == "closing"


def test_still_nothing_after_a_part_is_the_trouble_as_told(release: Release) -> None:
    """A new lid switch and still nothing, of a basket that does not spin: no machine that does not start."""
    chat = visit(release, "TL no spin, timer, plain switch", "silent", "no click", "just heavy", "got one", "yes",
                 "put lid switch in still nothing")
    assert "wont_start" not in facts(chat, "complaint")


def test_a_run_that_goes_takes_back_no_trouble_that_comes_and_goes(release: Release) -> None:
    """It runs to the end while somebody looks; what it stops for is still looked for."""
    chat = visit(release, "FL stops mid cycle", "drains well",
                 "drains n locks fine, just runs through to the end when im here. no code")
    assert "stops_mid_cycle" in facts(chat, "complaint") and question(chat) == "check"


@pytest.mark.parametrize(("line", "filed"), [("shut the taps", False), ("taps are shut", True)])
def test_a_tap_that_was_shut_just_now_is_not_found_shut(release: Release, line: str, filed: bool) -> None:
    """What somebody did against the water, and how the taps stood."""
    chat = visit(release, "FL leaks, overfills", "runs in standing off", line)
    assert ("taps_look" in facts(chat, "result")) is filed


@pytest.mark.parametrize("line", ["levelled her up, locknuts done", "leveled it"])
def test_a_machine_that_was_levelled_goes_to_its_proof(release: Release, line: str) -> None:
    """Whatever it is called: it rocked, and that was put right."""
    assert question(visit(release, "TL shakes", "rocks on the back left", line)) == "proof"


def test_that_it_shows_a_code_tells_not_which(release: Release) -> None:
    """Of a stop half way and a lid that stays shut."""
    chat = visit(release, "toploader, board w buttons, stopped half way thru, lid stuck shut, shows a code")
    assert "error_code" in facts(chat, "complaint") and "code_group" not in facts(chat, "result")


def test_what_must_not_wait_is_heard_beside_what_was_noted(release: Release) -> None:
    """Something between the tubs, of a basket that scraped by hand, while its seam is looked at."""
    chat = visit(release, "tl washer wont spin, drains ok, scraping evry turn",
                 "motor bolted straight on the gearbox, old dial timer",
                 "why that? it washes good. when i push the basket round by hand it rubs at one spot every time",
                 "scrapes, like i said, same spot each turn",
                 "no cracks, seam n rim fine, theres something jingling between the tubs tho when i rock it")
    assert facts(chat, "result")["tub_gap_look"] == "found" and facts(chat, "result")["basket_look"] == "whole"
    assert "Leave it unplugged" in told(chat)
