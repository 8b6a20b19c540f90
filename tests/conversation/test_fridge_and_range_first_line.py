"""Refrigerators and ranges: what the first line has answered is not asked, and what it has not is."""

from __future__ import annotations

import pytest

from tests.conversation.test_told_beside import facts, visit


@pytest.mark.parametrize(("line", "seen"), [
    ("fridge ff warm, back of freezer frosted solid", "wall"),
    ("water under the crispers n ice on frzr floor of the fridge, frost too", "floor"),
    ("fridge, frost all round the freezer door opening", "door")])
def test_where_the_frost_sits_is_told_once(release, line, seen):
    """The look into the freezer is answered before it is asked."""
    chat = visit(release, line)
    assert facts(chat, "result")["back_wall_look"] == seen
    assert chat.job.question is None or "back_wall_look" not in chat.job.question.checks


@pytest.mark.parametrize(("line", "seen"), [
    ("fridge ice maker makes tiny hollow cubes", "small"),
    ("fridge ice maker overflows, bin is one lump", "flooded"),
    ("fridge, no ice, mold is bone dry", "empty"),
    ("fridge ice maker wont dump, cubes stuck in the mold", "stuck")])
def test_what_the_cubes_look_like_is_told_once(release, line, seen):
    chat = visit(release, line)
    assert facts(chat, "result")["mold_look"] == seen


@pytest.mark.parametrize("line", [
    "fridge ice maker quit", "fridge ice maker not working", "no ice in the fridge", "fridge ice maker jammed",
    "fridge ice maker stopped after a filter change"])
def test_an_ice_maker_that_quit_says_nothing_of_its_mold(release, line):
    assert "mold_look" not in facts(visit(release, line), "result")


@pytest.mark.parametrize("line", [
    "fridge door gasket torn at the bottom corner, door sweats", "fridge gasket ripped lower corner n it sweats there"])
def test_a_gasket_told_torn_is_not_tried_with_paper(release, line):
    chat = visit(release, line)
    assert facts(chat, "result")["gasket_paper"] == "torn"


@pytest.mark.parametrize("line", [
    "coil range rear rt burner only works if u wiggle it", "coil range, left front dead, works if you push it down"])
def test_a_coil_that_works_when_wiggled_is_told_so_in_the_complaint(release, line):
    """The socket is looked at; nobody swaps coils or counts dead ones first."""
    chat = visit(release, line)
    assert facts(chat, "result")["coil_moved"] == "comes"
    assert chat.job.question is not None and chat.job.question.checks == ("coil_socket_look",)


def test_a_dead_coil_has_not_been_wiggled(release):
    assert "coil_moved" not in facts(visit(release, "coil range burner dead rear right"), "result")


def test_a_door_that_does_not_close_is_not_locked(release):
    assert list(facts(visit(release, "oven door wont close all the way"), "complaint")) == ["part_broken"]
