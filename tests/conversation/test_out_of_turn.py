"""Words that are no answer to what is asked: things that are no number, skips with a reason, other parts, doubt."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Outcome, Phase
from bot.conversation.questions.tools import asks_for_time
from bot.conversation.release import Release
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def asked(release: Release, opening: str, check: str) -> Chat:
    """A visit with this check open; whoever decides asks it, and then for a senior."""

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        told = {getattr(fact, "check", "") for fact in evidence.history} | evidence.cannot | situation.declined
        option = Option("handoff", "handoff", 0.0, 0.0) if check in told else Option("check", check, 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send(opening)
    assert chat.job is not None and chat.job.question is not None and chat.job.question.checks == (check,)
    return chat


def results(chat: Chat) -> dict[str, str]:
    assert chat.job is not None
    return {f.subject: f.value for f in chat.job.standing("result")}


@pytest.mark.parametrize("text", ["got one", "i have one", "its the old one"])
def test_a_thing_is_no_number(release, text):
    """'Got one' where ohms are asked for is no reading of 1."""
    chat = asked(release, "electric dryer no heat", "element_ohms")
    chat.send(text)
    assert results(chat) == {}


def test_one_with_a_unit_is_a_reading(release):
    """'Got one point two ohms' is what the meter says."""
    chat = asked(release, "electric dryer no heat", "element_ohms")
    chat.send("got one point two ohms")
    told = [f.number for f in chat.job.standing("result")]
    assert told == [1.2]


@pytest.mark.parametrize("text", ["skip, no heat gun", "skip - no time", "skip it, cust is in the way"])
def test_a_skip_with_a_reason_is_a_skip(release, text):
    """Nothing after the word answers what is skipped."""
    chat = asked(release, "electric dryer no heat", "element_look")
    chat.send(text)
    assert results(chat) == {}
    assert "element_look" in {f.subject for f in chat.job.standing("declined")}


def test_a_skip_for_want_of_a_tool_keeps_that(release):
    """'Skip, no meter': no other check that needs one is asked either."""
    chat = asked(release, "electric dryer no heat", "element_ohms")
    chat.send("skip, no meter")
    assert "meter" in {f.subject for f in chat.job.standing("cannot")}


@pytest.mark.parametrize("check", ["flap_without_filter", "element_ohms", "element_look"])
def test_another_part_is_not_forced_on_the_open_check(release, check):
    """'Belt is broken' while the air or the element is asked is the belt's, said back, and no answer to that."""
    chat = asked(release, "electric dryer no heat", check)
    said = chat.send("belt is broken")
    assert results(chat) == {"belt_look": "broken"}
    assert "belt broken" in said[-1].text


def test_what_answers_the_open_check_stays_its_own(release):
    """'Coil is broken' at the element is the element's."""
    chat = asked(release, "electric dryer no heat", "element_look")
    chat.send("coil is broken")
    assert results(chat) == {"element_look": "broken"}


def test_an_unsafe_thing_told_beside_stops_the_work_at_once(release):
    """The bracket told of while a knob is asked about: the stop comes in the very answer."""
    chat = asked(release, "range, glass top, knob broken", "part_look")
    said = chat.send("foot not in the bracket, no bracket at all")
    assert results(chat)["tip_look"] == "missing"
    assert "Stop here" in "\n".join(s.text for s in said)


@pytest.mark.parametrize("text", ["not safe", "i think its off", "not unplugged yet", "yes i think", "yes", "ok",
                                  "should be off", "about to pull the plug", "is it off at the breaker?"])
def test_doubt_makes_nothing_dead(release, text):
    """Smoke: assent, doubt and denial leave the danger open."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send("dryer smoke coming out the back")
    said = chat.send(text)
    assert chat.job.phase is Phase.HAZARD and chat.job.question.kind == "hazard"
    assert "stays dead" not in said[-1].text


@pytest.mark.parametrize("text", ["unplugged", "dead, not smoking any more", "breaker off", "1", "plug is out"])
def test_what_was_done_clears_it(release, text):
    """Plain words that it is dead go on."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send("dryer smoke coming out the back")
    chat.send(text)
    assert chat.job.phase is not Phase.HAZARD


def test_on_the_way_out_is_not_out(release):
    """Gas: 'getting out now' is not yet everybody outside."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send("dryer i smell gas")
    chat.send("getting out now")
    assert chat.job.phase is Phase.HAZARD
    chat.send("all out")
    assert chat.job.phase is Phase.HANDED_OFF


@pytest.mark.parametrize(("opening", "text", "piece"), [
    ("fridge warm both sides, compressor runs", "can i top it up", "refrigerant licence"),
    ("electric dryer no heat", "ill just jumper the fuse to test", "never bridged"),
    ("electric dryer trips the breaker", "can we put a bigger breaker in", "Same rating")])
def test_what_is_never_done_is_answered_no(release, opening, text, piece):
    """Asked or announced, the no comes at once, then the open question again."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send(opening)
    before = results(chat)
    said = chat.send(text)
    assert said[-1].text.startswith("No.") and piece in said[-1].text
    assert said[-1].question and results(chat) == before


@pytest.mark.parametrize("who", ["rui", "marta"])
@pytest.mark.parametrize("text", ["gas valve shut", "water is off", "unplugged", "plug is out"])
def test_what_was_made_safe_opens_no_case(release, who, text):
    """With no case open nobody reports a leak by saying that the valve is shut: it is asked what for."""
    chat = Chat(release, Person("rui", "Rui"), FIRM, crew=(Person("marta", "Marta", "senior"),))
    said = chat.send(text, who=who)
    assert not chat.jobs and "No case of yours" in said[-1].text


def test_shut_and_still_smelling_is_a_hazard(release):
    """The valve's being shut takes nothing from the smell."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    said = chat.send("gas valve shut but dryer still smells of gas")
    assert "Get out now" in said[0].text


def test_the_bracket_is_proved_by_look_and_pull(release):
    """Not by using some part ten times."""
    pack = release.knowledge.packs["range"]
    repair = pack.faults["anti_tip_bracket.missing"].repair
    assert repair.proof_alone and "bracket" in repair.proof and "pull" in repair.proof


@pytest.mark.parametrize(("opening", "check"), [("dryer no heat gas", "control_look")])
def test_a_question_of_kind_has_no_good_answer(release, opening, check):
    """'Good: one or the other' helps nobody."""
    chat = asked(release, opening, check)
    assert "Good:" not in chat.latest[-1].text


@pytest.mark.parametrize(("opening", "result"), [
    ("dishwasher wont drain since the kitchen was redone", "fitted"),
    ("front loader shakes like mad in spin since they moved in", "moved")])
def test_how_it_began_is_heard_in_the_first_message(release, opening, result):
    """And is not asked about again as the odd one out."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send(opening)
    assert results(chat)["history"] == result
    chat.send("pump hums, no water out" if result == "fitted" else "its level")
    assert chat.job.question.checks != ("history",)


def to_the_filter(release: Release) -> Chat:
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    for text in ("front loader wont drain, water still in", "hums", "filter full of coins"):
        chat.send(text)
    assert chat.job is not None and chat.job.question is not None and chat.job.question.kind == "finding"
    return chat


def test_done_before_it_was_said_to_be_begun(release):
    """'Cleaned it' at the finding goes on to the proof."""
    chat = to_the_filter(release)
    chat.send("cleaned it")
    assert chat.job.question.kind == "proof"
    chat.send("works")
    chat.send("all done")
    chat.send("skip")
    assert chat.job.outcome is Outcome.FIXED


def test_nothing_to_order(release):
    """'Order it' where no part is needed is told so."""
    chat = to_the_filter(release)
    assert "No part" in chat.send("order it")[-1].text


def test_still_the_same_in_mid_repair_is_a_repair_that_did_not_cure(release):
    """'Still hums' instead of 'done'."""
    chat = to_the_filter(release)
    chat.send("ill do it")
    chat.send("still hums")
    assert [f.subject for f in chat.job.standing("repaired")]
    assert "loud or odd noise" not in chat.latest[-1].text


def test_what_is_not_done_is_not_done(release):
    """'Nobody knocked it out' tells what is wrong, not that it was put right."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    for text in ("dishwasher doesnt drain since they put a new disposer in", "runs but no water"):
        chat.send(text)
    for text, asked_next in (("its still in there, nobody knocked it out", "finding"), ("knocked it out", "proof")):
        chat.send(text)
        assert chat.job is not None and chat.job.question is not None
        assert chat.job.question.kind == asked_next


def asked_which_lid(release: Release) -> Chat:
    """A visit where the kind of lid is asked for, and the spin would be watched next."""

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        first, second = (Option("check", check, 0.0, 0.0) for check in ("lid_switch_ohms", "watch_spin"))
        return Decision(first, (first, second))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send("toploader washes and drains, no spin")
    assert chat.job is not None and chat.job.question is not None and chat.job.question.kind == "variant"
    return chat


@pytest.mark.parametrize(("text", "told"), [
    ("runs, basket just sits there", {"watch_spin": "runs_no_spin"}),
    ("belt looks fine", {}),
])
def test_what_a_run_shows_counts_while_the_kind_of_machine_is_asked(release, text, told):
    """Who was asked for the lid's kind and says what the motor does has answered what would have come next."""
    chat = asked_which_lid(release)
    chat.send(text)
    assert results(chat) == told


def test_a_new_trouble_beside_what_a_run_shows_is_kept(release):
    """'And its also leaking' comes on top of the answer."""
    chat = asked_which_lid(release)
    chat.send("runs, basket just sits there, and its also leaking")
    assert {f.subject for f in chat.job.standing("complaint")} == {"no_spin", "leaks"}
    assert results(chat) == {"watch_spin": "runs_no_spin"}


def test_what_the_machine_is_built_like_is_heard_while_a_check_is_open(chat_of):
    """'Gas, timer knob' answers no noise question; it is kept, once, and the question stands."""
    chat = chat_of()
    chat.send("dryer screeching when it starts")
    question = chat.job.question.checks
    said = chat.send("gas, timer knob")
    assert "I don't follow" not in said[-1].text
    assert {(f.subject, f.value) for f in chat.job.standing("variant")} == {("fuel", "gas"), ("control", "timer")}
    assert chat.job.question.checks == question


def test_what_is_noted_already_is_no_riddle(chat_of):
    """Who says again what he said gets a word on it, and it does not count as a miss."""
    chat = chat_of()
    for line in ("toploader belt drive timer, wont spin", "motor runs, basket still", "belt grips fine"):
        chat.send(line)
    said = chat.send("belt is on and grips")
    assert "That I have already." in said[-1].text
    assert chat.job.position.misses == 0


def test_a_tool_that_was_fetched_is_there_again(chat_of):
    """'I have a meter now' is the opposite of 'no meter'; who fetches one lacks none."""
    chat = chat_of()
    chat.send("front load washer wont drain")
    chat.send("got meter in the van, need a sec")
    assert not chat.job.standing("cannot")
    chat.send("no meter")
    assert [f.subject for f in chat.job.standing("cannot")] == ["meter"]
    assert "with a meter then" in chat.send("i have a meter now")[-1].text
    assert not chat.job.standing("cannot")


@pytest.mark.parametrize(("text", "asks"), [
    ("got meter in the van, need a sec", True), ("hang on", True), ("brb", True), ("one sec", True),
    ("let me grab my flashlight", True), ("runs one minute then quits", False),
    ("just a minute of heat then cold", False),
    ("hang on, i had the wrong pins", False), ("getting the same noise", False), ("wait, it was 5 ohm", False)])
def test_who_asks_for_a_moment_answers_nothing(text, asks):
    """A minute that a machine ran is an answer."""
    assert asks_for_time(text) is asks


def test_a_reading_beside_the_tool_that_is_there_again_is_heard(chat_of):
    """'Got a meter now, 0.3 ohm' is a reading too."""
    chat = chat_of()
    for line in ("electric dryer no heat timer dial", "no meter", "its probly the thermal fuse"):
        chat.send(line)
    chat.send("got a meter now, fuse reads 0.3 ohm")
    assert not [f for f in chat.job.standing("cannot") if f.subject == "meter"]
    assert ("thermal_fuse_ohms", "closed") in {(f.subject, f.value) for f in chat.job.standing("result")}


def test_a_question_back_is_answered_by_how(chat_of):
    """'Where is that?' in more words than the steering word has."""
    chat = chat_of()
    chat.send("dishwasher leaves grit on the glasses")
    said = chat.send("what do you mean by one rack")
    assert "I don't follow" not in said[-1].text
    assert "1. " in said[-1].text


def test_values_in_range_are_no_cooking_appliance(chat_of):
    """'In range' is said of readings."""
    chat = chat_of()
    chat.send("front load washer wont drain")
    assert "another machine" not in chat.send("all readings in range")[-1].text


@pytest.mark.parametrize(("told", "bet", "says", "check"), [
    ("front load washer wont spin drains ok", "i bet its the door lock", "failed door lock", "lock_watch"),
    ("electric dryer no heat timer dial", "its probly the thermal fuse", "open thermal fuse", "thermal_fuse_ohms"),
    ("fridge warm both sides", "i bet its the condenser coil", "dirty condenser coil", "coil_look"),
])
def test_what_the_tech_suspects_is_looked_at(chat_of, told, bet, says, check):
    """A lead hand does not argue: the check that shows the fault of that part comes next; nothing is noted as seen."""
    chat = chat_of()
    chat.send(told)
    before = chat.job.standing("result", "variant")
    said = chat.send(bet)
    assert f"Could be, {says}." in "\n".join(one.text for one in said)
    assert chat.job.question.checks == (check,)
    assert chat.job.standing("result", "variant") == before


def test_a_bet_that_the_open_check_settles_keeps_it(chat_of):
    """Nothing else is asked for."""
    chat = chat_of()
    chat.send("dishwasher doesnt drain")
    question = chat.job.question.checks
    assert "This shows it." in chat.send("gotta be the drain pump")[-1].text
    assert chat.job.question.checks == question


@pytest.mark.parametrize("text", ["loud in spin, gets worse the faster it goes", "louder with each load",
                                  "worse when its full"])
def test_how_it_runs_is_no_beginning(chat_of, text):
    """It did not come bit by bit."""
    chat = chat_of()
    chat.send("toploader roars like a plane in spin")
    chat.send(text)
    assert "history" not in {fact.subject for fact in chat.job.standing("result")}


def test_a_new_cord_last_week_is_how_it_began(chat_of):
    """Told while something else is asked, and with none of the words for a beginning."""
    chat = chat_of()
    chat.send("electric dryer no heat timer dial")
    chat.send("son in law put a new cord on it last week")
    assert ("since_when", "after_work") in {(f.subject, f.value) for f in chat.job.standing("result")}


def test_when_it_leaks_is_heard_whatever_is_asked(chat_of):
    """'While washing' answers what takes the complaint apart, also while the pump is asked for."""
    chat = chat_of()
    chat.send("dishwasher leaks and wont drain")
    assert chat.job.question.checks != ("leak_step",)
    said = chat.send("while washing")
    assert "I don't follow" not in said[-1].text
    assert ("leak_step", "washing") in {(f.subject, f.value) for f in chat.job.standing("result")}


def test_a_short_line_with_a_joint_is_one_thing(chat_of):
    """'Belt slips n shiny' tells of the belt, whatever run is watched; neither half would by itself."""
    chat = chat_of()
    for line in ("toploader belt drive wont spin", "runs, basket sits there", "belt slips n shiny"):
        chat.send(line)
    assert results(chat)["belt_grip"] == "dry_slip"


def test_a_build_behind_the_trouble_is_heard(chat_of):
    """In 'wont spin belt drive' the denial is of the spin."""
    chat = chat_of()
    chat.send("toploader wont spin belt drive")
    assert {(fact.subject, fact.value) for fact in chat.job.standing("variant")} == {("drive", "belt")}


def test_what_is_plainly_seen_elsewhere_is_kept(chat_of):
    """A kinked hose is one, though the pump is asked about and other checks speak of the hose too."""
    chat = chat_of()
    for line in ("dishwasher wont drain", "hums", "drain hose is kinked behind the machine"):
        chat.send(line)
    assert results(chat)["drain_hose_path"] == "kinked"


def test_a_finding_that_was_looked_at_already_takes_what_was_seen(chat_of):
    """'Free, nothing in there' of a blocked pump is the look into it; a few words of it are no other trouble."""
    chat = chat_of()
    for line in ("dishwasher wont drain just hums", "filter clean"):
        chat.send(line)
    assert chat.job.position.fault == "drain_pump.blocked"
    assert "impeller free" in chat.send("free, nothing in there")[-1].text
    assert "no_fill" not in {f.subject for f in chat.job.standing("complaint")} and chat.job.question.kind == "check"


@pytest.mark.parametrize(("opening", "check", "text", "result"), [
    ("dishwasher leaks, puddle on the floor", "gasket_look", "gasket is flat as a washer, out of its channel", "bad"),
    ("top loader direct drive shift actuator wont spin", "shifter_ohms", "too high, above range. still reads", "high"),
    ("gas dryer no heat", "other_gas", "nope the stove wont light either, looks like no gas in the house", "none_burn"),
    ("front load washer trips the breaker", "trip_moment", "only when the dryer heater is on too", "other_load")])
def test_a_ring_and_a_range_of_ohms_are_no_other_machine(release, opening, check, text, result):
    """Nor is one that the open check asks after."""
    chat = asked(release, opening, check)
    chat.send(text)
    assert results(chat)[check] == result


def test_a_machine_beside_it_with_a_trouble_of_its_own_is_asked_about(release):
    """That one has a name and a trouble."""
    chat = asked(release, "dishwasher leaks, puddle on the floor", "leak_step")
    assert "another machine" in chat.send("and their front load washer wont drain")[-1].text
