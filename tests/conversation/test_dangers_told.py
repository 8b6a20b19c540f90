"""Dangers told in passing, of the machine at hand: what stops everything, what stays dead, and what is neither."""

import pytest

from bot.conversation.job import Phase
from bot.language.dangers.wet_mains import water_is_danger
from bot.simulation.chat import Chat
from tests.conversation.test_repairs_told import after

GAS_RANGE = "gas range, one burner wont light"
DRYER = "electric dryer wont start"


def results(chat: Chat) -> dict[str, str]:
    """Check -> result that stands."""
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


@pytest.mark.parametrize(("opening", "text", "hazard"), [
    (GAS_RANGE, "i hear it hissing at the shutoff", "gas"),
    (GAS_RANGE, "soapy water bubbles up at the flex", "gas"),
    ("gas dryer no heat", "the connector behind it leaks", "gas"),
    ("gas dryer takes forever to dry", "exhaust blows in the room and my helper has a headache", "co"),
    ("fridge not cooling", "think i nicked the evaporator", "refrigerant"),
    (DRYER, "water is dripping onto the plug", "flood"),
    (DRYER, "im standing in a puddle here and its still plugged in", "flood"),
    (DRYER, "water all over the floor and its at the outlet", "flood"),
    (DRYER, "the puddle is almost up to the power strip", "flood"),
    (DRYER, "plug got hot i cant hold it", "fire"),
    (DRYER, "something crackling in the outlet", "fire"),
    ("dishwasher wont drain", "my thumb is cut", "injury"),
    ("front loader leaks", "dropped it on my foot", "injury"),
    (DRYER, "there is a kid in the drum", "injury"),
    (GAS_RANGE, "the flare nut is leaking", "gas"), (GAS_RANGE, "flex line came off the wall", "gas"),
    (GAS_RANGE, "valve wont close gas keeps coming", "gas"), ("gas dryer no heat", "theres a mercaptan whiff", "gas"),
    (DRYER, "omg its on fore", "fire"),
    (DRYER, "wire started melting", "fire"), (DRYER, "hear crackling in the wall", "fire"),
    ("front loader wont drain", "meter shows 117 v from cabinet to the tap", "shock"),
    ("front loader wont drain", "washer is hot to ground", "shock"), (DRYER, "240 went through my hand", "shock"),
    ("dishwasher wont drain", "kitchen floor is under water", "flood"),
    ("dishwasher wont drain", "cabinet is full of water and the outlet is in there", "flood"),
    ("fridge not cooling", "ice maker line burst", "flood"),
    ("top loader wont spin", "its pouring and wont stop", "flood"),
    ("fridge not cooling", "psst and an oily mist", "refrigerant"),
    ("fridge not cooling", "theres oil all over the pins and i can hear hissing", "refrigerant"),
    ("fridge not cooling", "oil round the compressor pins and a faint hiss", "refrigerant"),
    ("fridge not cooling", "hissing at the compressor terminal", "refrigerant"),
    ("fridge not cooling", "can hear it hiss. oil on the floor too", "refrigerant"),
    (DRYER, "hes not breathing", "injury"),
    (DRYER, "i cut myself bad", "injury"), ("fridge not cooling", "it tipped over on me", "injury"),
    (GAS_RANGE, "tenant smelled gas this morning, i cant smell it", "gas"),
    (GAS_RANGE, "husband says no gas smell, wife says yes", "gas"), (DRYER, "says it never sparked. just did", "fire"),
    ("fridge not cooling", "no hiss before, now its hissing at the coil", "refrigerant"),
    ("dishwasher wont drain", "water still running across the floor wont quit", "flood")])
def test_what_is_dangerous_on_this_machine_comes_first(chat_of, opening, text, hazard):
    """The word alone may be harmless: a hiss is one thing at a gas fitting and another at a fill valve."""
    chat = after(chat_of, opening, text)
    assert chat.job.phase is Phase.HAZARD
    assert chat.job.question.data["hazard"] == hazard


@pytest.mark.parametrize(("opening", "text"), [
    (GAS_RANGE, "no bubbles and no hiss at the flex"),
    ("fridge not cooling", "oil on the pins but no hiss"),
    ("fridge not cooling", "hisses by the compressor when it shuts off"), ("fridge not cooling", "no oil and no hiss"),
    ("top loader wont fill", "valve hisses a bit"),
    ("electric dryer no heat", "hear it hiss at the fitting"), (DRYER, "floor is dry, no water near the plug"),
    ("dryer no heat", "customer says it smoked last year"), ("front loader shakes", "one shock is worn out"),
    ("front loader bangs in spin", "it got worse bit by bit she says"),
    ("fridge not cooling", "sticker says flammable gas"), ("top loader dead", "outlet meters 85 volts"),
    ("electric dryer no heat", "electric shock no never"), ("electric oven too hot", "it burned my cookies"),
    (DRYER, "customer says it burned her clothes"), (DRYER, "coil touches metal at the bottom"),
    ("dishwasher wont fill", "water line runs right by the outlet"),
    ("front loader wont drain", "hose is full of water"),
    (GAS_RANGE, "she smells no gas and neither do i"), ("dishwasher wont drain", "two inches of water left in the tub"),
    ("fridge not cooling", "dispenser pours cubes all over"), (DRYER, "nearly had a heart attack at the price")])
def test_what_only_sounds_like_it_stops_nothing(chat_of, opening, text):
    """False alarms teach people to ignore the true one."""
    assert after(chat_of, opening, text).job.phase is not Phase.HAZARD


def test_volts_on_the_cabinet_are_a_shock(chat_of):
    """Nobody has felt it yet, and nobody shall."""
    assert after(chat_of, "electric dryer no heat", "cabinet reads 90 volts to ground").job.phase is Phase.HAZARD


@pytest.mark.parametrize(("opening", "text", "found"), [
    (DRYER, "the plug is half melted", {"outlet_look": "burnt"}),
    ("fridge dead", "receptacle looks scorched", {"outlet_look": "burnt"}),
    ("top loader wont spin", "cord is chewed thru", {"cord_look": "damaged"}),
    ("electric range, coils, no oven", "terminal strip is charred", {"terminal_block_look": "burnt"})])
def test_what_must_not_get_power_again_is_filed_whatever_is_asked(chat_of, opening, text, found):
    """The instruction comes at once, and nothing that follows runs the machine or goes into its outlet."""
    chat = after(chat_of, opening, text)
    assert found.items() <= results(chat).items()
    assert any(said.text.startswith(("Noted", "Stop")) or "Stop here." in said.text for said in chat.heard["rui"])
    checks = chat.release.knowledge.packs[chat.job.family].checks
    for _ in range(5):
        question = chat.job.question
        if question is None or question.kind not in {"check", "variant"}:
            break
        assert all(checks[key].power not in {"run", "live"} and not checks[key].at_outlet and not checks[key].resets
                   for key in question.checks)
        chat.press(1)


@pytest.mark.parametrize("text", [
    "new cord was put on last year", "plug is fine, not burnt", "is the outlet burnt?", "lock plug looks burnt"])
def test_what_is_whole_or_long_mended_is_not_filed(chat_of, text):
    """Nor what another plug than the machine's own looks like."""
    found = results(after(chat_of, "front loader wont start", text))
    assert not {"burnt", "damaged"} & set(found.values())


def test_a_unit_that_stays_on_with_its_knob_off_is_stopped_first(chat_of):
    """The complaint may come while another is looked into; no run follows."""
    chat = after(chat_of, "electric range, coils, oven wont heat", "front burner stays red with the knob off")
    assert "wont_turn_off" in {fact.subject for fact in chat.job.standing("complaint")}
    assert any("Breaker off now" in said.text for said in chat.heard["rui"])
    assert not any("Gas flame" in said.text for said in chat.heard["rui"])


def test_a_burnt_wire_found_in_a_dead_machine_is_no_second_emergency(chat_of):
    """It was made safe once; told again, it is noted, and nothing runs."""
    chat = after(chat_of, "dishwasher wont start", "found a burnt wire at the door latch", "dead and safe")
    assert chat.job.phase is not Phase.HAZARD
    chat.send("that wire at the latch is burnt black")
    assert chat.job.phase is not Phase.HAZARD
    assert any("Burnt there, noted." in said.text for said in chat.heard["rui"])
    chat.send("now it is smoking at that wire")
    assert chat.job.phase is Phase.HAZARD


def test_a_burnt_outlet_told_as_fire_is_known_afterwards(chat_of):
    """Made safe, the visit goes on with what was seen, and no tester goes into that outlet."""
    chat = after(chat_of, "front loader wont start", "outlet is burnt black behind it", "dead and safe")
    assert results(chat)["outlet_look"] == "burnt"
    assert "outlet_tester" not in chat.job.question.checks


def test_a_fridge_that_must_stay_dead_is_not_left_running(chat_of):
    """What to do with it until then says nothing against what was just said."""
    chat = after(chat_of, "fridge not cooling", "outlet has no ground", "stop", "not fixed")
    last = chat.heard["rui"][-1].text
    assert "stays unplugged" in last
    assert "leave it running" not in last


def test_gas_that_lights_with_a_bang_is_left_to_the_licensed(chat_of):
    """Whatever the dryer was called for."""
    chat = after(chat_of, "gas dryer bangs when it lights")
    assert results(chat)["burner_watch"] == "late"
    assert any("Off now and left off" in said.text for said in chat.heard["rui"])


def test_a_nod_answers_no_check(chat_of):
    """'Ok' says that the question was read."""
    chat = after(chat_of, "gas dryer no heat", "ok")
    assert not results(chat)
    assert chat.job.question.kind == "check"


@pytest.mark.parametrize(("text", "result"), [
    ("lid switch 1 ohm with the lid down", {"lid_switch_ohms": "closed"}),
    ("lid switch 1 ohm lid is up", {"lid_switch_up": "closed"})])
def test_the_lid_says_which_reading_of_its_switch_it_is(chat_of, text, result):
    """Closed is right with the lid shut and dangerous with it up."""
    assert results(after(chat_of, "top loader wont spin", text)) == result


def test_where_the_lid_is_not_told_it_is_asked(chat_of):
    """The same number means the opposite."""
    chat = after(chat_of, "top loader wont spin", "lid switch 1 ohm")
    assert not results(chat)
    assert chat.job.question.kind == "which_check"


def test_who_reads_a_part_inside_has_the_machine_open(chat_of):
    """Told unasked, it is put together before it runs, and no open machine is run to look for a cause."""
    chat = after(chat_of, "electric dryer no heat", "element reads open")
    assert chat.job.position.machine.covers
    checks = chat.release.knowledge.packs["dryer"].checks
    assert all(checks[key].power != "run" for key in chat.job.question.checks)


def test_one_leg_and_nothing_on_the_other_is_one_reading(chat_of):
    """Not both legs live, whatever joins the two halves."""
    assert results(after(chat_of, DRYER, "120 on one leg and 0 on the other")) == {"leg_volts": "one"}


@pytest.mark.parametrize("text", ["theres a gas dryer next to it", "gas range right beside it"])
def test_the_machine_next_to_it_is_not_this_one(chat_of, text):
    """Its build says nothing of the washer's."""
    chat = after(chat_of, "front loader wont spin", text)
    assert not chat.job.standing("variant")


def test_gas_alone_is_how_it_heats(chat_of):
    """The word answers what was asked a moment ago and is no smell."""
    chat = after(chat_of, "dryer no heat", "gas")
    assert {(fact.subject, fact.value) for fact in chat.job.standing("variant")} == {("fuel", "gas")}
    assert "gas_smell" not in {fact.subject for fact in chat.job.standing("complaint")}


def test_an_oven_that_heats_is_not_one_that_stays_on(chat_of):
    """An unsafe result is filed unasked only where it was said, and not where half of it was."""
    chat = after(chat_of, "electric range, keypad, oven temp way off", "both the top and the oven heat up")
    assert "off_check" not in results(chat)
    assert "wont_turn_off" not in {fact.subject for fact in chat.job.standing("complaint")}


def test_what_is_not_doing_it_today_goes_by_what_the_customer_saw(chat_of):
    """It is no skip, and no machine without a fault."""
    chat = after(chat_of, "top loader shakes", "its doing fine now wont do it for me")
    assert "Go by what the customer saw" in chat.heard["rui"][-1].text
    assert chat.job.question.kind == "check"
    assert not chat.job.standing("declined")


@pytest.mark.parametrize(("opening", "text", "check"), [
    ("fridge warm, freezer ok", "fan motor open", "fan_volts"),
    ("electric range, coils, oven wont heat", "bake element open", "element_to_case")])
def test_what_was_not_metered_is_no_reading(chat_of, opening, text, check):
    """Nobody who says that a part is bad has measured volts at it, or ohms to the case."""
    assert check not in results(after(chat_of, opening, text))


@pytest.mark.parametrize("first", [
    "gas range yellow flames and soot on pots, customer has a headache", "gas oven, the wife has a bad headache",
    "gas oven, she has a real headache today", "gas range, yellow flames, my head hurts",
    "stove burns yellow, wife got a headache from it",
    "gas dryer no heat, both of us feel sick since it ran", "whole family been woozy, gas dryer runs in the closet"])
def test_who_is_ill_at_a_flame_clears_the_house_with_the_first_message(chat_of, first):
    """The message that names the machine is the one that tells of the headache."""
    chat = after(chat_of, first)
    assert chat.job.phase is Phase.HAZARD
    assert chat.job.question.data["hazard"] == "co"


@pytest.mark.parametrize("first", [
    "gas range, this customer is a real headache", "electric dryer wont heat, customer has a headache from the noise",
    "gas range, nobody has a headache"])
def test_a_headache_that_no_flame_makes_clears_no_house(chat_of, first):
    """What is a figure of speech, denied, or beside a machine without a flame."""
    assert after(chat_of, first).job.phase is not Phase.HAZARD


@pytest.mark.parametrize("lines", [
    ("dryer stops", "door or a jolt"), ("dryer stops when it gets a jolt",),
    ("dryer quits when a heavy load jolts the door",), ("dishwasher quits with a jolt to the door",),
    ("dryer slow", "metal duct 35 foot with elbows"), ("dryer slow", "metal but 35 foot with 5 elbows"),
    ("front loader bangs in spin", "shocks done in march"), ("front loader shocks done in march still bangs",)])
def test_a_knock_a_duct_and_a_damper_shock_nobody(chat_of, lines):
    """A jolt that stops a machine, a foot of duct and its elbows, shocks that were put in."""
    assert after(chat_of, *lines).job.phase is not Phase.HAZARD


@pytest.mark.parametrize("text", [
    "i got a jolt off the door", "it gives you a jolt", "her son got a jolt on the rack", "dryer jolted the customer",
    "35 foot duct and my elbow got zapped off it", "customer had shocks from it"])
def test_a_jolt_that_somebody_got_is_a_shock(chat_of, text):
    """Whatever else a jolt may be, somebody who got one comes first."""
    chat = after(chat_of, "dryer stops", text)
    assert chat.job.phase is Phase.HAZARD
    assert chat.job.question.data["hazard"] == "shock"


@pytest.mark.parametrize("text", ["wire started melting", "wires are melting back there", "its glowing at the wire"])
def test_what_melts_now_is_no_answer_to_a_look(chat_of, text):
    """Asked how the element looks, with a burnt wire among the answers: what melts or glows now is a fire."""
    chat = after(chat_of, "electric oven wont heat")
    assert "element" in chat.heard["rui"][-1].text
    chat.send(text)
    assert chat.job.phase is Phase.HAZARD
    assert chat.job.question.data["hazard"] == "fire"


@pytest.mark.parametrize("first", [
    "oven bake element wire burned off at the back",
    "two right burners dead on electric range, feed wire burnt off at the switch"])
def test_a_wire_found_burnt_off_is_no_fire_and_stays_dead(chat_of, first):
    """No fire brigade for a cold wire; no power either until it is made new."""
    chat = after(chat_of, first)
    assert chat.job.phase is not Phase.HAZARD
    assert chat.job.position.machine.stays_dead


@pytest.mark.parametrize("first", [
    "oven bake element wire burned off at the back and it smells", "electric oven, the wire just burned off in there",
    "range coil socket wire is charred and it spits when i twist the element"])
def test_a_burnt_wire_with_a_smell_or_a_spit_is_still_a_fire(chat_of, first):
    """Anything that one smells, hears or sees now."""
    chat = after(chat_of, first)
    assert chat.job.phase is Phase.HAZARD
    assert chat.job.question.data["hazard"] == "fire"


def test_water_that_runs_to_its_pan_again_is_no_flood(chat_of):
    """The drain was cleared and tried with a pint: that is how it should be."""
    chat = after(chat_of, "theres water all over the kitchen floor coming from the bottom drawer and a sheet of ice "
                          "under the basket", "paper grips all round", "cleaning will do",
                 "done, poured a pint down n it runs to the pan now")
    assert chat.job.phase is not Phase.HAZARD
    assert chat.job.question.kind == "proof"


def test_bare_copper_that_nobody_felt_is_no_shock_from_the_cabinet(chat_of):
    """Chewed wires with the plug in: no power first, and no complaint that nobody made."""
    chat = after(chat_of, "mice chewed the wires behind the fridge, bare copper, plugged in")
    assert chat.job.position.machine.stays_dead
    assert not any(fact.subject == "electric_shock" for fact in chat.job.standing("complaint"))


@pytest.mark.parametrize("lines", [
    ("front load washer shakes a lot", "shocks feel soft"),
    ("front load washer shakes in spin", "firm", "shocks feel weak"),
    ("front load washer shakes", "i got both shocks off, they feel dead"),
    ("top load washer wont spin", "the basket is still joined to the shaft"), ("top load washer leaks", "brown fluid"),
    ("oven is slow", "gas on all of it"), ("oven is slow", "gas all over"),
    ("dishwasher wont drain", "where is the shutoff valve")])
def test_parts_fluids_and_fuels_are_no_emergency(chat_of, lines):
    """Dampers that are soft, a basket that holds, oil that drips, gas as what heats, a valve only asked for."""
    chat = after(chat_of, *lines)
    assert chat.job.phase is not Phase.HAZARD
    assert not {"electric_shock", "gas_smell"} & {fact.subject for fact in chat.job.standing("complaint")}


@pytest.mark.parametrize("said", ["all gas", "gas on all of it", "gas all over", "both are gas"])
def test_gas_all_over_is_an_answer_to_what_heats_it(chat_of, said):
    """It is gas, top and oven, and nobody has to leave."""
    chat = after(chat_of, "oven is slow", said)
    assert ("fuel", "gas") in {(fact.subject, fact.value) for fact in chat.job.standing("variant")}


@pytest.mark.parametrize("lines", [("oven is slow", "gas all over!!"), ("oven is slow", "gas, i smell it all over"),
                                   ("oven is slow", "gas", "gas all over"),
                                   ("range wont light", "gas all over the place")])
def test_gas_that_may_be_smelt_is_an_emergency_whatever_is_asked(chat_of, lines):
    """Shouted, smelt, or said when nobody asked what heats it."""
    chat = after(chat_of, *lines)
    assert chat.job.phase is Phase.HAZARD
    assert chat.job.question.data["hazard"] == "gas"


@pytest.mark.parametrize("asked", [
    "where do i find the shutoff", "where is the shut off valve", "should i shut it at the meter",
    "cant find the shutoff", "i need to go turn the breaker off"])
def test_nobody_goes_back_in_for_a_valve(chat_of, asked):
    """Gas was named: a question for the valve brings no water instruction and sends nobody to a breaker."""
    chat = after(chat_of, "gas smell behind the stove", asked)
    assert "Nobody goes back in" in chat.heard["rui"][-1].text
    assert "flood" not in {fact.subject for fact in chat.job.standing("danger")}
    assert chat.job.question.data["hazard"] == "gas"
    chat.send(f"ok we are out, {asked}")
    assert "Nobody goes back in" in chat.heard["rui"][-1].text
    assert chat.job.question.kind == "outside"
    assert "out" in {fact.value for fact in chat.job.standing("danger")}


def test_gas_outranks_what_comes_after_it(chat_of):
    """Out for gas, a burst hose is nobody's to shut; flames are told on at once."""
    chat = after(chat_of, "gas smell behind the stove", "we are out. water is flooding the kitchen though, hose burst")
    assert not any("Breaker off from a dry spot" in said.text for said in chat.heard["rui"])
    assert chat.job.question.kind == "outside"
    chat.send("i see flames inside now")
    assert "fire_out" in {fact.subject for fact in chat.job.standing("danger")}
    assert not any("pull the plug" in said.text for said in chat.heard["rui"])


@pytest.mark.parametrize(("told", "denied"), [
    ("it shocked me", "no nobody got a shock"), ("kitchen is flooded", "no just a drip of oil"),
    ("i smell gas", "no gas smell, i said gas stove")])
def test_a_danger_that_is_denied_is_asked_back(chat_of, told, denied):
    """A misheard line does not lock the visit; one tap more takes it back, and never a word alone."""
    chat = after(chat_of, "gas dryer no heat", told, denied)
    assert chat.job.question.kind == "slip"
    chat.press(1)
    assert chat.job.phase is not Phase.HAZARD
    assert not chat.job.standing("danger")


def test_what_is_over_is_not_what_never_was(chat_of):
    """No smell any more is no reason to take gas off the case."""
    chat = after(chat_of, "gas dryer no heat", "i smell gas", "no gas smell any more now")
    assert chat.job.question.kind == "hazard"


@pytest.mark.parametrize(("opening", "text"), [
    ("electric range oven slow to heat", "1090. what about the burnt cord, i see brown at the plug"),
    ("electric range oven slow to heat", "looks whole. plug has brown marks on it"),
    ("electric dryer no heat", "the plug is black on one side can i still use it?"),
    ("electric dryer no heat", "skip, the plug is burnt brown"),
    ("electric dryer no heat", "its unplugged, the outlet is scorched")])
def test_a_burnt_plug_is_what_is_looked_at_next(chat_of, opening, text):
    """Told with other things, with a question, or in place of an answer: stop, and on along that cord, dead."""
    chat = after(chat_of, opening, text)
    assert results(chat)["outlet_look"] == "burnt"
    assert any("Stop here." in said.text for said in chat.heard["rui"])
    assert chat.job.question.checks == ("terminal_block_look",)


@pytest.mark.parametrize(("opening", "text"), [
    ("electric dryer no heat", "black plug"), ("electric dryer no heat", "no brown marks on the plug"),
    ("electric range oven slow to heat", "is the plug brown?"), ("electric dryer no heat", "plug is fine, brown cord")])
def test_the_colour_of_a_plug_is_no_burn(chat_of, opening, text):
    """Many are black or brown; and what is asked was not seen."""
    assert results(after(chat_of, opening, text)).get("outlet_look") != "burnt"


@pytest.mark.parametrize(("opening", "text", "check"), [
    ("top load washer shakes", "the inner tub is split at the rim", "basket_look"),
    ("top load washer banging", "theres a big split in the basket wall", "basket_look"),
    ("top load washer shakes", "basket is cracked, can i run it empty once?", "basket_look"),
    ("front load washer bangs", "the spider is broke, one arm", "drum_look"),
    ("front load washer rips clothes, the drum seam has come apart can i still run it?", "", "drum_look")])
def test_a_cracked_basket_is_never_run_again(chat_of, opening, text, check):
    """At speed it bursts: stop, hands off, and a senior, at whatever question it comes out."""
    chat = after(chat_of, *(line for line in (opening, text) if line))
    assert results(chat)[check] == "cracked"
    assert any("does not spin again" in said.text for said in chat.heard["rui"])
    assert chat.job.phase is Phase.HANDED_OFF


@pytest.mark.parametrize(("opening", "text"), [
    ("front loader leaks", "the boot is torn at the drum"), ("top loader wont spin", "drum belt cracked"),
    ("top loader banging", "no cracks in the basket"), ("front loader shakes", "can the drum be cracked?"),
    ("front loader noisy", "drum bearing seal is split"),
    ("top loader leaks", "the plastic ring round the top of the drum has split"),
    ("front loader tears clothes", "the drum ripped her shirt")])
def test_what_is_torn_beside_a_drum_is_not_the_drum(chat_of, opening, text):
    """A boot, a belt, a seal, the tub around it; what is denied or only asked."""
    found = results(after(chat_of, opening, text))
    assert "cracked" not in {found.get("basket_look"), found.get("drum_look")}


@pytest.mark.parametrize("said", ["not opening that", "im not opening that", "no im not taking that apart",
                                  "i wont touch that"])
def test_who_will_not_open_it_has_found_nothing(chat_of, said):
    """A refusal skips what was asked and files no result, dangerous or not."""
    chat = after(chat_of, "electric range, radiant glass top, oven wont heat")
    asked, before = chat.job.question, results(chat)
    assert asked.kind == "check"
    chat.send(said)
    assert results(chat) == before
    assert chat.job.question.checks != asked.checks


@pytest.mark.parametrize(("words", "answers"), [
    ("steady tingle", True), ("steady, when she touched dryer and washer", True), ("i just got a tingle", False)])
def test_how_a_shock_was_is_an_answer_and_a_new_one_is_not(chat_of, words, answers):
    """Asked how long it lasted, with the machine dead; who is hit now hears the instruction again."""
    chat = chat_of()
    chat.send("nephew put a new cord on the electric dryer, cust got a tingle off the cabinet")
    chat.press(1)
    chat.send("new cord 3 prong to 4")
    chat.send(words)
    told = {f.subject: f.value for f in chat.job.standing("result")}
    assert (told.get("shock_kind") == "tingle") is answers
    assert (chat.job.question.kind == "hazard") is not answers


@pytest.mark.parametrize(("words", "stops"), [
    ("water on the floor at the cord", True), ("floor is wet by the outlet", True), ("puddle under the plug", True),
    ("water on the floor, cord is dry", False), ("floor is not wet at the outlet", False)])
def test_water_at_the_cord_stops_the_visit(chat_of, words, stops):
    """Whatever is asked: nobody runs a drain beside it."""
    chat = chat_of()
    chat.send("front loader wont drain")
    chat.send("silent")
    chat.send(words)
    assert (chat.job.question.kind == "hazard") is stops


@pytest.mark.parametrize(("words", "fuel"), [
    ("oops i meant its gas", "gas"), ("wait gas", None), ("i mean i smell gas", None)])
def test_a_fuel_that_is_put_right_is_no_smell(chat_of, words, fuel):
    """Said to be meant, and nothing else; 'wait, gas' may be a shout."""
    chat = chat_of()
    chat.send("dryer no heat")
    chat.send("electric")
    chat.send(words)
    if fuel is None:
        assert chat.job.question.kind == "hazard"
    else:
        assert {f.subject: f.value for f in chat.job.standing("variant")}["fuel"] == fuel


@pytest.mark.parametrize("words", [
    "water at the cord", "theres water at the outlet", "outlet got wet", "water in the junction box"])
def test_water_where_the_mains_come_in_is_a_danger(chat_of, words):
    """As our own cautions call it; an outlet hose is none."""
    chat = chat_of()
    chat.send("top load washer wont drain")
    chat.send(words)
    assert chat.job.question.kind == "hazard"
    assert not water_is_danger("water at the outlet hose") and not water_is_danger("no water near the outlet")


def test_after_a_shock_ground_is_proved_before_power(chat_of):
    """What nobody may touch with power on gets it last."""
    chat = chat_of()
    for line in ("electric oven no bake", "got a shock off the door", "dead", "broken", "got one", "yes"):
        chat.send(line)
    said = "\n".join(one.text for one in chat.send("done"))
    assert said.index("ground to bare cabinet") < said.index("then power") < said.index("Bake at")


@pytest.mark.parametrize("words", ["glass is cracked", "the glass top is shattered"])
def test_a_cracked_glass_top_is_neither_run_nor_lifted(chat_of, words):
    """Nor is its breaker put off and on for a look."""
    chat = chat_of()
    for line in ("electric stove burner dead", "radiant glass", words):
        said = "\n".join(one.text for one in chat.send(line))
    assert "breaker off, and it stays off" in said and "cooktop lifted" not in said
    assert "panel_look" not in chat.job.question.checks


@pytest.mark.parametrize(("words", "told"), [
    ("lid switch bypassed by customer", True), ("somebody jumpered the lid switch", True),
    ("lid switch is not bypassed", False), ("can i bypass the lid switch?", False)])
def test_a_bypass_comes_out_before_anything_runs(chat_of, words, told):
    """Told at whatever question."""
    chat = chat_of()
    chat.send("top load washer wont spin")
    said = "\n".join(one.text for one in chat.send(words))
    assert ("A bypass comes out first" in said) is told


@pytest.mark.parametrize("text", [
    "its gas, small plug and a flex line to it",
    "small plug and theres a flexible gas line going to it so its a gas one"])
def test_gas_that_heats_it_is_no_smell_where_that_is_asked(chat_of, text):
    """The kind of plug is asked, and the gas line goes with it."""
    chat = after(chat_of, "dryer no heat")
    assert chat.job.question.checks == ("fuel_look",)
    chat.send(text)
    assert chat.job.phase is not Phase.HAZARD
    assert results(chat)["fuel_look"] == "gas"


@pytest.mark.parametrize("text", ["gas one, and i smell gas at the flex line", "its gas and the flex line leaks"])
def test_gas_that_gets_out_comes_first_there_too(chat_of, text):
    """With the answer or without."""
    chat = after(chat_of, "dryer no heat", text)
    assert chat.job.phase is Phase.HAZARD or chat.offers()
