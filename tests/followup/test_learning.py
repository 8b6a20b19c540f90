"""What confirmed visits say of a firm: what counts, how far it moves the packs, and when it may go live."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.conversation.firm import Person
from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.evidence import Evidence, Repaired, Seen
from bot.followup.alike import Finding, in_the_book, proposed
from bot.followup.cases import Case, case_of
from bot.followup.counting import CAP, HALF_LIFE, Group, fading, in_time, shrunk, within, worth
from bot.followup.gate import LEAST, score_rows, score_shares
from bot.followup.labels import Ended, Kept, Label, label
from bot.followup.learning import PACK_WORTH, ROW_CASES, book_of, learn
from knowledge.learned import Learned, LearnedFamily, lay_over
from knowledge.loader import load
from knowledge.schema import Knowledge, Pack

NOW = datetime(2031, 9, 1, 12, tzinfo=UTC)
KNOWN: Knowledge = load(families=["refrigerator", "dryer"]).knowledge
PACK: Pack = KNOWN.packs["refrigerator"]
FAULTS = tuple(PACK.faults)
BOOK = book_of(PACK)
PROVABLE = tuple(fault for fault, free in zip(FAULTS, BOOK.open, strict=True) if free)


def case(number: int, fault: str, weight: float = 1.0, seen: tuple[tuple[str, str], ...] = ()) -> Case:
    """A confirmed visit of which the complaints told nothing."""
    told = dict(zip(FAULTS, BOOK.share.tolist(), strict=True))
    return Case(f"{number:05}", NOW + timedelta(hours=number), weight, {fault: 1.0}, told, seen)


def odds(p: float) -> float:
    """Log-odds."""
    return float(np.log(p / (1 - p)))


def a_row() -> tuple[str, str]:
    """A check that tells of a fault alone, and such a fault."""
    return next((check, fault) for check, entry in PACK.checks.items() for fault in entry.likelihoods
                if fault in PROVABLE and not any(r.identifies or r.complaints for r in entry.results.values()))


# -- what counts ------------------------------------------------------------------------------------------------------


def ended(**changes: Any) -> Ended:
    """A visit that ended two months ago with a proved compressor relay, at a known address."""
    proof = Kept("proof", {"held": True, "fault": "start_relay.failed", "repair": "replace_start_parts"})
    told: dict[str, Any] = {"family": "refrigerator", "ended": NOW - timedelta(days=60), "outcome": "fixed",
                            "records": (proof,), "placed": True, "came_back": False} | changes
    return Ended(**told)


PROOF = ended().records[0]
LATER = Kept("proof", {"held": False, "later": True, "fault": "start_relay.failed"})
UNSURE = Kept("proof", {"held": None, "later": True, "fault": "start_relay.failed"})
NAMED = Kept("verdict", {"fault": "fan.seized", "words": "seized fan"})
WORDS = Kept("verdict", {"words": "mice in the duct"})


@pytest.mark.parametrize(("changes", "counts"), [
    ({}, 1.0),
    ({"ended": NOW - timedelta(days=29)}, 0.5),
    ({"placed": False}, 0.5),
    ({"came_back": True}, 0.0),
    ({"came_back": True, "same": frozenset({False})}, 0.5),
    ({"came_back": True, "same": frozenset({False, None})}, 0.0),
    ({"came_back": True, "same": frozenset({True})}, 0.0),
    ({"same": frozenset({True})}, 0.0),
    ({"marked_wrong": True}, 0.0),
    ({"records": (PROOF, LATER)}, 0.0),
    ({"records": (PROOF, UNSURE)}, 1.0),
    ({"outcome": "declined", "records": ()}, 0.0),
    ({"outcome": "not_fixed"}, 0.0),
    ({"outcome": "fixed", "records": ()}, 0.0),
    ({"outcome": "other_trade", "records": ()}, 0.0),
])
def test_what_a_repair_counts(changes: dict[str, Any], counts: float) -> None:
    """In full if proved and thirty days quiet at a known address; silence without an address, youth: half."""
    found = label(ended(**changes), NOW)
    assert (found.weight if found is not None else 0.0) == counts


def test_a_seniors_word() -> None:
    """Half without a proof, in full and named with one; nothing once the repair of it failed."""
    failed = Kept("proof", {"held": False, "fault": "fan.seized"})
    proved = Kept("proof", {"held": True, "fault": "fan.seized", "repair": "replace_fan"})
    over = {"outcome": "handed_off"}
    assert label(ended(records=(NAMED,), **over), NOW) == Label("fan.seized", None, 0.5, named=True)
    assert label(ended(records=(NAMED, proved)), NOW) == Label("fan.seized", "replace_fan", 1.0, named=True)
    assert label(ended(records=(NAMED, failed), outcome="not_fixed"), NOW) is None
    assert label(ended(records=(WORDS,), **over), NOW) == Label("unknown", None, 0.5, named=True)
    assert label(ended(records=(WORDS, PROOF)), NOW) == Label("start_relay.failed", "replace_start_parts", 1.0)


# -- how far it moves the packs ---------------------------------------------------------------------------------------

cases_of_it = st.lists(st.builds(case, st.integers(0, 400), st.sampled_from(FAULTS), st.sampled_from([0.5, 1.0])),
                       max_size=60, unique_by=lambda c: c.job)


@settings(max_examples=60, deadline=None)
@given(cases_of_it)
def test_shares_sum_to_one_within_the_cap(cases: list[Case]) -> None:
    """Whatever was confirmed: a distribution, no share of it more than the cap away, log-odds, from what holds."""
    learned = learn(PACK, PACK, cases).shares
    assert sum(learned.values()) == pytest.approx(1, abs=1e-6)
    for fault, share in zip(FAULTS, BOOK.share.tolist(), strict=True):
        assert abs(odds(learned[fault]) - odds(share)) <= CAP + 1e-4


@settings(max_examples=30, deadline=None)
@given(cases_of_it, st.randoms())
def test_the_order_in_which_cases_come_is_of_no_account(cases: list[Case], rng: Any) -> None:
    """They have times of their own."""
    shuffled = list(cases)
    rng.shuffle(shuffled)
    assert learn(PACK, PACK, shuffled) == learn(PACK, PACK, cases)


def test_no_cases_leave_the_pack() -> None:
    """Nothing confirmed, nothing changed; laid over, the compiled model is the same."""
    nothing = learn(PACK, PACK, ())
    assert list(nothing.shares.values()) == pytest.approx(BOOK.share.tolist(), abs=1e-7)
    assert nothing.rows == {} and nothing.unknown == pytest.approx(PACK.family.unknown)
    laid = lay_over(KNOWN, Learned(families={"refrigerator": nothing})).packs["refrigerator"]
    assert np.allclose(compile_pack(laid).weights, compile_pack(PACK).weights, atol=1e-7)
    assert lay_over(KNOWN, Learned()) == KNOWN


def test_more_cases_of_a_fault_raise_its_share() -> None:
    """With each case the share comes nearer to the firm's own, as far as the cap lets it."""
    rare = PROVABLE[-1]
    found = [learn(PACK, PACK, [case(i, rare) for i in range(n)]).shares[rare] for n in (0, 2, 5, 40)]
    assert found == sorted(found) and found[0] < found[1]
    assert odds(found[-1]) - odds(found[0]) == pytest.approx(CAP, abs=1e-3)


def test_what_nobody_proves_keeps_its_share() -> None:
    """Another trade's faults and a machine that works as it should never come with a proof, and do not fade for it."""
    learned = learn(PACK, PACK, [case(i, fault) for i, fault in enumerate(PROVABLE * 8)]).shares
    kept = [fault for fault in FAULTS if fault not in PROVABLE]
    assert "usage.normal" in kept and any(PACK.faults[fault].trade for fault in kept)
    for fault in kept:
        assert learned[fault] == pytest.approx(float(BOOK.share[FAULTS.index(fault)]), rel=0.02)


def test_cases_fade() -> None:
    """A case counts half once HALF_LIFE more were counted."""
    cases = in_time([case(i, PROVABLE[0]) for i in range(int(HALF_LIFE) + 1)])
    weights = fading(cases)
    assert weights[-1] == 1 and weights[0] == pytest.approx(0.5)


def test_what_the_pack_is_worth() -> None:
    """Counts that follow the pack make it worth all it may be; counts far from it, little; none at all: all."""
    base = np.full(8, 1 / 8)
    assert worth([Group(base * 400, base)], *PACK_WORTH) == pytest.approx(PACK_WORTH[1], rel=0.05)
    assert worth([Group(np.array([90.0, 5, 1, 1, 1, 1, 1, 0]), base)], *PACK_WORTH) < 12
    assert worth([], *PACK_WORTH) == PACK_WORTH[1]
    moved = shrunk(Group(np.array([3.0, 1.0]), np.array([0.5, 0.5])), 4.0)
    assert moved.tolist() == [5 / 8, 3 / 8]


@settings(max_examples=80, deadline=None)
@given(st.integers(2, 12).flatmap(lambda n: st.tuples(*[st.lists(st.floats(0.001, 1), min_size=n, max_size=n)] * 2)))
def test_the_cap_holds_for_any_two_distributions(pair: tuple[list[float], list[float]]) -> None:
    """It sums to 1, and what was within the cap from the start is left as it is."""
    wanted, now = (np.array(each) / sum(each) for each in pair)
    moved = within(wanted, now)
    assert moved.sum() == pytest.approx(1, abs=1e-9)
    for a, b in zip(moved.tolist(), now.tolist(), strict=True):
        assert abs(odds(a) - odds(b)) <= CAP + 1e-6
    assert within(now, now).tolist() == pytest.approx(now.tolist())


def test_rows_of_checks_move_too() -> None:
    """What a check showed on confirmed faults moves that row, of no other fault, and only from a few cases on."""
    check, fault = a_row()
    result = list(PACK.checks[check].results)[-1]
    few = [case(i, fault, seen=((check, result),)) for i in range(int(ROW_CASES) - 1)]
    assert learn(PACK, PACK, few).rows == {}
    many = learn(PACK, PACK, [case(i, fault, seen=((check, result),)) for i in range(30)]).rows
    assert list(many) == [check] and list(many[check]) == [fault]
    row = many[check][fault]
    assert sum(row.values()) == pytest.approx(1, abs=1e-5)
    laid = lay_over(KNOWN, Learned(families={"refrigerator": LearnedFamily(rows=many)})).packs["refrigerator"]
    before, after = compile_pack(PACK), compile_pack(laid)
    c = before.check_index[check]
    moved = np.abs(after.rows[c] - before.rows[c]).max(axis=0)
    own = before.fault_of == FAULTS.index(fault)
    others = (before.fault_of < len(FAULTS)) & ~own
    assert moved[own & before.applies[c]].min() > 0.01 and moved[others].max() == 0


def test_what_seniors_found_that_is_in_no_book() -> None:
    """It raises the share of the unknown; that none was found lowers nothing."""
    unknown = [case(i, "unknown", 0.5) for i in range(20)] + [case(20 + i, f) for i, f in enumerate(PROVABLE)]
    raised = learn(PACK, PACK, unknown).unknown
    assert raised is not None and raised > PACK.family.unknown
    assert odds(raised) - odds(PACK.family.unknown) <= CAP + 1e-4
    quiet = learn(PACK, PACK, [case(i, f) for i, f in enumerate(PROVABLE * 6)]).unknown
    assert quiet == pytest.approx(PACK.family.unknown)


def test_learned_of_a_book_that_has_changed() -> None:
    """A fault that is gone is passed over, a new one keeps its weight, a check with other results keeps its row."""
    first, second = FAULTS[:2]
    check = next(iter(PACK.checks))
    learned = LearnedFamily(shares={first: 0.75, "long.gone": 0.25}, rows={check: {first: {"no_such_result": 1.0}}})
    laid = lay_over(KNOWN, Learned(families={"refrigerator": learned, "no_such_family": learned}))
    pack = laid.packs["refrigerator"]
    assert pack.faults[second] == PACK.faults[second] and "long.gone" not in pack.faults
    assert pack.faults[first].frequency == pytest.approx(PACK.faults[first].frequency)
    assert pack.checks[check].likelihoods == PACK.checks[check].likelihoods


# -- from a visit to a case -------------------------------------------------------------------------------------------


def test_a_case_keeps_what_tells_of_the_fault() -> None:
    """Results before the first repair, apart from what the complaint said already and what the pack no longer has."""
    model = compile_pack(PACK)
    complaint = next(c for c in PACK.complaints
                     if any(c in r.complaints for check in PACK.checks.values() for r in check.results.values()))
    echo = next(k for k, check in PACK.checks.items() if any(complaint in r.complaints for r in check.results.values()))
    plain = next(k for k, check in PACK.checks.items() if check.reading is None
                 and not any(r.complaints or r.identifies for r in check.results.values()))
    result = next(iter(PACK.checks[plain].results))
    history = (Seen(plain, result), Seen(plain, "no_such_result"), Seen(plain, result, value=3.0),
               Seen(echo, next(iter(PACK.checks[echo].results))), Seen("gone", "x"),
               Repaired(next(iter(model.repairs))), Seen(plain, result))
    evidence = Evidence("refrigerator", {"no_such_axis": "x"}, (complaint, "no_such_complaint"), history=history)
    found = case_of("j", NOW, Label(PROVABLE[0], None, 1.0), evidence, model)
    assert found is not None
    assert found.seen == ((plain, result),)
    assert sum(found.told.values()) == pytest.approx(1)
    assert case_of("j", NOW, Label("long.gone", None, 1.0), evidence, model) is None


def test_a_repair_of_several_faults_is_split_by_belief() -> None:
    """Only a senior's word tells which of them it was."""
    model = compile_pack(PACK)
    repair = next(r for r in model.repairs if len(model.cured_by(r)) > 1)
    fault = model.cured_by(repair)[0]
    evidence = Evidence("refrigerator", complaints=(next(iter(PACK.faults[fault].shows)),))
    found = case_of("j", NOW, Label(fault, repair, 1.0), evidence, model)
    named = case_of("j", NOW, Label(fault, repair, 1.0, named=True), evidence, model)
    assert found is not None and named is not None
    assert set(found.faults) == set(model.cured_by(repair)) and sum(found.faults.values()) == pytest.approx(1)
    assert named.faults == {fault: 1.0}


# -- the gate ---------------------------------------------------------------------------------------------------------


def drawn(share: np.ndarray, count: int, seed: int) -> list[Case]:
    """Cases of a firm with these shares."""
    rng = np.random.default_rng(seed)
    return [case(i, FAULTS[int(f)]) for i, f in enumerate(rng.choice(len(FAULTS), size=count, p=share))]


def otherwise(seed: int) -> np.ndarray:
    """The shares of a firm that differs from the pack."""
    moved = BOOK.share * np.exp(np.random.default_rng(seed).normal(0, 1.0, len(FAULTS)))
    return np.asarray(moved / moved.sum())


def test_the_gate_opens_for_a_firm_that_differs() -> None:
    """After two hundred visits what was learned foretells better, by more than twice its error: for most such firms."""
    scores = [score_shares(PACK, drawn(otherwise(seed), 200, seed)) for seed in range(8)]
    assert all(score.visits == 200 and score.gain > 0 for score in scores)
    assert sum(score.open for score in scores) >= 6


def test_the_gate_stays_shut_for_a_firm_by_the_book() -> None:
    """Of twenty firms that are as the pack says, at most two pass by luck."""
    passed = [score_shares(PACK, drawn(BOOK.share, 120, 100 + seed)).open for seed in range(20)]
    assert sum(passed) <= 2


def test_too_few_never_open_it() -> None:
    """However far they are from the pack; halves do not make up for it."""
    few = [case(i, PROVABLE[-1]) for i in range(LEAST - 1)]
    assert not score_shares(PACK, few).open
    assert not score_shares(PACK, [*few, *(case(100 + i, PROVABLE[-1], 0.5) for i in range(50))]).enough
    assert score_shares(PACK, [*few, case(99, PROVABLE[-1])]).open
    assert score_shares(PACK, ()).gain == 0 and not score_rows(PACK, ()).open


def test_the_gate_of_the_rows() -> None:
    """Open where a check keeps showing what the pack thinks rare; shut where the pack is right."""
    check, fault = a_row()
    row = compile_pack(PACK, smooth=0, temper=1).rows
    model = compile_pack(PACK)
    hypothesis = int(np.flatnonzero(model.fault_of == FAULTS.index(fault))[0])
    chances = row[model.check_index[check], :len(PACK.checks[check].results), hypothesis]
    rare = list(PACK.checks[check].results)[int(np.argmin(chances))]
    rng = np.random.default_rng(4)
    assert score_rows(PACK, [case(i, fault, seen=((check, rare),)) for i in range(60)]).open
    usual = [str(r) for r in rng.choice(list(PACK.checks[check].results), size=60, p=chances / chances.sum())]
    assert not score_rows(PACK, [case(i, fault, seen=((check, r),)) for i, r in enumerate(usual)]).open


# -- what is in no book -----------------------------------------------------------------------------------------------


def test_three_alike_become_a_proposed_fault() -> None:
    """The senior's words, in whatever order; one visit counts once; two are not enough; what is short says nothing."""
    said = [Finding("1", "mice chewed the damper wire"), Finding("2", "damper wire chewed by mice"),
            Finding("2", "chewed damper wire"), Finding("3", "Mice again, chewed through damper wire"),
            Finding("4", "door skin rusted through"), Finding("5", "door skin rusted"), Finding("6", "ok"),
            Finding("7", "ok"), Finding("8", "ok")]
    found = proposed(said)
    assert [{f.job for f in each.findings} for each in found] == [{"1", "2", "3"}]
    assert "damper" in found[0].words
    assert proposed(reversed(said)) == found
    assert in_the_book(f"it was a {PACK.faults[PROVABLE[0]].name}, I'd say", PACK)
    assert not in_the_book("mice chewed the damper wire", PACK)


def test_a_finding_that_is_in_no_book_is_kept(chat_of: Any) -> None:
    """What the senior found is a label in their words, whether or not they go on to name a fault of the book."""
    chat = chat_of()
    chat.crew = (Person("marta", "Marta", "senior"),)
    chat.send("toploader belt drive wont spin")
    chat.send("senior")
    chat.press(1, who="marta")
    chat.send("found mice chewed zzyzx", who="marta")
    assert [record.data for record in chat.records("verdict")] == [{"words": "mice chewed zzyzx", "by": "marta"}]
    chat.send("found worn drive belt", who="marta")
    assert chat.records("verdict")[-1].data["fault"] == "drive_belt.worn"
