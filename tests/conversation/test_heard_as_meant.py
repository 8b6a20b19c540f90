"""Words that sound like the opposite, or like another part: a fan and no heat, the others and not all, a clock and no
burner."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.diagnosis.belief import posterior
from bot.diagnosis.evidence import Evidence, Repaired, Seen, Situation
from bot.diagnosis.setting import setting_of
from bot.language.answers.answer import answer
from bot.language.dangers.unsafe_seen import unsafe_seen
from bot.language.understand import understand
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def visit(release: Release, *texts: str) -> Chat:
    """A visit as the program leads it, with these words typed one after the other."""
    chat = Chat(release, Person("rui", "Rui"), FIRM)
    for text in texts:
        chat.send(text)
    return chat


def facts(chat: Chat, kind: str) -> dict[str, str]:
    """Subject -> value of what stands of one kind."""
    assert chat.job is not None
    return {f.subject: f.value for f in chat.job.standing(kind)}  # type: ignore[arg-type]


@pytest.mark.parametrize("text", [
    "oven blower wont quit", "after i turn the oven off the fan keeps running", "range, fan stays on all night",
    "the fan wont turn off on my oven", "turned the oven off 20 minutes ago and the fan is still going",
    "el ventilador del horno sigue andando despues de apagarlo"])
def test_a_fan_that_blows_on_is_no_heat_that_stays(release: Release, text: str) -> None:
    """Nobody is told to cut the power that cools a hot oven."""
    chat = visit(release)
    said = chat.send(text)[-1]
    assert set(facts(chat, "complaint")) == {"fan_runs_on"}
    assert "Breaker off" not in said.text


@pytest.mark.parametrize("text", [
    "fan keeps running and the element is still red with it off", "oven wont turn off fan keeps going",
    "oven and fan wont shut off", "fan wont shut off and the oven is still hot inside after an hour"])
def test_heat_that_stays_is_heard_beside_a_fan(release: Release, text: str) -> None:
    """The caution is never lost for the fan's sake."""
    assert "wont_turn_off" in {g.id for g in understand(release.index, text).complaints}


@pytest.mark.parametrize(("text", "check"), [
    ("dryer end of the cord is toasted", "terminal_block_look"),
    ("where the cord goes into the dryer its brown", "terminal_block_look"),
    ("end of the cord is black", "outlet_look"), ("the power cord is all melted", "outlet_look")])
def test_a_burnt_cord_is_seen(text: str, check: str) -> None:
    """At the machine's end or at the wall's; it must not get power again."""
    assert (check, "burnt") in unsafe_seen(text, "dryer")


@pytest.mark.parametrize("text", ["power cord is black", "the cord is brown", "cord looks fine not melted",
                                  "cord is not burnt", "replaced the burnt cord last year", "the cord smells burnt"])
def test_a_cord_of_that_colour_is_not_burnt(text: str) -> None:
    """Most cords are black or brown."""
    assert unsafe_seen(text, "dryer") == ()


@pytest.mark.parametrize(("text", "seen"), [
    ("dryer wont stop running when door opened", True), ("it still turns with the door open", True),
    ("drum doesnt stop when i open the door", True), ("stops when i open the door", False),
    ("turns off with the door open", False), ("does it turn with the door open?", False),
    ("wont run with the door open", False)])
def test_a_drum_that_turns_with_the_door_open_is_stopped(text: str, seen: bool) -> None:
    """Whenever it is told: nobody opens the door once more to show it."""
    assert (unsafe_seen(text, "dryer") == (("door_while_running", "keeps_on"),)) is seen


def test_what_stays_dead_is_not_asked_to_run_once_more(release: Release) -> None:
    """After smoke an answer that is not followed gets the same words again, not 'next time it quits'."""
    chat = visit(release, "burning smell from back of dryer and it goes off n on")
    asked = chat.send("dead and safe")[-1].text
    assert chat.job is not None and chat.job.question is not None
    again = release.knowledge.packs["dryer"].checks[chat.job.question.checks[0]].again
    said = chat.send("blah blah")[-1].text
    assert again and again not in said
    assert asked.splitlines()[-1] in said


@pytest.mark.parametrize("text", ["the others heat", "rest of em work", "other three come up red",
    "everything else lights",
                                  "las otras calientan"])
def test_the_others_heat_says_that_one_does_not(release: Release, text: str) -> None:
    """'All others' is not 'all'."""
    assert answer(release.index, "range", "which_units", text).result == "one"


@pytest.mark.parametrize("text", ["no heat but the burners work", "dead oven, top works fine",
                                  "lit, no heat. top is good"])
def test_no_heat_is_not_nowhere_where_the_top_works(release: Release, text: str) -> None:
    """A thing that is said to work goes before 'no heat'."""
    heard = answer(release.index, "range", "watch_all", text)
    assert (heard.result or heard.near[0].id) == "oven_dead"


def test_a_clock_that_is_lit_is_still_no_heat_anywhere(release: Release) -> None:
    """Signs of life heat nothing."""
    assert answer(release.index, "range", "watch_all", "clock works, lamp works, no heat").result == "lit_no_heat"


def test_the_later_word_counts(release: Release) -> None:
    """Nothing heats, and then all burners do and only the oven is dead: by all of the line, not by its last part."""
    chat = visit(release, "electric range coil top, nothing heats, clock works")
    assert facts(chat, "result")["watch_all"] == "lit_no_heat"
    chat.send("only the oven is dead, all burners on top heat")
    assert facts(chat, "result")["watch_all"] == "oven_dead"


@pytest.mark.parametrize("text", ["clock and oven light work", "display is on", "the lamp works"])
def test_a_lamp_is_no_burner(release: Release, text: str) -> None:
    """It tells nothing of a flame."""
    heard = answer(release.index, "range", "burner_watch", text)
    assert heard.result is None and not heard.near


def test_no_spark_at_a_burner_is_no_word_on_arcs(release: Release) -> None:
    """It is the igniter that does not tick."""
    chat = visit(release, "gas range, top burners wont light without a match", "no spark anywhere")
    assert facts(chat, "result").get("burner_watch") == "no_spark"
    assert "spark_place" not in facts(chat, "result")
    assert "sparks" not in facts(chat, "denied")


@pytest.mark.parametrize("text", ["electric oven wont bake, glass top", "oven wont bake, glass top, keys and display"])
def test_how_it_is_built_is_no_word_on_whether_it_works(release: Release, text: str) -> None:
    """A glass top may be as dead as the oven."""
    assert not understand(release.index, text).denied


def test_a_glass_top_that_works_does(release: Release) -> None:
    """Said so, it counts."""
    assert "surface_dead" in understand(release.index, "electric oven wont bake, glass top works").denied


def test_a_motor_that_hums_for_a_drum_that_stands_is_one_trouble(release: Release) -> None:
    """Nobody is sent to listen along a drum that does not turn."""
    meaning = understand(release.index, "dryer motor hums n runs drum dont spin")
    assert [g.id for g in meaning.complaints] == ["no_tumble"]
    loud = understand(release.index, "dryer squeals loud and the drum doesnt turn")
    assert {g.id for g in loud.complaints} == {"no_tumble", "noisy"}


def test_nothing_to_hear_is_an_answer(release: Release) -> None:
    """The check cannot be made on a machine that stands."""
    assert answer(release.index, "dryer", "noise_place", "drum stands still so theres nothing to hear").none == "cannot"


@pytest.mark.parametrize("text", ["cut off is OL", "high limit OL", "the thermal fuse reads open"])
def test_a_metered_limit_is_no_complaint(release: Release, text: str) -> None:
    """'Cut off' is a part here."""
    assert not understand(release.index, text, family="dryer").complaints


def test_a_limit_read_while_the_kind_is_asked_is_kept(release: Release) -> None:
    """Every part of the line goes where it belongs."""
    chat = visit(release, "electric dryer no heat at all, slow for weeks before", "never warm",
                 "element 11 ohm, cut off reads OL")
    assert facts(chat, "result")["high_limit_ohms"] == "open"
    assert "stops_mid_cycle" not in facts(chat, "complaint")


@pytest.mark.parametrize(("text", "value"), [("two strips by the filter", "present"), ("theyre on the back wall",
    "present"),
                                             ("no strips", "absent"), ("yep", "present")])
def test_a_question_is_answered_in_its_own_words(release: Release, text: str, value: str) -> None:
    """Who says back what was asked for has it."""
    chat = visit(release, "electric dryer takes 2 hours to dry")
    for _ in range(8):
        assert chat.job is not None
        if chat.job.question is not None and chat.job.question.data.get("axis") == "auto_dry":
            break
        chat.send("skip")
    else:
        pytest.fail("the strips were never asked for")
    chat.send(text)
    assert facts(chat, "variant")["auto_dry"] == value


def test_how_it_began_is_not_asked_again_after_a_repair(release: Release) -> None:
    """The beginning is what it was, whatever was mended since."""
    model = release.models["dryer"]
    evidence = Evidence("dryer", {"fuel": "electric"}, ("no_heat", "noisy"), history=(
        Seen("since_when", "slowly"), Seen("noise_place", "low"), Repaired("idler_pulley.worn")))
    may = setting_of(model, posterior(model, evidence), evidence, Situation()).checks
    assert "since_when" not in may


def test_a_senior_gets_more_than_a_guess(release: Release) -> None:
    """Where nothing stands out, a look that needs no sign-off comes before the hand-off."""
    chat = visit(release, "gas dryer no heat", "strong")
    assert chat.job is not None
    assert chat.job.phase is Phase.CHECKS
    assert chat.job.question is not None and chat.job.question.kind == "check"
