"""Free-text answers to one open check."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.language import Index, answer
from bot.language.answers.both_ways import both_ways
from bot.language.answers.likeness import likeness
from bot.language.answers.typed import answered_checks, typed_for


def test_every_phrase_of_the_packs_is_understood(index: Index) -> None:
    """What an author wrote as an answer leads to its result, nearly always, and hardly ever to another."""
    asked = right = wrong = 0
    for family, pack in index.knowledge.packs.items():
        for check, entry in pack.checks.items():
            for name, result in entry.results.items():
                for phrase in (p for said in result.phrases.values() for p in said[:2]):
                    heard = answer(index, family, check, phrase)
                    asked += 1
                    right += heard.result == name or (heard.heard is not None and heard.heard.value is not None)
                    wrong += heard.result not in (None, name)
    assert right / asked > 0.97
    assert wrong / asked < 0.01


@pytest.mark.parametrize(("check", "text", "result"), [
    ("belt_look", "snapped", "broken"), ("belt_look", "looks fine", "good"), ("element_ohms", "OL", "open"),
    ("thermal_fuse_ohms", "no beep", "open"), ("thermal_fuse_ohms", "its good", "closed"),
    ("drum_by_hand", "its stuck solid", "stuck"),
])
def test_answers_in_a_technicians_words(index: Index, check: str, text: str, result: str) -> None:
    """Slang, meter words and plain praise lead to a result."""
    assert answer(index, "dryer", check, text).result == result


@pytest.mark.parametrize("text", ["pump doesnt make any sound", "its not making noise", "no noise at all",
                                  "cant hear anything", "not a single peep"])
def test_silence_is_heard_however_it_is_said(index: Index, text: str) -> None:
    """There are more ways to say that a pump is silent than a pack can list."""
    assert answer(index, "front_load_washer", "pump_sound", text).result == "silent"


def test_no_odd_sound_is_not_silence(index: Index) -> None:
    """'Not making any odd noise' is what a sound machine does."""
    assert answer(index, "top_load_washer", "noise_when", "not making any odd noise").result == "none"


def test_a_reading_is_heard_and_left_to_diagnosis(index: Index) -> None:
    """The number comes back in SI; which band it falls into depends on the plate."""
    heard = answer(index, "dryer", "element_ohms", "10.9 ohms")
    assert heard.result is None and heard.heard is not None and heard.heard.value == pytest.approx(10.9)


def test_an_answer_that_fits_nothing_is_not_guessed(index: Index) -> None:
    """The bot asks again instead."""
    assert answer(index, "dryer", "belt_look", "the customer has a nice dog").result is None


@pytest.mark.parametrize(("family", "check", "text", "result"), [
    ("dryer", "drum_by_hand", "wont budge either way", "stuck"),
    ("dryer", "belt_look", "in two pieces under the drum", "broken"),
    ("refrigerator", "fan_listen", "not a sound from back there", "silent"),
])
def test_answers_in_words_that_the_pack_does_not_have(index: Index, family: str, check: str, text: str, result: str,
                                                      ) -> None:
    """What others have typed for the same result is enough to go by."""
    if check not in index.knowledge.packs[family].checks:
        pytest.fail(f"{family} has no {check}")
    assert answer(index, family, check, text).result == result


@pytest.mark.parametrize("text", ["which screw you want me on", "whats that look like", "should it be plugged in?"])
def test_a_question_back_is_no_answer(index: Index, text: str) -> None:
    """However many words of a result it has."""
    assert answer(index, "dryer", "belt_look", text).result is None


def test_words_under_a_photo_are_an_answer_only_when_they_are_the_packs_own(index: Index) -> None:
    """'The belt' names what is on the picture."""
    assert answer(index, "dryer", "belt_look", "snapped", aside=True).result == "broken"
    assert answer(index, "dryer", "belt_look", "the belt under the drum", aside=True).result is None


def test_a_check_of_the_firms_own_is_answered_by_its_phrases(index: Index) -> None:
    """Nobody has typed anything for it yet; the same weights compare with what the author wrote."""
    pack = index.knowledge.packs["dryer"]
    entry = pack.checks["belt_look"].model_copy(update={"name": "our belt look"})
    packs = {**index.knowledge.packs, "dryer": pack.model_copy(update={"checks": {**pack.checks, "our_look": entry}})}
    firm = replace(index, knowledge=index.knowledge.model_copy(update={"packs": packs}), said={}, answers={})
    assert answer(firm, "dryer", "our_look", "it snapped clean off").result == "broken"
    assert answer(firm, "dryer", "our_look", "the customer has a nice dog").result is None


@given(st.text(max_size=60), st.sampled_from(("belt_look", "drum_by_hand", "element_ohms")))
def test_the_chances_of_all_that_an_answer_can_mean_sum_to_one(index: Index, text: str, check: str) -> None:
    """Whatever is typed; and the same text always means the same."""
    found = likeness(index, "dryer", check, text, {})
    assert sum(p for _, p in found.results) + sum(found.none.values()) == pytest.approx(1.0)
    assert found == likeness(index, "dryer", check, text, {})


def test_what_was_typed_belongs_to_results_that_exist(index: Index) -> None:
    """A check that is renamed takes its answers along, or they help nobody."""
    spots = list(answered_checks())
    assert len(spots) > 400
    for family, check in spots:
        entry = index.knowledge.packs[family].checks.get(check)
        assert entry is not None, (family, check)
        assert set(typed_for(family, check)) <= set(entry.results), (family, check)


@pytest.mark.parametrize(("check", "text"), [
    ("outlet_tester", "no outlet, its hard wired"), ("outlet_look", "hardwired")])
def test_where_there_is_no_outlet_none_was_looked_at(index: Index, check: str, text: str) -> None:
    """'Hard wired' is no outlet that is wired right."""
    heard = answer(index, "dishwasher", check, text, None)
    assert (heard.result, heard.none) == (None, "cannot")


@pytest.mark.parametrize(("text", "result"), [
    ("left corner", None), ("first drop is at the lower left corner of the door", None),
    ("torn at the left corner", "bad")])
def test_a_place_is_no_state(index: Index, text: str, result: str | None) -> None:
    """Where the first drop shows says nothing of the gasket there; asked where, it is the answer."""
    assert answer(index, "dishwasher", "gasket_look", text).result == result
    assert answer(index, "front_load_washer", "leak_place", "at the front, bottom of the door").result == "door"


@pytest.mark.parametrize("text", ["click and retry", "click and retry, click click click. lid stays loose"])
def test_a_lock_that_clicks_and_retries_does_not_lock(index: Index, text: str) -> None:
    """Its own button's words, said shorter."""
    assert answer(index, "top_load_washer", "lock_listen", text).result == "retries"


@pytest.mark.parametrize(("check", "text", "result"), [
    ("fuel_look", "dryer", None), ("fuel_look", "its a dryer", None), ("fuel_look", "gas dryer", "gas")])
def test_the_name_of_the_machine_tells_nothing_of_it(index: Index, check: str, text: str, result: str | None) -> None:
    """By its letters it was nearer to a gas dryer."""
    heard = answer(index, "dryer", check, text)
    assert (heard.result, heard.near) == (result, ())


@pytest.mark.parametrize(("text", "result"), [
    ("limit closed, other one ol", "open"), ("1st beeps 2nd dont", "open"), ("limits good cutoff no good", "open"),
    ("limit 0, cutoff ol", "open"), ("neither one reads ol", "closed"), ("both good", "closed")])
def test_of_several_parts_the_highest_reading_is_the_answer(index: Index, text: str, result: str) -> None:
    """A check that asks for the higher reading of two is answered by the worse of them."""
    assert answer(index, "dryer", "high_limit_ohms", text).result == result


@pytest.mark.parametrize(("family", "check", "text", "result"), [
    ("dryer", "panel_look", "both on, level, not hot", "set"),
    ("dryer", "panel_look", "not tripped but its hot", "hot"),
    ("dryer", "panel_look", "on, cool, not slack", "set"), ("dryer", "panel_look", "nothing hot", None),
    ("dryer", "blower_look", "not packed", None), ("dryer", "blower_look", "not packed just loose", "loose"),
    ("dryer", "outlet_look", "not burnt", None), ("dryer", "belt_look", "belt isnt broke or off", "good"),
    ("dryer", "terminal_block_look", "not burnt or loose", "sound"),
    ("dishwasher", "filter_look", "isnt slimy", None), ("dishwasher", "filter_look", "not packed, not torn", "clean")])
def test_what_an_answer_denies_is_not_taken_for_it(index: Index, family: str, check: str, text: str,
                                                   result: str | None) -> None:
    """'Not hot' is never 'hot or slack'; where more than one thing is left it is asked."""
    assert answer(index, family, check, text).result == result


@pytest.mark.parametrize(("text", "result"), [
    ("rollers, idler spin fine", "sound"), ("no the rollers are fine", "sound"),
    ("rollers spin good n quiet", "sound"), ("rollers good, idler wobbles", "idler"),
    ("rollers dont spin good", "rollers"), ("rollers", "rollers")])
def test_a_list_of_parts_called_fine_is_fine(index: Index, text: str, result: str) -> None:
    """The part that an ill one is called after may be called good."""
    assert answer(index, "dryer", "drum_support", text).result == result


@pytest.mark.parametrize(("family", "check", "text", "result"), [
    ("dishwasher", "upper_feed_look", "rack level but the tube at the back is cracked", "off"),
    ("dryer", "blower_look", "wheel tight but full of lint", "lint"),
    ("dishwasher", "door_fit", "gaps even but it drops", "drops")])
def test_of_a_look_at_several_things_the_bad_one_counts(index: Index, family: str, check: str, text: str,
                                                        result: str) -> None:
    """What stands after the 'but'."""
    assert answer(index, family, check, text).result == result


@pytest.mark.parametrize(("text", "does"), [
    ("0 shut OL open", "changes"), ("pressed 0 released OL", "changes"), ("OL up, 0 down", "changes"),
    ("closed pressed, open released", "changes"), ("0.1 when latched, open when i let go", "changes"),
    ("OL pressed, OL released", "open"), ("OL both ways", "open"), ("never beeps pushed or not", "open"),
    ("0 pressed 0 released", "closed"), ("beeps either way", "closed"), ("OL pressed 0 released", "reversed"),
    ("OL shut", None), ("0 on the limit", None), ("12 shut OL open", None)])
def test_a_switch_read_in_both_positions_does_what_it_does(text: str, does: str | None) -> None:
    """Two readings, two positions, in any order of words."""
    assert both_ways(text) == does


@pytest.mark.parametrize(("family", "check", "text", "result"), [
    ("dishwasher", "latch_ohms", "latch switch 0 ohm shut OL open, good", "closes"),
    ("dishwasher", "latch_ohms", "OL both ways", "misses"),
    ("dryer", "door_switch_ohms", "0 pressed OL let go", "good"),
    ("dryer", "door_switch_ohms", "beeps either way", "closed"),
    ("refrigerator", "door_switch_ohms", "0 pressed OL out", "changes"),
    ("dishwasher", "float_switch_ohms", "OL up, 0 down", "switches")])
def test_both_readings_of_a_switch_are_one_answer(index: Index, family: str, check: str, text: str,
                                                  result: str) -> None:
    """By each check's own results."""
    assert answer(index, family, check, text).result == result


@pytest.mark.parametrize(("text", "result"), [
    ("nothing", None), ("reads nothing", None), ("nothing in the way", None), ("next to nothing", "closed"),
    ("zero", "closed"), ("OL", "open")])
def test_nothing_on_an_ohmmeter_is_asked(index: Index, text: str, result: str | None) -> None:
    """No ohms and no circuit are both 'nothing', and the opposite of each other."""
    assert answer(index, "dryer", "thermal_fuse_ohms", text).result == result


@pytest.mark.parametrize(("text", "result"), [
    ("10 uf stamped 45", "weak"), ("reads 10, can says 45", "weak"), ("43 of 45", "good"), ("38 of 45", "weak"),
    ("stamped 45 reads 44.2", "good"), ("its 45 on the can and reads 12", "weak"), ("45 uf", None), ("reads 10", None),
    ("39 of 45", None)])
def test_a_capacity_is_judged_by_its_stamp(index: Index, text: str, result: str | None) -> None:
    """Two figures make the answer; one alone, or what lies between, is asked about."""
    assert answer(index, "top_load_washer", "capacitor_uf", text).result == result
