"""A danger is taken back only where it never was: one `back` never leads to gas or to a cabinet that shocks."""

import pytest

from bot.conversation.job import Handing, Phase
from bot.conversation.safety.danger import dangers, nobody_goes_in

HAZARDS = {"gas": "i smell gas", "shock": "got a shock off the cabinet", "fire": "smoke out of the back",
           "co": "the co alarm went off", "flood": "water all over the floor and its at the outlet"}


def told(crew, hazard="gas"):
    """Rui is at his first check when he names the danger."""
    crew.send("gas dryer no heat")
    crew.send(HAZARDS[hazard])
    return crew


@pytest.mark.parametrize("hazard", HAZARDS)
def test_back_asks_whether_the_danger_never_was(rui_and_marta, hazard):
    """The danger stays on the case, and no step at the machine is put, until that is answered."""
    crew = told(rui_and_marta(), hazard)
    crew.send("back")
    assert crew.heard["rui"][-1].choices == ("Never was", "It stands")
    assert crew.job.phase is Phase.HAZARD and hazard in dangers(crew.job)


@pytest.mark.parametrize("words", ["1", "never was", "it was a typo"])
def test_a_slip_is_taken_back_and_the_seniors_hear_it(rui_and_marta, words):
    """The check that was open comes back, and nobody need ride out for it."""
    crew = told(rui_and_marta())
    crew.send("back")
    crew.send(words)
    assert not dangers(crew.job) and crew.job.question.kind == "check"
    assert "Took back: gas smell" in crew.heard["rui"][-1].text
    assert crew.job.handoff.state is Handing.WITHDRAWN


@pytest.mark.parametrize("words", ["2", "it stands", "back", "dont know", "no", "we are out", "it still stinks of gas"])
def test_anything_else_leaves_the_danger_where_it_is(rui_and_marta, words):
    """A second `back`, a bare no, and what answers the danger's own question take nothing off the case."""
    crew = told(rui_and_marta())
    crew.send("back")
    crew.send(words)
    assert nobody_goes_in(crew.job) == "gas"
    assert crew.job.question.kind in {"hazard", "outside", "slip"}


@pytest.mark.parametrize("words", ["false alarm", "sorry my mistake that was the neighbors paint", "wrong chat"])
def test_a_mistake_told_in_words_is_asked_back(rui_and_marta, words):
    """The junior need not know of `back`."""
    crew = told(rui_and_marta())
    crew.send(words)
    assert crew.heard["rui"][-1].choices == ("Never was", "It stands")
    assert nobody_goes_in(crew.job) == "gas"


def test_once_all_are_out_back_takes_that_alone(rui_and_marta):
    """'Out' was sent too soon: they are asked for it again, and the gas stands."""
    crew = told(rui_and_marta())
    crew.send("all out")
    crew.send("back")
    assert crew.job.question.kind == "hazard" and nobody_goes_in(crew.job) == "gas"
