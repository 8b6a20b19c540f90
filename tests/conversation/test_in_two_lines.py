"""What was found in one line and set right in the next, taken back, or proved, in the words of the field."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.simulation.chat import Chat
from tests.conversation.test_repairs_told import after

WARM, DRAIN, LEAK = "fridge warm", "washer wont drain front load", "front load washer leaks"


def results(chat: Chat) -> dict[str, str]:
    """Check -> result that stands."""
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


@pytest.mark.parametrize(("lines", "repair"), [
    ((WARM, "coils packed w dust", "cleaned em"), "condenser_coil.dirty"),
    ((DRAIN, "coin in the pump", "cleared it"), "clear_drain_pump"),
    (("dishwasher dirty dishes", "spray arm holes plugged", "cleaned them"), "spray_arm.blocked_or_split"),
    (("dryer slow to dry", "vent hood flap stuck shut w lint", "cleared it"), "vent.restricted"),
    (("fridge, no ice", "fill tube is frozen solid", "thawed it w warm water, it runs"), "fill_tube.frozen")])
def test_what_was_found_just_now_is_what_was_cleaned(chat_of, lines, repair):
    """'Cleaned em' names no part: it is the one of the line before, and no answer to what is asked meanwhile."""
    chat = after(chat_of, *lines)
    assert chat.job.phase is Phase.PROOF
    assert chat.job.position.repair == repair


def test_a_correction_takes_one_back_and_tells_the_other(chat_of):
    """'Sorry the element is ok, its the fuse thats open' at the finding: nobody buys the element."""
    chat = after(chat_of, "dishwasher water not hot", "heater reads open",
                 "sorry the element is ok, its the fuse thats open")
    assert results(chat) == {"heater_ohms": "good", "fuse_ohms": "open"}
    assert chat.job.phase is Phase.CHECKS


def test_readings_of_coils_are_no_handle_of_a_valve(chat_of):
    """'Open' of a coil is not how the valve's handle stands."""
    chat = after(chat_of, "gas dryer no heat", "igniter glows then goes out no flame", "coil 1 open coil 2 fine")
    assert "gas_valve_handle" not in results(chat)


def test_lint_in_the_filter_is_no_smell(chat_of):
    """It is how the filter is found."""
    chat = after(chat_of, DRAIN, "pump hums", "lint in the filter")
    assert results(chat) == {"pump_sound": "hums", "filter_look": "packed"}


@pytest.mark.parametrize("text", ["no water by the drawer", "soap drawer is dry"])
def test_one_dry_place_is_no_dry_machine(chat_of, text):
    """It leaks elsewhere, and water comes in."""
    chat = after(chat_of, LEAK, text)
    assert "leak_step" not in results(chat)
    assert {fact.subject for fact in chat.job.standing("complaint")} == {"leaks"}


MENDED = (WARM, "coils packed w dust", "cleaned em")


@pytest.mark.parametrize("text", ["fridge 38 freezer 2 now", "temp dropping", "works, getting cold"])
def test_what_cools_is_proved(chat_of, text):
    """On to the closing."""
    assert after(chat_of, *MENDED, text).job.phase is Phase.CLOSING


def test_good_news_at_the_proof_is_no_failure(chat_of):
    """A freezer at 5 two hours on says nothing of the fridge part yet: the proof is asked once more."""
    chat = after(chat_of, *MENDED, "2 hrs later frzr 5")
    assert chat.job.phase is Phase.PROOF
    assert chat.job.question.kind == "proof"


def test_frost_that_melts_is_a_heater_that_works(chat_of):
    """No frost that builds up still."""
    chat = after(chat_of, "fridge warm, freezer frosted up", "defrost heater open", "got one", "swapped it",
                 "heater gets warm, frost melting")
    assert chat.job.phase is Phase.CLOSING


@pytest.mark.parametrize("text", ["freezer warming up", "fridge still getting warm"])
def test_what_warms_up_is_no_cure_of_a_fridge(chat_of, text):
    """Warm is good of an oven."""
    assert after(chat_of, *MENDED, text).job.phase is not Phase.CLOSING


def test_a_spark_beside_an_answer_is_a_danger(chat_of):
    """'Big plug' answers what is asked, and hides nothing."""
    chat = after(chat_of, "dryer wont heat", "electric, big plug, and it sparked when i touched it")
    assert chat.job.phase is Phase.HAZARD
    chat = after(chat_of, "gas range burner wont light", "still sparking, no flame")
    assert chat.job.phase is not Phase.HAZARD


@pytest.mark.parametrize(("lines", "check", "result"), [
    ((DRAIN, "bearing noise at the back, brushes down to nubs"), "brushes_look", "worn"),
    (("ice maker in my fridge quit", "arm is down"), "arm_look", "on"),
    (("front loader no go either way, fill n drain good. brushes down to nubs",), "brushes_look", "worn")])
def test_what_nobody_asked_is_known_by_what_it_means(chat_of, lines, check, result):
    """A look that a part of a line lies near to, and to no other."""
    assert results(after(chat_of, *lines)).get(check) == result


@pytest.mark.parametrize("lines", [
    ("dishwasher milky glasses", ), ("front load washer leaks at the front", "the puddle"),
    ("gas dryer no heat", "coils are bad")])
def test_what_tells_no_look_files_none(chat_of, lines):
    """The trouble again, a word or two, a verdict."""
    chat = after(chat_of, lines[0])
    before = results(chat)
    for line in lines[1:]:
        chat.send(line)
    assert results(chat) == before


FAN = ("fridge part warm frzr ok, compressor runs", "evap fan not spinning", "spins free", "even frost")


@pytest.mark.parametrize(("text", "result"), [
    ("120 at the fan plug with the door switch held", "there"), ("no volts at the fan plug", "none"),
    ("no power getting to the fan", "none")])
def test_volts_told_where_ohms_are_asked_go_to_the_live_check(chat_of, text, result):
    """And are no ohms of the winding, whatever the number."""
    seen = results(after(chat_of, *FAN, text))
    assert seen.get("fan_volts") == result
    assert "evap_fan_ohms" not in seen


@pytest.mark.parametrize("text", ["240 at the element", "outlet is 240 good", "only 120 at the outlet"])
def test_volts_are_no_ohms_of_an_element(chat_of, text):
    """Half a supply is no burnt element."""
    assert "element_ohms" not in results(after(chat_of, "dryer no heat, electric, drum turns", "all set", text))


@pytest.mark.parametrize("text", [
    "wait its full again", "hm no, still standing water", "all back but its dripping again"])
def test_trouble_at_the_closing_is_no_cure(chat_of, text):
    """The list is left, and what was repaired counts as tried."""
    chat = after(chat_of, "dw full of water at the end, just hums", "clean", "ok", "glass in the impeller, got it out",
                 "drains now", text)
    assert chat.job.phase in {Phase.CHECKS, Phase.FINDING}
    assert chat.job.standing("repaired")


@pytest.mark.parametrize("text", ["hang on, one screw", "still mopping up water"])
def test_who_still_packs_up_is_waited_for(chat_of, text):
    """Nothing of it is a trouble."""
    chat = after(chat_of, "dw full of water at the end, just hums", "clean", "ok", "glass in the impeller, got it out",
                 "drains now", text)
    assert chat.job.phase is Phase.CLOSING


@pytest.mark.parametrize("text", [
    "refrigerant leaking out when it stops, hissing",
    "r600a and i hear a hiss at the back", "hissing and oily spot under comp", "was chipping ice and heard a pssst"])
def test_a_hiss_of_the_cooling_system_is_a_danger(chat_of, text):
    """Refrigerant that burns."""
    chat = after(chat_of, "fridge not cold", text)
    assert chat.job.phase is Phase.HAZARD
    assert chat.job.question.data["hazard"] == "refrigerant"


@pytest.mark.parametrize("text", ["no hiss at the tube", "faint hiss after it stops", "r600a, no hissing no oil"])
def test_a_hiss_at_rest_or_none_is_no_danger(chat_of, text):
    """The pressures even out."""
    assert after(chat_of, "fridge not cold", text).job.phase is not Phase.HAZARD


@pytest.mark.parametrize("text", ["frame has no ground", "cabinet's got no ground"])
def test_a_frame_without_ground_leaks_nothing_to_it(chat_of, text):
    """It is the bond that lacks."""
    seen = results(after(chat_of, "dishwasher wont fill", text))
    assert not {"pump_to_frame", "pins_to_ground"} & seen.keys()


@pytest.mark.parametrize("lines", [
    ("front loader bangs on spin, think its the shocks",),
    ("front loader roars like a jet on spin", "shocks were fine, did them already")])
def test_shocks_that_carry_a_tub_hurt_nobody(chat_of, lines):
    """However they are spoken of."""
    chat = after(chat_of, *lines)
    assert "electric_shock" not in {fact.subject for fact in chat.job.standing("complaint")}
    assert after(chat_of, "front loader bangs, i think it shocks me").job.phase is Phase.HAZARD


@pytest.mark.parametrize("line", ["cleaned em, fan still dead", "cleaned em, still warm",
                                  "cleaned them but its still not cold"])
def test_what_was_found_and_cleaned_without_a_cure_goes_on(chat_of, line):
    """The coil is put right, and the visit goes on from a repair that did not do it."""
    chat = after(chat_of, "fridge warm, cond fan dead, coils plugged with pet hair", line)
    assert [fact.subject for fact in chat.job.standing("repaired")] == ["condenser_coil.dirty"]
    assert chat.job.phase is Phase.CHECKS
