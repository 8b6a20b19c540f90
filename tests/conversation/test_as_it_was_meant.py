"""Lines that are easily heard the wrong way round: a guess at a part, a 'never', a question, a 'mostly', a 'when cold'.

Each is heard through the whole core, and what is asserted is what was noted of it.
"""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.release import Release
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.language.answers.answer import answer
from bot.language.answers.turns_of_phrase import echo_denied, often_and_seldom, without_questions
from bot.language.index import Index
from bot.language.understand import understand
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM
from tests.conversation.test_told_beside import at, facts, visit

LOCKED = "front load washer door wont open"
HALF_WAY = "front load washer stops half way"


def at_each(release: Release, opening: str, *checks: str) -> Chat:
    """A visit in which these checks are asked one after the other."""

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        told = {getattr(fact, "check", "") for fact in evidence.history}
        left = next((check for check in checks if check not in told), None)
        option = Option(*(("handoff", "handoff") if left is None else ("check", left)), 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send(opening)
    return chat


def complaints(index: Index, text: str) -> set[str]:
    """What a first line complains of."""
    return {guess.id for guess in understand(index, text).complaints}


@pytest.mark.parametrize(("text", "meant"), [
    (f"{LOCKED} lock is broke she has her uniform stuck in it", "door_wont_open"),
    (f"{LOCKED}, she says the lock broke", "door_wont_open"), (f"{LOCKED} broken lock", "door_wont_open"),
    ("front load, timer is broke, wont start", "wont_start"),
    ("dryer door switch is broke, wont start", "wont_start"),
    ("top load washer lid switch is broke wont spin", "no_spin"),
    ("la cerradura esta rota, lavadora no abre la puerta", "door_wont_open")])
def test_a_guess_that_a_lock_or_timer_is_broke_is_no_broken_handle(release: Release, text: str, meant: str) -> None:
    """What works inside is not seen to be broken: the machine's own trouble is what was told."""
    assert complaints(release.index, text) == {meant}


@pytest.mark.parametrize("text", [
    "washer door handle is broke", "dryer knob is broke", "front load washer lock is broke and the handle too",
    "dishwasher timer knob is broke", "front load washer the lock is broke off"])
def test_what_is_seen_to_be_broken_stays_a_broken_part(release: Release, text: str) -> None:
    """A handle, a knob, a piece that is off."""
    assert "part_broken" in complaints(release.index, text)


def test_a_door_held_over_water_is_no_handle_to_replace(release: Release) -> None:
    """The customer's guess is left aside, and the water that is told beside the answer is noted."""
    chat = visit(release, f"{LOCKED} lock is broke", "stays shut, and the drums full of water")
    assert "no_drain" in facts(chat, "complaint") and "part_broken" not in facts(chat, "complaint")
    assert facts(chat, "result").get("glass_look") == "water"


@pytest.mark.parametrize("text", [
    "breaker never trips, it just stops", "it never trips", "no it doesnt it stops half way",
    "nothing trips it just quits"])
def test_a_breaker_that_never_trips_takes_back_that_it_did(release: Release, text: str) -> None:
    """'After a while' was said of the stop: the trip that nobody spoke of is gone, and with it what was noted of it."""
    chat = at_each(release, HALF_WAY, "trip_moment", "trip_device")
    chat.send("after a while")
    assert facts(chat, "complaint").keys() == {"stops_mid_cycle", "trips_breaker"}
    chat.send(text)
    assert facts(chat, "complaint").keys() == {"stops_mid_cycle"}
    assert facts(chat, "result") == {"trip_moment": "never"}


@pytest.mark.parametrize("text", ["breaker never trips, it just stops", "breaker holds, never trips"])
def test_what_never_trips_is_no_plain_breaker(release: Release, text: str) -> None:
    """Nor a protected outlet: the words name the breaker only to say that it stays on."""
    assert answer(release.index, "front_load_washer", "trip_device", text).result is None
    assert answer(release.index, "front_load_washer", "trip_moment", "alone it never trips, iron on it does"
                  ).result != "never"


@pytest.mark.parametrize("text", [
    "how do i run spin only on this one?", "does it need to spin up with the lid down?",
    "can i run spin only with clothes in?", "should it spin up with the lid open", "do i let it spin up first"])
def test_a_question_is_no_result(release: Release, text: str) -> None:
    """Nothing is noted of it, and the question stays open."""
    chat = visit(release, "top loader clothes are wet", text)
    assert facts(chat, "result") == {}
    assert chat.job is not None and chat.job.question is not None


@pytest.mark.parametrize(("text", "left"), [
    ("hums. should i swap the cap?", "hums."), ("moves a touch, is that normal", "moves a touch"),
    ("does it every time", "does it every time"), ("where it should be theres a hole",
                                                   "where it should be theres a hole"),
    ("couldnt get a hand in", "couldnt get a hand in"), ("which side wire do i pull", ""),
    ("do i need to check the lid, belt and motor?", ""), ("is it the belt?", "is it the belt?")])
def test_what_is_told_beside_a_question_is_left(text: str, left: str) -> None:
    """Only what asks is left out; a suspicion is heard by others."""
    assert without_questions(text) == left


@pytest.mark.parametrize("text", ["as designed? no it stops half way", "by the book? nope, it quits at 14 min"])
def test_a_question_said_back_and_denied_is_the_other_answer(release: Release, text: str) -> None:
    """'As designed? no': of two answers it is the second."""
    chat = at(release, "usage_ask", HALF_WAY)
    chat.send(text)
    assert facts(chat, "result")["usage_ask"] == "differs"
    assert echo_denied("trips? no, just goes cold") == ("trips", "just goes cold")
    assert echo_denied("as designed? yes") is None


def test_mostly_one_thing_and_another_at_times_is_asked_about(release: Release) -> None:
    """One bath mat sometimes is no heavy piece on the day: he is asked which it was."""
    chat = at(release, "load_ask", "front load washer shakes")
    chat.send("mixed mostly, one bath mat sometimes")
    assert "load_ask" not in facts(chat, "result")
    chat.send("1")
    assert facts(chat, "result")["load_ask"] == "mixed"
    assert often_and_seldom("mixed mostly") is None


@pytest.mark.parametrize("text", [
    "firm, its dead level", "stands firm and level", "all four feet firm, machine sits level"])
def test_a_machine_that_stands_level_is_no_water_at_its_level(release: Release, text: str) -> None:
    """The floor is meant; the water's own level is still heard."""
    chat = visit(release, "front load washer dances about", text)
    assert "fill_level" not in facts(chat, "result")
    assert answer(release.index, "front_load_washer", "fill_level", "level is right").result == "right"


@pytest.mark.parametrize(("text", "motor"), [
    ("lights go dim at night, theyre on a solar inverter", None), ("house runs off an inverter and batteries", None),
    ("its on an inverter", None), ("inverter motor", "brushless"), ("it has an inverter", "brushless")])
def test_an_inverter_of_the_house_is_no_motor(release: Release, text: str, motor: str | None) -> None:
    """What feeds it tells nothing of how it is built."""
    assert understand(release.index, text, family="front_load_washer").variant.get("motor") == motor


@pytest.mark.parametrize("text", [
    "never stops filling and the water never gets up", "keeps filling and the level stays low",
    "keeps filling but never gets full"])
@pytest.mark.parametrize(("family", "meant"), [("top_load_washer", "slow_fill"), ("front_load_washer", "no_fill")])
def test_a_tub_that_never_has_its_water_does_not_overfill(release: Release, text: str, family: str, meant: str) -> None:
    """It fills for ever because it never gets there."""
    told = {guess.id for guess in understand(release.index, text, family=family).complaints}
    assert meant in told and "overfill" not in told


def test_a_tub_that_runs_over_still_overfills(release: Release) -> None:
    """The reverse stays what it was."""
    assert complaints(release.index, "top load washer keeps filling, water over the top") >= {"overfill"}


@pytest.mark.parametrize("text", [
    "it went hot then cold after 5 min, i hear the click but no flame", "warm for 5 min then cold",
    "starts hot goes cold after a few minutes"])
def test_hot_then_cold_is_how_the_heat_goes(release: Release, text: str) -> None:
    """Whatever is asked: a dryer that gets hot starts, and a click without a flame is no silent motor."""
    chat = visit(release, "gas dryer, no heat", text)
    assert facts(chat, "result").get("heat_pattern") == "then_cold"
    assert "wont_start" not in facts(chat, "complaint") and "relay_click" not in facts(chat, "result")


@pytest.mark.parametrize("text", ["it never gets hot, cold the whole time", "was it hot then cold?"])
def test_what_never_was_hot_is_not_hot_then_cold(release: Release, text: str) -> None:
    """Nor what he only asks."""
    chat = visit(release, "gas dryer, no heat", text)
    assert facts(chat, "result").get("heat_pattern") != "then_cold"


@pytest.mark.parametrize("text", [
    "dryer squeals cold, quiet now", "dryer squeals when its cold", "dryer, same squeal only when cold"])
def test_cold_says_when_it_squeals(release: Release, text: str) -> None:
    """Nothing is said of its heat."""
    assert complaints(release.index, text) == {"noisy"}


@pytest.mark.parametrize("text", ["dryer squeals and blows cold", "dryer squeals, cold air", "dryer loud and cold"])
def test_cold_air_beside_a_squeal_is_no_heat(release: Release, text: str) -> None:
    """There it is a second trouble."""
    assert complaints(release.index, text) == {"noisy", "no_heat"}


@pytest.mark.parametrize("texts", [
    ("tenant says dryer spins forever clothes stay wet and cold, landlord had a guy in the panel last week",),
    ("electric dryer no heat", "they had an electrician in the panel"),
    ("electric dryer no heat", "panel guy last week i said that already"),
    ("electric dryer no heat, new panel put in last week",)])
def test_somebody_was_in_the_panel(release: Release, texts: tuple[str, ...]) -> None:
    """That is how it began, and it is kept whenever it is told."""
    assert facts(visit(release, *texts), "result").get("since_when") == "wiring_work"


@pytest.mark.parametrize("text", ["he says the panel is fine", "breaker in the panel looks fine",
                                  "they need an electrician in the panel"])
def test_a_look_at_the_panel_is_no_work_on_it(release: Release, text: str) -> None:
    """Nor is work that is still to be done."""
    assert "since_when" not in facts(visit(release, "electric dryer no heat", text), "result")


def test_the_second_fact_of_a_line_counts_too(release: Release) -> None:
    """The pipe behind a dryer is its duct: what it is like is noted beside the answer."""
    chat = at(release, "noise_place", "electric dryer noisy")
    chat.send("loudest at the back. and the pipe behind is squashed flat")
    assert facts(chat, "result") == {"noise_place": "rear", "duct_look": "blocked"}
    chat = at(release, "flap_without_filter", "electric dryer slow to dry")
    chat.send("weak. and the pipe behind is squashed flat")
    assert facts(chat, "result").get("duct_look") == "blocked"


def test_a_correction_that_could_be_two_answers_is_asked_again(chat_of):
    """'It does NOT lock, just clicks' takes the answer back; whether it clicks and lets go is for the tech to say."""
    chat = chat_of()
    chat.send("top loader washes fine wont spin")
    chat.send("lid lock")
    chat.send("locks")
    assert "Which one?" in str(chat.send("no wait it does NOT lock, just clicks"))
    chat.send("clicks and retries")
    assert {f.subject: f.value for f in chat.job.standing("result")}["lock_listen"] == "retries"


@pytest.mark.parametrize(("first", "words", "axis", "build"), [
    ("top loader washes fine wont spin", "plain switch, theres a plastic tab on the lid", "lid", "switch"),
    ("top loader washes fine wont spin", "not a lock", "lid", "switch"),
    ("top loader washes fine wont spin", "switch or lock, dunno", "lid", None),
    ("both sides warm, comp hums then clicks every few min", "fixed, small relay n overload", "compressor", "fixed"),
    ("top loader wont agitate but fills n drains fine", "old belt one w a pulley underneath", "drive", "belt"),
    ("gas oven wont heat", "no gas", "ignition", "none"),
])
def test_a_build_is_told_in_its_own_words(chat_of, first, words, axis, build):
    """A word that goes with one build alone tells it; what stands beside it was not tried or seen out of turn."""
    chat = chat_of()
    chat.send(first)
    while chat.job.question.kind == "check":
        chat.press(1)
    chat.send(words)
    assert {f.subject: f.value for f in chat.job.standing("variant")}.get(axis) == build
    assert not {"trial_start", "pulley_rock"} & {f.subject for f in chat.job.standing("result")}


def test_two_parts_that_were_mixed_up_are_put_right_in_one_line(chat_of):
    """Each reading goes to the part that is named with it, and takes back what stood there."""
    chat = chat_of()
    for line in ("gas dryer no heat no glow", "never warm", "no glow at all", "one day to the next", "OL",
                 "oops my bad had the wrong part, fuse is .2, the igniter is the OL one"):
        chat.send(line)
    told = {f.subject: f.value for f in chat.job.standing("result")}
    assert told["thermal_fuse_ohms"] == "closed" and told["igniter_ohms"] == "open"


def test_what_follows_no_wait_is_the_answer(chat_of):
    """Within one line, as between two."""
    chat = chat_of()
    for line in ("dryer hums wont start", "hums", "stuck both ways feels like the motor, no wait steady drag"):
        chat.send(line)
    assert {f.subject: f.value for f in chat.job.standing("result")}["drum_by_hand"] == "steady"


@pytest.mark.parametrize(("words", "told"), [
    ("igniter glows orange but no flame", "glow_no_flame"), ("glows but no flame", "glow_no_flame"),
    ("glow bar", None)])
def test_a_build_may_be_told_with_what_it_does(chat_of, words, told):
    """What glows is a glow bar, and that it lights nothing is not asked for once more."""
    chat = chat_of()
    chat.send("gas oven wont heat")
    chat.send(words)
    assert {f.subject: f.value for f in chat.job.standing("variant")}["ignition"] == "hot_surface"
    assert {f.subject: f.value for f in chat.job.standing("result")}.get("oven_light_up") == told
