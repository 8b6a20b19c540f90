"""What is told beside an answer: a tool that is not there, a reading, how it began, a cover that stays shut."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from bot.conversation.firm import Person
from bot.conversation.release import Release
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

DRYER = "electric dryer no heat"


def at(release: Release, check: str, opening: str = DRYER) -> Chat:
    """A visit with this check open; whoever decides here decides so until it is settled, and then on a senior."""

    def decided(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        told = {getattr(fact, "check", "") for fact in evidence.history} | evidence.cannot | situation.declined
        option = Option(*(("handoff", "handoff") if check in told else ("check", check)), 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send(opening)
    assert chat.job is not None and chat.job.question is not None and chat.job.question.checks == (check,)
    return chat


def visit(release: Release, *texts: str, signoffs: Sequence[str] = ()) -> Chat:
    """A visit as the program leads it, with these words typed one after the other."""
    chat = Chat(release, Person("rui", "Rui", signoffs=frozenset(signoffs)), FIRM)  # type: ignore[arg-type]
    for text in texts:
        chat.send(text)
    return chat


def facts(chat: Chat, kind: str) -> dict[str, str]:
    """Subject -> value of what stands of one kind."""
    assert chat.job is not None
    return {f.subject: f.value for f in chat.job.standing(kind)}  # type: ignore[arg-type]


@pytest.mark.parametrize(("check", "text", "tool", "result"), [
    ("element_ohms", "10.5 ohm but no clamp", "clamp", "good"),
    ("any_life", "no clamp meter, starts ok", "clamp", "starts"),
    ("any_life", "starts ok but my meter is dead", "meter", "starts")])
def test_a_tool_that_is_not_there_leaves_the_answer_beside_it(release, check, text, tool, result):
    """Both count: the planner does without the tool, and the check is answered."""
    chat = at(release, check)
    chat.send(text)
    assert facts(chat, "cannot") == {tool: ""}
    assert facts(chat, "result") == {check: result}


@pytest.mark.parametrize("text", [
    "no meter", "left my meter in the truck", "meter's dead", "forgot to bring my meter", "meter died on me",
    "my multimeter just quit", "the fuse in my meter blew", "meter battery is flat"])
def test_no_meter_is_an_answer(release, text):
    """However it is put."""
    chat = at(release, "element_ohms")
    chat.send(text)
    assert facts(chat, "cannot") == {"meter": ""}


def test_who_is_alone_lacks_a_helper(release):
    """The check that is open needs none, and stays."""
    chat = at(release, "any_life")
    chat.send("cant tilt it alone")
    assert facts(chat, "cannot") == {"helper": ""}
    assert chat.job.question is not None and chat.job.question.checks == ("any_life",)


def test_no_beep_on_the_meter_is_a_reading_and_not_a_missing_meter(release):
    """It is open."""
    chat = at(release, "element_ohms")
    chat.send("no beep on my meter")
    assert not facts(chat, "cannot")
    assert facts(chat, "result") == {"element_ohms": "open"}


@pytest.mark.parametrize("text", ["no light", "the clamp is broken", "do i need a meter?"])
def test_words_that_only_sound_like_a_missing_tool_are_none(release, text):
    """A drum without a lamp, a clamp of the machine, and a question."""
    chat = at(release, "any_life")
    chat.send(text)
    tools = release.knowledge.common.tools
    assert not set(facts(chat, "cannot")) & set(tools)


def test_a_flashlight_that_is_not_there_ends_nothing(release):
    """The phone has one; the answer beside it counts."""
    chat = at(release, "any_life")
    said = chat.send("no flashlight but it starts")
    assert not facts(chat, "cannot")
    assert facts(chat, "result") == {"any_life": "starts"}
    assert "phone" in said[0].text


def test_what_needs_no_tool_is_asked_before_a_senior_brings_one(release):
    """Where only the lack of a meter keeps the planner from going on, what can be seen and heard comes first."""

    def gives_up(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        option = Option("handoff", "handoff", 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=gives_up)
    chat.send("electric dryer no heat, no meter")
    assert chat.job is not None and chat.job.question is not None and not chat.offers()
    assert all("meter" not in release.knowledge.packs["dryer"].checks[key].tools for key in chat.job.question.checks)


@pytest.mark.parametrize(("texts", "filed"), [
    (("electric dryer runs but no heat, element reads OL",), {"element_ohms": "open"}),
    (("no heat, element reads OL", "dryer"), {"element_ohms": "open"}),
    (("gas dryer no heat, igniter reads open",), {"igniter_ohms": "open"}),
    (("dishwasher wont heat, heater is OL, OL to ground",), {"heater_ohms": "open", "heater_to_ground": "clear"}),
    (("dishwasher heater 15 ohms and 30k to ground",), {"heater_ohms": "good", "heater_to_ground": "leak"}),
    (("dryer element 9 ohms but 200 to case", "k"), {"element_ohms": "good", "element_to_case": "grounded"}),
    (("gas dryer igniter ol",), {"igniter_ohms": "open"}),
    (("front loader wont drain, drain pump 14 ohms",), {"pump_winding": "good"})])
def test_a_reading_told_at_the_start_is_kept(release, texts, filed):
    """Its check is answered, and the first reply says it back."""
    assert facts(visit(release, *texts), "result") == filed


def test_a_reading_of_one_of_several_is_asked_whose_it_is(release):
    """Where the line answers nothing else and no look at one is asked: an oven has two elements, and the top more."""
    chat = visit(release, "electric oven wont bake or broil", "element 28 ohm")
    assert chat.job.question.kind == "which_check" and not facts(chat, "result")
    chat.send("bake")
    assert "element_ohms" in facts(chat, "result")


@pytest.mark.parametrize("line", ["element 28 ohm", "element ohmed at 22", "ohmed the element, 22", "element reads OL"])
def test_the_ohms_of_the_part_that_is_looked_at_are_its_own(release, line):
    """Where the look at the bake element is asked, it is that element; a fuse is none of it."""
    chat = visit(release, "electric oven no bake", line)
    assert "element_ohms" in facts(chat, "result")
    assert not facts(visit(release, "electric oven no bake", "fuse is 0.2 ohms"), "result")


def test_who_only_tells_a_reading_is_asked_for_the_trouble(release):
    """Before anything is put together and run for it; once."""
    chat = visit(release, "dryer thermal fuse ol")
    assert chat.job.question.kind == "menu"
    chat.send("no heat")
    assert facts(chat, "complaint") == {"no_heat": ""} and chat.job.question.kind != "menu"


@pytest.mark.parametrize("text", [
    "toploader leaks, lid open", "toploader wont spin, motor reads open",
    "electric oven wont heat, element open"])
def test_what_could_be_two_parts_or_a_lid_is_no_reading(release, text):
    """Nothing is filed on a guess."""
    assert not facts(visit(release, text), "result")


def test_a_count_of_tries_is_no_reading(release):
    """'3 out of ten' is not 3 ohms."""
    chat = at(release, "lock_ohms", "front loader wont spin")
    chat.send("misses, 3 out of ten if i push")
    assert not facts(chat, "result")


@pytest.mark.parametrize(("opening", "check", "text", "filed"), [
    (DRYER, "any_life", "its been like that since the move", {"since_when": "after_work"}),
    (DRYER, "any_life", "dead. it started right after they moved house",
     {"any_life": "dead", "since_when": "after_work"}),
    ("fridge and freezer warm", "grille_breeze", "they say it began after the move", {"what_changed": "moved"}),
    ("toploader wont spin", "watch_spin", "started after they moved it", {"history": "moved"})])
def test_how_it_began_is_kept_whatever_is_asked(release, opening, check, text, filed):
    """It answers the question of how it began before that is asked, and no other."""
    chat = at(release, check, opening)
    chat.send(text)
    assert facts(chat, "result") == filed


def test_what_started_after_the_plumber_is_no_machine_that_starts(release):
    """It tells what was done before, and denies nothing."""
    chat = at(release, "pump_sound", "dishwasher not draining")
    chat.send("started after the new disposal went in")
    assert not facts(chat, "denied")
    assert facts(chat, "result") == {"history": "fitted"}


def test_no_room_behind_the_console_is_no_missing_meter(release):
    """Whatever lies behind it is done without, readings too."""
    chat = at(release, "start_switch_ohms", "electric dryer wont start")
    chat.send("no room behind the console")
    assert set(facts(chat, "cannot")) == {"cover:console", "start_switch_ohms"}


def test_a_cover_that_is_not_asked_for_is_kept_and_the_question_stays(release):
    """The check that is open can still be made."""
    chat = at(release, "since_when", "electric dryer wont start")
    chat.send("no room behind the console")
    assert facts(chat, "cannot") == {"cover:console": ""}
    assert chat.job.question is not None and chat.job.question.checks == ("since_when",)


@pytest.mark.parametrize(("opening", "fuel"), [
    ("dryer electric no heat", "electric"), ("oven gas wont light", "gas"),
    ("dryer, electric, timer dial", "electric")])
def test_the_fuel_is_heard_before_and_after_the_name(release, opening, fuel):
    """It is not asked again."""
    assert facts(visit(release, opening), "variant")["fuel"] == fuel


def test_what_is_unsafe_stops_the_work_however_it_was_told(release: Release) -> None:
    """A range that lifts at the back, told to another question: the stop comes at once, not only to the push test."""
    chat = at(release, "part_look", "electric range, the oven door handle broke off")
    chat.send("not just a part, whole thing wants to tip forward")
    assert facts(chat, "result").get("rocks") == "lifts"
    assert any("Stop here" in said.text for said in chat.heard["rui"])


def test_what_is_to_stay_off_is_run_for_no_check_before_the_repair(release: Release) -> None:
    """'Shut both taps and leave them shut': what comes next lets no water in, and needs no power."""
    chat = visit(release, "toploader wont stop filling, timer knob model", "runs on")
    assert "leave them shut" in chat.latest[0].text
    for answer in ("skip", "skip", "skip"):
        question = chat.job.question if chat.job is not None else None
        assert question is not None
        asked = [chat.release.knowledge.packs["top_load_washer"].checks[key] for key in question.checks]
        assert all(check.power not in {"run", "live"} for check in asked)
        chat.send(answer)


def test_a_check_that_was_passed_over_leaves_nobody_to_think_the_machine_is_dead(release: Release) -> None:
    """'Skip' to the first look behind a cover: the plug and the way in are told again for the next."""
    chat = at(release, "element_look")
    assert chat.job is not None and chat.job.position.machine.power == "off"
    chat.send("skip")
    assert (chat.job.position.machine.power, chat.job.position.machine.covers) == ("unknown", ())
    chat = at(release, "element_look")
    chat.send("looks whole")
    assert chat.job is not None and chat.job.position.machine.power == "off"


@pytest.mark.parametrize(("lines", "filed"), [
    (("front load trips the breaker", "at one step, when it heats", "heater to the flange 0.09 megohm"),
     {"heater_to_ground": "leak"}),
    (("front load trips the breaker", "at one step, when it heats", "heater to the case OL"),
     {"heater_to_ground": "clear"}),
    (("electric dryer no heat", "element to case OL, element 11 ohm"),
     {"element_to_case": "clear", "element_ohms": "good"}),
    (("electric dryer no heat", "element 11 ohm, element to case OL"),
     {"element_to_case": "clear", "element_ohms": "good"})])
def test_ohms_to_bare_metal_are_none_of_the_part_itself(release: Release, lines: tuple[str, ...],
                                                        filed: dict[str, str]) -> None:
    """Unasked too: a heater that leaks to its flange is not one of 90 kilohm."""
    told = facts(visit(release, *lines), "result")
    assert filed.items() <= told.items()
    assert "heater_ohms" not in told


def test_a_step_passed_over_may_have_left_it_open(release: Release) -> None:
    """He was sent inside and has no meter: before power, whatever came off goes back on."""
    chat = visit(release, "electric dryer no heat, tumbles", "never warm", "set")
    for _ in range(12):
        question = chat.job.question if chat.job is not None else None
        if question is None or question.kind != "check":
            break
        check = chat.release.knowledge.packs["dryer"].checks[question.checks[0]]
        if check.power == "off" and check.access:
            said = chat.send("no meter here")
            assert chat.job is not None and chat.job.position.machine.maybe_open
            left = [p for s in (*said, *chat.send("stop"), *chat.send("not fixed")) for p in s.paragraphs]
            assert any("came off" in paragraph or "cover back on" in paragraph for paragraph in left)
            return
        chat.send("1")
    pytest.fail("no check behind a cover was asked for")


@pytest.mark.parametrize("text", [
    "proved it dead", "its dead, meter says so", "tested dead at the cord", "ok proved dead"])
def test_that_it_was_proved_dead_is_no_reading(release, text):
    """It is the way to the ohms; they are asked for again."""
    chat = at(release, "element_ohms", "electric dryer no heat")
    chat.send(text)
    assert not facts(chat, "result") and not facts(chat, "complaint").keys() - {"no_heat"}
    assert chat.job.question.checks == ("element_ohms",)


def test_the_reading_beside_it_counts(release):
    """'Proved dead n element is 9.8' is 9.8 ohms."""
    chat = at(release, "element_ohms", "electric dryer no heat")
    chat.send("proved dead n element is 9.8")
    assert [f.number for f in chat.job.standing("result")] == [9.8]


@pytest.mark.parametrize(("text", "result"), [
    ("nobody worked on it n nothing spilled", {}), ("nothing was done to it at all", {}),
    ("nope nothing", {"gas_smell_now": "none"}), ("sniffed all round it, nothing", {"gas_smell_now": "none"})])
def test_the_air_is_clear_of_gas_only_where_somebody_says_so(release, text, result):
    """'Nothing spilled' is no word on a smell."""
    chat = at(release, "gas_smell_now", "gas range oven wont light")
    chat.send(text)
    assert {k: v for k, v in facts(chat, "result").items() if k == "gas_smell_now"} == result


@pytest.mark.parametrize("text", ["dishwasher wont drain", "fridge wont make ice", "front loader door hinge broken",
                                  "top loader lights flashing", "refrigerator door handle loose"])
def test_a_plain_complaint_answers_no_check(release, text):
    """Its own words are no detail of it: 'wont drain' is no pump that hums and wont drain."""
    assert not facts(visit(release, text), "result")


@pytest.mark.parametrize("words", ["12 Birch Street", "14 hazel lane.", "wo 4711"])
def test_an_address_and_nothing_else(release: Release, words: str) -> None:
    """It is taken down, and what was asked stays asked: nothing was said of the machine."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    chat.send("electric dryer, no heat, drum turns")
    assert chat.job is not None and chat.job.question is not None
    asked = chat.job.question.checks
    assert chat.send(words)[0].paragraphs[0] == "Address noted."
    assert chat.job.question is not None
    assert chat.job.question.checks == asked and chat.job.standing("site")
