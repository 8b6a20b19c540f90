"""After gas, carbon monoxide or a fire that drove all out: nobody goes on before those in charge cleared it."""

import pytest

from bot.conversation.job import Outcome, Phase
from bot.conversation.safety.clearance import clearance_in
from bot.conversation.safety.danger import nobody_goes_in


def out_of_gas(crew, *, taken=False):
    """Rui smelt gas and is out; with `taken`, Marta had the case before he wrote so."""
    crew.send("gas dryer no heat")
    crew.send("i smell gas")
    if taken:
        crew.press(1, who="marta")
    crew.send("all out")
    return crew


def asks_for_something_to_run(crew):
    """Whether the open question sends the junior to the machine."""
    return crew.job.question is not None and crew.job.question.kind == "check"


@pytest.mark.parametrize("words", ["carry on", "ok lets continue", "can we go back in?", "what now", "going back in"])
def test_going_on_after_gas_is_answered_by_asking_who_cleared_it(rui_and_marta, words):
    """It is no choice, and typed it brings the question whether the gas company said so."""
    crew = out_of_gas(rui_and_marta())
    assert "Carry on" not in crew.heard["rui"][-1].choices
    crew.send(words)
    assert crew.heard["rui"][-1].choices == ("They cleared it", "Not yet")
    assert "gas company" in crew.heard["rui"][-1].text
    assert crew.job.phase is Phase.HANDED_OFF and nobody_goes_in(crew.job) == "gas"


@pytest.mark.parametrize("words", ["yes, the smell is gone", "i think so", "homeowner says its fine", "not yet", "no",
                                   "gas company is here, we are all safe", "gas company said dont go back in"])
def test_only_their_word_clears_it(rui_and_marta, words):
    """A nose, a guess, the customer, or that all are safe outside: none of it is the gas company's word."""
    crew = out_of_gas(rui_and_marta("gas"))
    crew.send("carry on")
    crew.send(words)
    assert nobody_goes_in(crew.job) == "gas"
    assert not asks_for_something_to_run(crew)


def test_once_cleared_somebody_signed_off_for_gas_goes_on_with_the_leak(rui_and_marta):
    """The nose comes first, before a switch is touched."""
    crew = out_of_gas(rui_and_marta("gas"))
    crew.send("carry on")
    crew.press(1)
    assert crew.job.question.checks == ("gas_smell_now",)


def test_gas_that_the_nose_still_finds_drives_everybody_out_again(rui_and_marta):
    """The check's answer is the danger, as if it had been named: no other check comes with it."""
    crew = out_of_gas(rui_and_marta("gas"))
    crew.send("they cleared it")
    crew.send("all the time")
    assert crew.job.phase is Phase.HAZARD and nobody_goes_in(crew.job) == "gas"
    assert "Get out now" in crew.heard["rui"][-2].text + crew.heard["rui"][-1].text


def test_once_cleared_a_junior_without_the_signoff_runs_nothing_that_burns_gas(rui_and_marta, told):
    """The hand-off stays, whatever he writes next."""
    crew = out_of_gas(rui_and_marta())
    crew.send("gas co says its safe now")
    for words in ("carry on", "lets go on", "1.2 ohm"):
        crew.send(words)
        assert crew.job.phase is Phase.HANDED_OFF and not asks_for_something_to_run(crew)
    assert "signed off for gas" in told(crew, "rui")


def test_a_machine_that_burns_no_gas_goes_on_once_cleared(rui_and_marta):
    """The alarm was the furnace's: an electric dryer is the junior's again."""
    crew = rui_and_marta()
    for words in ("electric dryer no heat", "co alarm went off", "all out", "carry on"):
        crew.send(words)
    assert "the gas company or the fire service" in crew.heard["rui"][-1].text
    crew.send("fire dept gave us the all clear")
    assert crew.job.phase is not Phase.HANDED_OFF


def test_a_machine_that_burnt_stays_dead_after_the_fire_service_left(rui_and_marta):
    """Cleared is the house, not the machine."""
    crew = rui_and_marta()
    for words in ("electric dryer burning smell", "getting worse", "out", "carry on", "they cleared it"):
        crew.send(words)
    assert nobody_goes_in(crew.job) is None
    assert crew.job.position.machine.stays_dead


def test_no_late_press_leads_back_in(rui_and_marta):
    """A choice of the check from before, pressed outside, is filed at most; no step comes of it."""
    crew = rui_and_marta()
    crew.send("gas dryer no heat")
    before = crew.job.question.id
    crew.send("i smell gas")
    crew.send("all out")
    crew.press(3, before)
    assert crew.job.phase is Phase.HANDED_OFF and not asks_for_something_to_run(crew)


def test_who_is_hurt_is_helped_and_the_visit_may_go_on(rui_and_marta):
    """An injury needs no clearance."""
    crew = rui_and_marta()
    for words in ("toploader wont spin", "cut my hand on the panel", "being helped", "carry on"):
        crew.send(words)
    assert crew.job.phase is Phase.CHECKS


def test_the_juniors_out_still_counts_when_a_senior_has_the_case(rui_and_marta, told):
    """It settles the question, and the senior reads it."""
    crew = out_of_gas(rui_and_marta(), taken=True)
    assert crew.job.handed_to == "marta" and crew.job.phase is Phase.HANDED_OFF
    assert "Rui: all out" in told(crew, "marta")
    crew.send("where", who="marta")
    assert "Confirmed: All out. Not cleared yet." in crew.heard["marta"][-1].text


def test_a_senior_cannot_send_anybody_back_in(rui_and_marta, told):
    """Not by a choice, not by `carry on`, not by a fault or a check, and the junior cannot take it back either."""
    crew = out_of_gas(rui_and_marta("gas"), taken=True)
    assert "Carry on" not in [c for said in crew.heard["marta"] for c in said.choices]
    for words in ("carry on", "found failed gas valve", "ask burner, watched"):
        crew.send(words, who="marta")
        assert "Not back in before the gas company has said that it is safe" in crew.heard["marta"][-1].text
        assert crew.job.handed_to == "marta" and not asks_for_something_to_run(crew)
    crew.send("back")
    assert crew.job.handed_to == "marta" and crew.heard["rui"][-1].choices == ("They cleared it", "Not yet")
    assert "Marta: found failed gas valve" in told(crew, "rui")


def test_after_the_seniors_word_that_it_was_cleared_carry_on_gives_it_back(rui_and_marta, told):
    """First the leak, for somebody signed off for gas."""
    crew = out_of_gas(rui_and_marta("gas"), taken=True)
    crew.send("gas company cleared it", who="marta")
    assert "Marta: gas company cleared it" in told(crew, "rui")
    crew.send("carry on", who="marta")
    assert crew.job.handed_to is None
    assert crew.job.question.checks == ("gas_smell_now",)


def test_carry_on_for_a_junior_without_the_signoff_is_refused(rui_and_marta):
    """Cleared or not: it stays with the senior, who hears why."""
    crew = out_of_gas(rui_and_marta(), taken=True)
    crew.send("gas company says its safe")
    crew.send("carry on", who="marta")
    assert "Rui is not signed off for gas" in crew.heard["marta"][-1].text
    assert crew.job.handed_to == "marta"


def test_gas_found_by_a_check_that_the_senior_asked_for_drives_everybody_out(rui_and_marta):
    """The bot does not keep quiet about that."""
    crew = rui_and_marta()
    crew.send("gas dryer no heat")
    crew.send("senior")
    crew.press(1, who="marta")
    crew.send("ask nose for gas", who="marta")
    crew.send("all the time")
    assert crew.job.phase is Phase.HAZARD and crew.job.handed_to == "marta"
    assert "Get out now" in crew.heard["rui"][-1].text


def test_any_open_danger_comes_before_carry_on(rui_and_marta):
    """Smoke while the senior has it: he confirms it dead, then it may go on, and stays dead."""
    crew = rui_and_marta()
    crew.send("toploader wont spin")
    crew.send("senior")
    crew.press(1, who="marta")
    crew.send("its on fire, flames out the back")
    crew.send("carry on", who="marta")
    assert crew.job.phase is Phase.HAZARD
    crew.send("its dead, breaker off")
    assert crew.job.handed_to == "marta" and not asks_for_something_to_run(crew)
    crew.send("carry on", who="marta")
    assert crew.job.handed_to is None and crew.job.position.machine.stays_dead


def test_ending_a_case_of_gas_leaves_the_warning(rui_and_marta):
    """Closed by the senior before it was cleared: nobody goes back in all the same."""
    crew = out_of_gas(rui_and_marta(), taken=True)
    crew.send("end", who="marta")
    assert crew.job.outcome is Outcome.HANDED_OFF
    assert "Nobody goes back in" in crew.heard["rui"][-1].text


SAID = {
    "gas company came out, no leak, says ok to go in": "cleared",
    "firefighters told us we can go back in": "cleared",
    "cleared by the gas company": "cleared",
    "all clear": "cleared",
    "la compania de gas dice que es seguro": "cleared",
    "have they cleared it?": "doubt",
    "fire dept cleared the building": "doubt",
    "gas co should clear it soon": "doubt",
    "customer says gas company cleared it last week": "doubt",
    "the smell has cleared": None,
    "cleared the drum": None,
    "fire dept cleared everyone out": None,
    "they are all safe outside": None,
    "we are clear": None}


@pytest.mark.parametrize(("words", "means"), SAID.items())
def test_what_words_say_of_their_word(words, means):
    """Who said it, whether he said it now, and whether it was said at all."""
    assert clearance_in(words, asked=False) == means
