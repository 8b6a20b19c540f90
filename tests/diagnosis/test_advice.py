"""The next step of a visit: sure enough, watched first, measured again."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import pytest

from bot.diagnosis.advice import HANDED_OFF, advise
from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.evidence import FITS_NOTHING, Decision, Evidence, Repaired, Seen, Situation
from bot.diagnosis.planner import plan
from bot.diagnosis.thresholds import MISFIT_AGAIN, MISFIT_HANDOFF, MOST_AGAIN, NAMED_FROM, SURE_OF_DEAR, SURE_OF_FAULT
from knowledge.loader import load
from tests.diagnosis.packs import check, fault, pack

PARTS = ("belt", "pump", "valve", "motor")


def parts_pack(**more: str) -> Model:
    """Four parts alike, a look at each; `more` goes to the first part's repair."""
    return compile_pack(pack(
        {f"{x}.bad": fault(x, 1, {"dead": 0.9}, **(more if x == "belt" else {})) for x in PARTS},
        {f"{x}_look": check({"normal": {"good": 0.97}, f"{x}.bad": {"bad": 0.97}}) for x in PARTS}))


def told(*results: str, **more: object) -> Evidence:
    """The looks' results in the order of the parts."""
    looks = tuple(Seen(f"{x}_look", r) for x, r in zip(PARTS, results, strict=False))
    return Evidence("mangle", complaints=("dead",), history=looks, **more)  # type: ignore[arg-type]


def advice(model: Model, evidence: Evidence, situation: Situation | None = None) -> Decision:
    """With the belief that belongs to it."""
    return advise(model, evidence, believe(model, evidence), situation or Situation())


def test_what_is_sure_enough_is_named_and_a_dear_part_wants_more() -> None:
    """The same evidence names a cheap part and asks on before a dear one."""
    bar = (SURE_OF_FAULT + SURE_OF_DEAR) / 2
    cheap, dear = parts_pack(), parts_pack(repair_cost="very_high")
    evidence = told("bad")
    belief = believe(cheap, evidence)
    scale = bar / dict(belief.faults)["belt.bad"]
    rest = (1 - bar) / (1 - bar / scale)
    belief = replace(belief, faults=tuple((f, p * (scale if f == "belt.bad" else rest)) for f, p in belief.faults))
    assert advise(cheap, evidence, belief, Situation()).best.id == "belt.bad"
    careful = advise(dear, evidence, belief, Situation())
    assert careful.best.do != "repair" or careful.best.id != "belt.bad"


def test_what_is_sure_is_named_where_a_senior_would_come_as_cheap() -> None:
    """A bearing takes half a day whoever makes it, and the way of a senior besides: who knows what it is says so."""
    model = compile_pack(load().knowledge.packs["front_load_washer"])
    evidence = Evidence("front_load_washer", complaints=("noisy",), history=(
        Seen("noise_when", "roar"), Seen("drum_by_hand", "growls"), Seen("history", "slowly"),
        Seen("drum_play", "none")))
    assert dict(believe(model, evidence).faults)["drum_bearing.worn"] > SURE_OF_DEAR
    cheap = Situation(handoff_minutes=30.0)
    planned = plan(model, evidence, cheap)
    assert planned.best.do == "handoff"
    best = advice(model, evidence, cheap).best
    assert (best.do, best.id) == ("repair", "drum_bearing.worn")
    assert best.minutes > model.pack.repair_of("drum_bearing.worn")[1].minutes  # its own, and no other step's
    assert best.minutes < best.expected_minutes


def test_a_repair_that_was_refused_or_failed_is_not_named_again() -> None:
    """However sure it looks."""
    model = parts_pack()
    assert advice(model, told("bad", "good", "good")).best.id == "belt.bad"
    refused = advice(model, told("bad", "good", "good"), Situation(declined=frozenset({"belt.bad"})))
    assert refused.best.id != "belt.bad"


def test_answers_that_fit_nothing_are_asked_again_before_a_senior_comes() -> None:
    """All four parts look good: each look that fits least is asked once more, twice at most; then a senior comes, but
    not when one has seen the job."""
    model, evidence = parts_pack(), told("good", "good", "good", "good")
    belief = replace(believe(model, evidence), misfit=1.0)
    ask = partial(advise, model, evidence, belief)
    first = ask(Situation())
    assert first.again and first.best.do == "check"
    second = ask(Situation(again=frozenset({first.best.id})))
    assert second.again and second.best.id != first.best.id
    both = frozenset({first.best.id, second.best.id})
    assert len(both) == MOST_AGAIN
    assert ask(Situation(again=both)).best.id == FITS_NOTHING
    assert ask(Situation(again=both, declined=frozenset({HANDED_OFF}))).best.id != FITS_NOTHING
    mild = advise(model, evidence, replace(belief, misfit=(MISFIT_AGAIN + MISFIT_HANDOFF) / 2), Situation(again=both))
    assert not mild.again and mild.best.id != FITS_NOTHING


def test_two_faults_that_were_found_fit_though_no_single_one_does() -> None:
    """Signs of both, shown three times each: nothing is asked again, nobody is sent for; the one is mended, then the
    other."""
    model = compile_pack(pack(
        {"belt.worn": fault("belt", 5, {"dead": 0.9}), "pump.bad": fault("pump", 5, {"dead": 0.5}),
         "valve.stuck": fault("valve", 2, {"dead": 0.5})},
        {f"{part}{i}": check({"normal": {"good": 0.97}, f"{part}.{how}": {"bad": 0.97}})
         for part, how in (("belt", "worn"), ("pump", "bad")) for i in range(3)}))
    evidence = Evidence("mangle", complaints=("dead",), history=tuple(
        Seen(f"{part}{i}", "bad") for part in ("belt", "pump") for i in range(3)))
    assert believe(model, evidence).misfit < MISFIT_AGAIN
    decision = advise(model, evidence, believe(model, evidence), Situation())
    assert (decision.best.do, decision.again) == ("repair", False)
    assert decision.best.id in {"belt.worn", "pump.bad"}


def test_what_spoke_for_a_failed_repair_is_not_held_against_what_comes_after() -> None:
    """The belt looked bad and was changed in vain: the misfit starts anew with the answers after that."""
    model = parts_pack()
    clash = told("bad", "bad")
    before = believe(model, clash)
    after = believe(model, replace(clash, history=(*clash.history, Repaired("belt.bad"))))
    assert before.surprise > 0
    assert after.surprise == pytest.approx(0.0)
    assert after.misfit == 0
    again = believe(model, replace(clash, history=(*clash.history, Repaired("belt.bad"), Seen("pump_look", "good"))))
    assert again.surprise == pytest.approx(0.0)  # one answer has nothing to clash with


def test_the_machine_is_watched_before_anything_is_opened() -> None:
    """A dear-to-reach check waits for one watched run; once it was watched or cannot be, the check comes."""
    looks = {"watch": check({"normal": {"good": 0.6}, "belt.bad": {"bad": 0.6}}, 5, power="run", kind="run"),
             "inside": check({"normal": {"good": 0.97}, "belt.bad": {"bad": 0.97}}, 2, access=["rear"], power="off")}
    entry = pack({f"{x}.bad": fault(x, 1, {"dead": 0.9}, repair_cost="very_high") for x in PARTS[:2]}, looks,
                 covers={"rear": {"open_minutes": 1, "close_minutes": 1}}, watch="watch")
    seen = {c: e.model_copy(update={"seen_by_watch": True}) for c, e in entry.complaints.items()}
    model = compile_pack(entry.model_copy(update={"complaints": seen}))
    evidence = Evidence("mangle", complaints=("dead",))
    assert advice(model, evidence).best.id == "watch"
    watched = advice(model, replace(evidence, history=(Seen("watch", "good"),)))
    assert watched.best.id != "watch"
    assert advice(model, replace(evidence, cannot=frozenset({"watch"}))).best.id == "inside"


def test_two_in_ten_is_no_finding_however_cheap_to_try() -> None:
    """Five faults alike and nothing to look at: the plan would try a free repair, a lead hand asks a senior."""
    model = compile_pack(pack({f"{x}.bad": fault(x, 1, {"dead": 0.9}, repair_cost="none") for x in (*PARTS, "fan")},
                              {"look": check({"normal": {"good": 0.97}})}))
    evidence = Evidence("mangle", complaints=("dead",))
    belief = believe(model, evidence)
    assert max(p for _, p in belief.faults) < NAMED_FROM
    assert plan(model, evidence, Situation()).best.do == "repair"
    assert advice(model, evidence).best.do == "handoff"


@pytest.mark.parametrize(("complaints", "seen"), [
    (("no_agitate",), (("watch_spin", "spins"), ("watch_wash", "runs_no_move"))),
    (("overfill",), (("watch_spin", "spins"), ("fill_level", "never_full"), ("watch_fill", "fills")))])
def test_what_one_fault_of_the_book_shows_is_not_doubted(release, complaints, seen) -> None:
    """A plate that stands while the basket spins, a full stream that never fills: odd for most, plain for some."""
    model = release.models["top_load_washer"]
    evidence = Evidence("top_load_washer", complaints=complaints, history=tuple(Seen(*each) for each in seen))
    belief = replace(believe(model, evidence), misfit=1.0)
    decision = advise(model, evidence, belief, Situation())
    assert not decision.again
    assert decision.best.id != FITS_NOTHING
