"""A line that says several things, or something else than was asked: every part lands where it belongs."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.diagnosis.advice import Adviser
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.language.dangers.wet_mains import water_is_danger
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def in_turn(*checks: str) -> Adviser:
    """Whoever decides here asks what is left of these checks, together, and then a senior."""

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        told = {getattr(fact, "check", "") for fact in evidence.history} | evidence.cannot | situation.declined
        left = [check for check in checks if check not in told]
        option = Option("check", left[0], 0.0, 0.0) if left else Option("handoff", "handoff", 0.0, 0.0)
        return Decision(option, (option,), together=tuple(left[1:]))
    return decided


def asked(release: Release, opening: str, *checks: str) -> Chat:
    """A visit with these checks open together, and nothing after them."""
    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=in_turn(*checks))
    chat.send(opening)
    assert chat.job is not None and chat.job.question is not None and chat.job.question.checks == checks
    return chat


def results(chat: Chat) -> dict[str, str]:
    """Check -> result that stands."""
    assert chat.job is not None
    return {f.subject: f.value for f in chat.job.standing("result")}


def complaints(chat: Chat) -> set[str]:
    """What is complained of now."""
    assert chat.job is not None
    return {f.subject for f in chat.job.standing("complaint")}


DRYER = "electric dryer no heat"


@pytest.mark.parametrize(("opening", "check", "text", "never"), [
    ("electric range, oven wont heat", "watch_all", "panel's lit, top unit hot and the oven got hot", "lit_no_heat"),
    (DRYER, "watch_run", "runs when i hit start", "silent"),
])
def test_an_answer_that_says_it_happens_is_not_filed_as_that_it_does_not(release, opening, check, text, never):
    """What a result denies and the tech affirms is asked once more, with the choices."""
    chat = asked(release, opening, check)
    chat.send(text)
    assert results(chat).get(check) != never
    assert "wont_start" not in complaints(chat)


@pytest.mark.parametrize(("text", "filed"), [
    ("worst i get is 0.2 meg to the housing", {"element_to_case": "grounded"}),
    ("11 ohms", {"element_ohms": "good"}),
    ("nothing to the case, 10.4 across", {"element_ohms": "good", "element_to_case": "clear"}),
    ("0.3 megohm, 10.4 ohm", {"element_ohms": "good", "element_to_case": "grounded"}),
])
def test_a_reading_goes_to_the_check_whose_bands_and_words_it_fits(release, text, filed):
    """Two readings are asked for behind one cover; one value is never filed for both."""
    chat = asked(release, DRYER, "element_ohms", "element_to_case")
    chat.send(text)
    assert results(chat) == filed


def test_what_fits_two_checks_is_asked(release):
    """A bare OL could be either: the tech says which, by name, and it is filed for that one alone."""
    chat = asked(release, DRYER, "thermal_fuse_ohms", "high_limit_ohms")
    said = chat.send("OL")
    assert not results(chat)
    assert said[0].choices == ("Thermal fuse", "High limit and heater cut-off", "Each of them")
    chat.send("the fuse")
    assert results(chat) == {"thermal_fuse_ohms": "open"}
    assert chat.job.question.checks == ("high_limit_ohms",)


def test_both_means_both(release):
    """'Both' said outright is filed for each of them."""
    chat = asked(release, DRYER, "thermal_fuse_ohms", "high_limit_ohms")
    chat.send("both beep fine")
    assert results(chat) == {"thermal_fuse_ohms": "closed", "high_limit_ohms": "closed"}


def test_which_one_can_be_skipped(release):
    """`skip` leaves the words; the checks are asked one by one."""
    chat = asked(release, DRYER, "thermal_fuse_ohms", "high_limit_ohms")
    chat.send("OL")
    chat.send("skip")
    assert not results(chat)
    assert chat.job.question.kind == "check"


def test_the_start_winding_is_no_answer_for_the_run_winding(release):
    """The run winding was asked for: what is said of the start winding is its own."""
    chat = asked(release, "toploader belt drive hums wont spin", "motor_run_ohms")
    chat.send("run winding 3.1 ohms but the start winding is open")
    assert results(chat)["motor_run_ohms"] == "good"
    assert results(chat).get("motor_start_ohms", "open") == "open"


@pytest.mark.parametrize(("text", "filed"), [
    ("never warm. oh and lint screen was packed solid", {"heat_pattern": "never", "lint_screen_look": "packed"}),
    ("fyi blower wheel was packed with lint", {"blower_look": "lint"}),
])
def test_a_result_told_unasked_is_kept_and_said_back(release, text, filed):
    """It is filed beside the answer, never instead of it; the open question stays open."""
    chat = asked(release, DRYER, "heat_pattern")
    said = chat.send(text)
    assert results(chat) == filed
    assert "lint" in said[0].text
    if "heat_pattern" not in filed:
        assert chat.job.question.checks == ("heat_pattern",)


@pytest.mark.parametrize("text", ["gonna check if the lint screen is packed", "is the lint screen packed?",
                                  "customer says lint screen was packed solid",
                                  "havent looked if blower wheel is loose"])
def test_what_is_planned_asked_or_hearsay_is_no_result(release, text):
    """Only what the tech saw counts."""
    chat = asked(release, DRYER, "heat_pattern")
    chat.send(text)
    assert not results(chat)


def test_a_result_told_unasked_can_be_taken_back(release):
    """`back` takes it out again."""
    chat = asked(release, DRYER, "heat_pattern")
    chat.send("by the way the lint screen was packed solid")
    chat.send("back")
    assert not results(chat)


@pytest.mark.parametrize("text", ["noisy down here", "rattly old box this"])
def test_an_odd_answer_is_no_new_complaint(release, text):
    """While a check is open a line that sounds like some trouble is an answer that was not understood."""
    chat = asked(release, DRYER, "panel_look")
    before = complaints(chat)
    chat.send(text)
    assert complaints(chat) == before


def test_a_trouble_that_comes_on_top_is_one(release):
    """'Also' says of a trouble that it is new."""
    chat = asked(release, DRYER, "heat_pattern")
    chat.send("also the drum doesnt turn anymore")
    assert "no_tumble" in complaints(chat)


def test_mains_over_a_wet_floor_come_first(release):
    """An outlet that hangs open where the floor is wet is a hazard, whatever was asked."""
    chat = asked(release, DRYER, "heat_pattern")
    said = chat.send("receptacle's ripped out the wall and theres a puddle right under it")
    assert chat.job.phase is Phase.HAZARD
    assert "Breaker off from a dry spot" in said[0].text
    assert not water_is_danger("outlet cover is broken, floor's dry")
    assert not water_is_danger("no puddle, cord is exposed a bit")


@pytest.mark.parametrize(("opening", "build"), [
    ("dryer, electric, timer dial, no heat", {"fuel": "electric", "control": "timer"}),
    ("range, gas, burners are fine but oven wont heat", {"fuel": "gas"}),
    ("electric dryer w a timer dial, no heat", {"fuel": "electric", "control": "timer"}),
])
def test_a_build_that_stands_by_itself_beside_the_machine_is_heard(release, opening, build):
    """'Dryer, electric, timer dial': neither is asked again; 'burners' tells no build."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send(opening)
    assert {f.subject: f.value for f in chat.job.standing("variant")} == build


def test_what_names_the_machine_is_said_back_once(release):
    """'Dryer, timer dial', and not 'Dryer, timer dial: timer dial'."""
    chat = asked(release, DRYER, "control_look")
    assert "Dryer, timer dial." in [paragraph for said in chat.send("timer dial") for paragraph in said.paragraphs]


def test_a_number_that_is_no_reading_is_none(release):
    """'Electric 240' is a supply, not what some relay reads."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send("timer dial dryer, electric 240, no heat")
    assert not results(chat)


def blocked(release: Release, text: str) -> Chat:
    """A dryer whose start switch and timer sit behind one console, and the answer to the first."""

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        told = {getattr(fact, "check", "") for fact in evidence.history} | evidence.cannot | situation.declined
        left = [check for check in ("start_switch_ohms", "timer_contacts", "panel_look") if check not in told]
        option = Option("check", left[0], 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send("electric dryer, timer dial, wont start")
    assert chat.job.question.checks == ("start_switch_ohms",)
    chat.send(text)
    return chat


def test_a_cover_that_cannot_be_opened_counts_for_all_behind_it(release):
    """The console was named: nothing else behind it is asked."""
    assert blocked(release, "cant get the console off").job.question.checks == ("panel_look",)


def test_whether_a_cover_is_shut_is_asked_where_the_words_leave_it_open(release):
    """Before the next check behind the same console; 'no' goes for all of them, 'yes' for that one check."""
    chat = blocked(release, "cant get to it")
    assert chat.job.question.kind == "cover"
    chat.send("no")
    assert chat.job.question.checks == ("panel_look",)
    chat = blocked(release, "cant get to it")
    chat.send("yes")
    assert chat.job.question.checks == ("timer_contacts",)


def test_a_dryer_that_never_gets_warm_had_no_thermostat_measured(release: Release) -> None:
    """'Warm' and 'cold' are of the machine: no check that warms a part is heard in them."""
    chat = asked(release, "electric dryer no heat", "any_life")
    chat.send("starts and turns, never gets warm. old timer dial")
    assert set(results(chat)) == {"any_life", "control_look"}


def test_a_meter_that_reads_ol_with_its_leads_together_measured_nothing(release: Release) -> None:
    """What it read of the parts is taken back, what was told stays, and no ohms are asked for again."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    for line in ("electric dryer, timer dial, drum turns, no heat at all", "turns, cold", "element OL, fuse OL"):
        chat.send(line)
    before = results(chat)
    assert before["element_ohms"] == before["thermal_fuse_ohms"] == "open"
    assert any("Touch your leads together first" in said.text for said in chat.heard["rui"])
    chat.send("leads together is OL too, lead must be broke")
    assert results(chat) == {key: r for key, r in before.items() if key not in {"element_ohms", "thermal_fuse_ohms"}}
    assert chat.job is not None and {f.subject for f in chat.job.standing("cannot")} == {"meter"}
    assert chat.job.question is not None
    assert all("meter" not in release.knowledge.packs["dryer"].checks[c].tools for c in chat.job.question.checks)


@pytest.mark.parametrize(("opening", "kind_asked"), [
    ("top loader shakes like mad in spin", True), ("top loader trips the breaker soon as it fills", False)])
def test_nobody_runs_a_machine_that_trips_to_hear_what_motor_it_has(release, opening, kind_asked):
    """How the motor starts in spin is asked of one that spins; else a check that few machines have is left out."""
    pack = release.knowledge.packs["top_load_washer"]
    check = next(key for key, entry in pack.checks.items() if dict(entry.only) == {"motor": ("inverter",)})
    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=in_turn(check))
    chat.send(opening)
    assert (chat.job.question.kind == "variant") == kind_asked
    assert (check in {f.subject for f in chat.job.standing("declined")}) != kind_asked
