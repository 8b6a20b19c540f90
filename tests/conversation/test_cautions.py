"""What is said of danger: what fits the machine, and each thing once."""

import pytest

from bot.conversation.safety.cautions import without_gas, without_repeats
from bot.conversation.safety.machine import wait_said


def all_said(messages):
    """One text of everything that was said."""
    return " ".join(paragraph for said in messages for paragraph in said.paragraphs)


def test_gas_is_left_out_on_a_machine_told_to_burn_none(chat_of):
    """An electric range gets its own cautions; one that burns gas gets those of gas too."""
    electric = all_said(chat_of().send("electric range, keypad, oven wont heat"))
    gas = all_said(chat_of().send("gas range, keypad, oven wont heat"))
    assert "Careful:" in electric
    assert "Gas" not in electric
    assert "Gas smell: everyone out" in gas


@pytest.mark.parametrize(("caution", "left"), [
    ("Gas smell: don't start it. Everyone out.", ""),
    ("Edges cut. Gas: mind the flexible line. Knees bent.", "Edges cut. Knees bent."),
    ("No heat, above all on gas: it stays in the room.", "No heat, above all on gas: it stays in the room."),
])
def test_only_what_begins_with_gas_is_left_out(caution, left):
    """A sentence that speaks of gas beside something else stays."""
    assert without_gas(caution) == left


def test_one_message_says_a_caution_once():
    """What a cover's caution has said, the check's does not say again in fewer words; what is new stays."""
    assert without_repeats(["Plug out. Gloves: the fins cut.", "Plug out: fan plugs are right there."],
                           ["Fins cut. Gloves on."]) == ["Plug out: fan plugs are right there."]
    assert without_repeats(["Unplugged.", "Power on: hands off."], ["Hands out until it stands."]) == [
        "Unplugged.", "Power on: hands off."]


@pytest.mark.parametrize(("family", "told", "key"), [
    ("front_load_washer", {"motor": "brushless"}, "machine.wait_now"),
    ("front_load_washer", {"motor": "brushed"}, None),
    ("front_load_washer", {}, "machine.wait"),
    ("top_load_washer", {"control": "timer"}, None),
    ("top_load_washer", {"control": "board"}, "machine.wait"),
    ("dryer", {}, None),
])
def test_the_wait_after_the_plug_is_for_machines_that_can_have_such_a_drive(release, family, told, key):
    """No washer with a mechanical timer has an electronic drive; one whose kind nobody told may."""
    assert wait_said(release.knowledge.packs[family].family, told) == key
