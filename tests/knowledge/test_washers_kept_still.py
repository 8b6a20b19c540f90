"""The washer packs: a cracked basket is never spun, power waits for the meter, the free look comes before the part."""

from __future__ import annotations

import pytest

from bot.conversation.release import Release
from bot.diagnosis.advice import advise
from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.evidence import Decision, Evidence, Seen, Situation
from bot.diagnosis.setting import senseless
from bot.simulation.chat import Chat
from knowledge.loader import load
from tests.conversation.test_washers_told import facts, told, visit

PACKS = load().knowledge.packs
FRONT, TOP = PACKS["front_load_washer"], PACKS["top_load_washer"]
MODELS = {family: compile_pack(PACKS[family]) for family in ("front_load_washer", "top_load_washer")}


def seen(family: str, *complaints: str, results: dict[str, str] | None = None, **variant: str) -> Evidence:
    """A machine of which these complaints were told and these results seen."""
    return Evidence(family, variant, complaints, history=tuple(Seen(*each) for each in (results or {}).items()))


def next_step(evidence: Evidence) -> Decision:
    """What somebody does next who has nobody's sign-off."""
    model = MODELS[evidence.family]
    return advise(model, evidence, believe(model, evidence), Situation())


def likeliest(evidence: Evidence) -> tuple[str, float]:
    """The fault that leads, and how far."""
    return believe(MODELS[evidence.family], evidence).faults[0]


def runs(evidence: Evidence) -> set[str]:
    """Checks that run the machine and still make sense."""
    pack = PACKS[evidence.family]
    return {key for key, check in pack.checks.items() if check.power == "run" and not senseless(pack, check, evidence)}


def stands_still(chat: Chat) -> bool:
    """Whether the crack was heard, the stop was said at once, and nothing is asked that runs."""
    assert chat.job is not None and chat.job.family is not None
    results, question = facts(chat, "result"), chat.job.question
    checks = chat.release.knowledge.packs[chat.job.family].checks
    asked = question.checks if question is not None and question.kind == "check" else ()
    return ("cracked" in (results.get("basket_look"), results.get("drum_look"))
            and "Stop here. Plug out now" in told(chat) and all(checks[key].power != "run" for key in asked))


@pytest.mark.parametrize("lines", [
    ("top load washer tears clothes, basket seam is cracked open",),
    ("top load washer", "crack in the basket seam, metal sticking out"),
    ("top load washer bangs in spin", "theres a crack in the basket"),
    ("front load washer bangs", "drum has a crack in the metal"),
    ("front load washer is loud, one of the three arms behind the drum is broken",),
])
def test_a_crack_in_what_spins_ends_every_run_and_brings_a_senior(release: Release, lines: tuple[str, ...]) -> None:
    """However it comes up: plug out, tagged, no shortest cycle to see it again, and it is not a junior's work alone."""
    chat = visit(release, *lines)
    assert stands_still(chat)
    assert "goes to your senior" in told(chat)


def test_a_crack_told_beside_another_trouble_stops_the_machine_too(release: Release) -> None:
    """Whatever keeps it from spinning waits: nothing that runs is asked after it."""
    assert stands_still(visit(release, "toploader wont spin", "motor runs, basket stands", "the basket is cracked"))


@pytest.mark.parametrize(("family", "fault", "look"), [
    ("top_load_washer", "basket.cracked", "basket_look"), ("front_load_washer", "drum_spider.cracked", "drum_look")])
def test_a_cracked_basket_is_left_dead_and_no_junior_mends_it(family: str, fault: str, look: str) -> None:
    """It is tagged and told, its repair takes a sign-off, and the look for it needs no run and is made with a glove."""
    entry, check = PACKS[family].faults[fault], PACKS[family].checks[look]
    assert entry.make_safe and "spin again" in entry.make_safe
    assert "lifting" in PACKS[family].repair_of(fault)[1].signoff
    assert check.power != "run" and "glove" in " ".join(check.cautions) and check.results["cracked"].unsafe


def test_torn_clothes_have_the_basket_looked_over_before_anything_turns() -> None:
    """What tears clothes is sharp: a light around the basket, plug out, comes first."""
    torn = seen("top_load_washer", "poor_wash", results={"poor_how": "torn"})
    assert next_step(torn).best.id == "basket_look"
    assert next_step(seen("top_load_washer", "poor_wash", results={"poor_how": "residue"})).best.id != "basket_look"


def test_a_tripping_front_loader_is_metered_before_its_filter_is_cleaned_and_run() -> None:
    """It may not drain either: a clean filter would be proved by a run, and the heater would get power unread."""
    both = seen("front_load_washer", "trips_breaker", "no_drain")
    assert senseless(FRONT, FRONT.checks["filter_look"], both)
    assert not senseless(FRONT, FRONT.checks["heater_to_ground"], both)
    assert next_step(both).best.id != "drain_filter.clogged"
    assert not senseless(FRONT, FRONT.checks["filter_look"], seen("front_load_washer", "no_drain"))


@pytest.mark.parametrize("family", ["front_load_washer", "top_load_washer"])
def test_the_proof_of_a_trip_begins_with_the_plug_out(family: str) -> None:
    """Whatever was mended: to bare metal first, then the run, and no resetting over and over."""
    proof = PACKS[family].complaints["trips_breaker"].proof
    assert proof.index("bare metal") < proof.index("cycle" if family == "top_load_washer" else "program")
    assert "don't reset it over and over" in proof


def test_a_leak_is_looked_at_before_a_spin() -> None:
    """Water may stand at the cord: a light under it, plug out; what was found dry or oily is free to run again."""
    leaks = seen("top_load_washer", "leaks", "no_agitate")
    assert not {"watch_spin", "watch_wash", "watch_cycle"} & runs(leaks)
    assert next_step(leaks).best.id == "oil_look"
    oily = seen("top_load_washer", "leaks", "no_agitate", results={"oil_look": "oil"})
    assert "watch_spin" in runs(oily)


def test_rubber_crumbs_below_point_at_the_coupling() -> None:
    """With a leak and no wash told beside it, the crumbs still speak for the coupling, and nothing is spun for it."""
    crumbs = seen("top_load_washer", "leaks", "no_agitate", results={"oil_look": "crumbs"}, drive="coupler")
    assert likeliest(crumbs)[0] == "motor_coupling.sheared"
    assert "watch_spin" not in runs(crumbs)


def test_a_door_over_standing_water_is_the_drain_and_not_the_handle(release: Release) -> None:
    """Water is asked for first; with it, neither the lock nor a handle that 'stays shut' is blamed."""
    shut = seen("front_load_washer", "door_wont_open")
    assert next_step(shut).best.id == "glass_look"
    full = seen("front_load_washer", "door_wont_open", results={"glass_look": "water", "manual_release": "full"})
    drain = {"drain_filter.clogged", "drain_pump.blocked", "drain_pump.motor_failed", "sump_hose.blocked",
             "drain_hose.kinked_or_blocked", "drain.spigot_never_opened"}
    leads = dict(believe(MODELS["front_load_washer"], full).faults)
    assert sum(p for fault, p in leads.items() if fault in drain) > 0.75
    assert leads.get("door_handle_or_latch.broken", 0.0) < 0.05
    said = visit(release, "front load washer door wont open", "yes, the drum is full of water")
    assert facts(said, "result")["glass_look"] == "water" and "no_drain" in facts(said, "complaint")


@pytest.mark.parametrize("family", ["front_load_washer", "top_load_washer"])
def test_a_supply_that_sags_is_a_fault_that_one_question_finds(family: str) -> None:
    """Stops half way, lights dim, or it hangs on a generator: an electrician, and no board."""
    for fed in ("dims", "weak_source"):
        assert likeliest(seen(family, "stops_mid_cycle", results={"lights_dim": fed}))[0] == "supply.sags"
    steady = dict(believe(MODELS[family], seen(family, "stops_mid_cycle", results={"lights_dim": "steady"})).faults)
    assert steady.get("supply.sags", 0.0) < 0.02
    assert PACKS[family].faults["supply.sags"].trade == "electrician"


def test_dim_lights_are_heard_in_the_first_line(release: Release) -> None:
    """Told with the complaint they are not asked for again."""
    chat = visit(release, "front load washer stops half way, the lights go dim in the whole house at night")
    assert facts(chat, "result")["lights_dim"] == "dims"


def test_a_door_lock_has_its_plug_looked_at_before_it_is_certain() -> None:
    """What clicks and gives up is mostly the lock, and not certainly: its plug is on the way."""
    clicks = seen("front_load_washer", "door_wont_lock", "error_code", results={"lock_watch": "clicks"})
    assert likeliest(clicks)[0] == "door_lock.failed" and likeliest(clicks)[1] < 0.9
    assert next_step(clicks).best.id in {"lock_plug_look", "lock_contacts"}
    bad = seen("front_load_washer", "door_wont_lock", "error_code", results={
        "lock_watch": "clicks", "lock_plug_look": "bad"})
    assert likeliest(bad)[0] == "door_lock.connection_bad"


def test_a_fork_that_is_stiff_with_the_actuator_off_is_not_the_actuator() -> None:
    """A new actuator would jam on the same slider; its own jammed cam is another answer."""
    stiff = seen("top_load_washer", "no_spin", results={"shifter_listen": "whirr_on", "shifter_slide": "stiff"},
                 shifter="present")
    leads = dict(believe(MODELS["top_load_washer"], stiff).faults)
    assert likeliest(stiff)[0] == "mode_slider.stuck" and leads["shift_actuator.jammed"] < 0.1
    cam = seen("top_load_washer", "no_spin", results={"shifter_listen": "whirr_on", "shifter_slide": "cam"},
               shifter="present")
    assert likeliest(cam)[0] == "shift_actuator.jammed"


def test_stops_at_random_with_a_new_board_lead_to_the_harness_and_not_to_the_load() -> None:
    """Another code each time, lights steady: a connection, most of them at the cabinet's edge."""
    random = {"stops_how": "random", "code_group": "varies", "watch_cycle": "all_run", "lights_dim": "steady"}
    stops = seen("top_load_washer", "stops_mid_cycle", "error_code", results=random)
    leads = dict(believe(MODELS["top_load_washer"], stops).faults)
    assert likeliest(stops)[0] == "wiring.open_or_corroded" and leads.get("load.unbalanced", 0.0) < 0.02
    rubbed = seen("top_load_washer", "stops_mid_cycle", "error_code", results={**random, "harness_edge": "rubbed"})
    assert next_step(rubbed).best.id == "wiring.open_or_corroded"
    assert TOP.checks["harness_edge"].results["rubbed"].unsafe


def test_a_front_loader_that_shakes_has_its_tub_pushed_first() -> None:
    """Half a minute, nothing opened, before feet, history or load are asked for."""
    assert next_step(seen("front_load_washer", "shakes")).best.id == "bounce_test"


@pytest.mark.parametrize(("family", "checks"), [
    ("front_load_washer", ("bounce_test", "drum_by_hand", "drum_play", "drum_look")),
    ("top_load_washer", ("basket_by_hand", "basket_play", "basket_look", "agitator_hold", "ring_look", "tub_gap_look")),
])
def test_nothing_is_proved_dead_where_no_terminal_is_touched(
        release: Release, family: str, checks: tuple[str, ...]) -> None:
    """A push or a turn by hand wants the plug out or the machine off, and no meter on a live outlet."""
    for key in checks:
        check = PACKS[family].checks[key]
        assert check.power == "any" and any(word in " ".join((check.ask, *check.cautions)).lower()
                                            for word in ("unplugged", "plug out", "machine off")), key
    if family == "front_load_washer":
        assert "known live outlet" not in told(visit(release, "front load washer shakes"))


def test_a_torn_gasket_needs_no_more_questions() -> None:
    """The tear is where the water comes from; the drum is not turned for it."""
    torn = seen("front_load_washer", "leaks", results={"leak_place": "door", "gasket_look": "torn"})
    assert next_step(torn).best.id == "door_gasket.torn_or_fouled"
    assert all(cause.check != "drum_by_hand" for cause in FRONT.faults["door_gasket.torn_or_fouled"].root_causes)


def test_a_wash_plate_is_a_repair_of_its_own() -> None:
    """It has no dogs, and costs more than they do."""
    slips = seen("top_load_washer", "no_agitate", results={"agitator_hold": "plate", "watch_spin": "spins"})
    assert likeliest(slips)[0] == "wash_plate.hub_stripped"
    plate = TOP.repair_of("wash_plate.hub_stripped")[1]
    assert "dogs" not in " ".join((plate.name, *plate.parts, *plate.steps)) and plate.cost == "medium"
    dogs = seen("top_load_washer", "no_agitate", results={"agitator_hold": "top_free", "watch_spin": "spins"})
    assert likeliest(dogs)[0] == "agitator.spline_or_dogs_worn"


@pytest.mark.parametrize("complaint", ["no_spin", "slow_spin", "no_drain", "slow_fill", "shakes"])
def test_which_code_is_asked_only_where_one_was_told_or_it_stops(complaint: str) -> None:
    """Wet clothes are no code, and a trickle is not looked at by running a spin."""
    there = seen("top_load_washer", complaint)
    assert senseless(TOP, TOP.checks["code_group"], there)
    assert not senseless(TOP, TOP.checks["code_group"], seen("top_load_washer", complaint, "error_code"))
    trickle = seen("top_load_washer", "slow_fill", "error_code")
    assert senseless(TOP, TOP.checks["watch_spin"], trickle)


def test_a_hose_on_the_floor_ends_the_question_of_the_night() -> None:
    """Lying on the floor it siphons: nobody asks what the level does overnight."""
    low = seen("top_load_washer", "overfill", "no_agitate", results={"standpipe_look": "low"})
    assert next_step(low).best.id == "stop_siphon"
    assert "level_drop" in TOP.checks["standpipe_look"].results["low"].moots
