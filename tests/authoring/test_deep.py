"""What the checker finds by language and diagnosis: alike faults, idle and double checks, lost repairs, collisions."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.authoring.phrases import collisions
from bot.authoring.roads import roads_of, roads_to_check
from bot.authoring.sureness import SURE, alike, sureness
from bot.authoring.walks import walked
from bot.authoring.worth import idle_and_double, worths
from bot.diagnosis.compiled import compile_pack
from bot.language.index import build_index
from knowledge.loader import Loaded
from tests.authoring.remarked import kettle_with
from tests.knowledge.kettle import CHECKS, FAMILY, FAULTS, changed

OWN_REPAIR = """\
    repair:
      name: Reset the cutout
      minutes: 5
      cost: none
      access: base
      cautions: [Unplugged and cold.]
      steps: [Press the button under the base.]
repairs:
"""
"""The cutout gets a repair of its own, so that it matters which of the two faults it is."""
FAULTS_APART = changed(FAULTS, "    repair: swap_element\nrepairs:\n", OWN_REPAIR)
CUTOUT_LOOK = """\
  cutout_look:
    name: cutout button
    ask: "Base off: has the button popped out?"
    kind: look
    power: off
    access: base
    minutes: 1
    cautions: ["Unplugged."]
    results:
      out: {label: Popped out, says: cutout tripped}
      in: {label: Still in, says: cutout not tripped}
    likelihoods:
      normal: {in: always}
      cutout.tripped: {out: always}
"""


def _pack(loaded: Loaded):  # type: ignore[no-untyped-def]
    return compile_pack(loaded.knowledge.packs["kettle"])


def test_faults_that_no_check_tells_apart_are_named_with_how_sure_one_gets(tmp_path: Path) -> None:
    """An open element and a tripped cutout both stay cold; only the element's ohms and silence speak for it."""
    checks = CHECKS.replace("      element.open: {silent: always}\n", "").replace(
        "      element.open: {open: always}\n", "      element.grounded: {low: always}\n")
    found = {one.fault: one for one in sureness(_pack(kettle_with(tmp_path, faults=FAULTS_APART, checks=checks)))}
    assert found["cutout.tripped"].rival == "element.open"
    assert found["cutout.tripped"].dead < 0.5
    told = [r.place[1] for r in alike(_pack(kettle_with(tmp_path, faults=FAULTS_APART, checks=checks)))]
    assert "cutout.tripped" in told


def test_a_check_that_separates_settles_it(tmp_path: Path) -> None:
    """With a sharp look at the cutout both are told apart, and nothing is remarked."""
    sharp = CUTOUT_LOOK.replace("{in: always}", "{in: 0.995}").replace("{out: always}", "{out: 0.995}")
    model = _pack(kettle_with(tmp_path, faults=FAULTS_APART, checks=CHECKS + sharp))
    assert {one.fault: one.dead >= SURE for one in sureness(model)}["cutout.tripped"]
    assert [r for r in alike(model) if r.place[1] in {"cutout.tripped", "element.open"}] == []


def test_live_checks_are_counted_apart(tmp_path: Path) -> None:
    """What only a live measurement tells is said to be so."""
    live = changed(CUTOUT_LOOK, "power: off", "power: live")
    model = _pack(kettle_with(tmp_path, faults=FAULTS_APART, checks=CHECKS + live))
    cutout = next(one for one in sureness(model) if one.fault == "cutout.tripped")
    assert cutout.live > cutout.dead


def test_a_check_without_rows_settles_nothing(tmp_path: Path) -> None:
    """It is proposed to be taken out, or to be given rows."""
    blank = CUTOUT_LOOK.replace("      cutout.tripped: {out: always}\n", "")
    (remark,) = idle_and_double(_pack(kettle_with(tmp_path, faults=FAULTS_APART, checks=CHECKS + blank)))
    assert remark.kind == "idle" and remark.place == ("checks", "cutout_look")


def test_a_second_check_for_the_same_is_double(tmp_path: Path) -> None:
    """A dearer copy of a sharp check tells hardly anything after it."""
    sharp = CUTOUT_LOOK.replace("normal: {in: always}", "normal: {in: 1.0}").replace("{out: always}", "{out: 1.0}")
    copy = sharp.replace("cutout_look:", "cutout_again:").replace("minutes: 1", "minutes: 4")
    model = _pack(kettle_with(tmp_path, faults=FAULTS_APART, checks=CHECKS + sharp + copy))
    worth = {w.check: w for w in worths(model)}
    assert worth["cutout_again"].instead == "cutout_look"
    assert worth["cutout_again"].left < 0.5
    assert worth["cutout_look"].instead != "cutout_again"


@pytest.mark.parametrize("said", ["wont boil", "WONT BOIL", "it wont boil"])
def test_one_meaning_under_two_complaints_collides(tmp_path: Path, said: str) -> None:
    """Heard as the bot hears, not letter by letter; the place is the second of the two."""
    family = changed(FAMILY, "trips the breaker, pops the breaker", f"trips the breaker, {said}, pops the breaker")
    loaded = kettle_with(tmp_path, family=family)
    found = [r for r in collisions(build_index(loaded.knowledge), loaded.knowledge.packs) if "boil" in r.message]
    assert [(r.kind, r.place[:2]) for r in found] == [("collision", ("complaints", "trips"))]
    assert "is heard like" in found[0].message or "is not heard" in found[0].message


def test_two_families_that_file_one_phrase_differently_collide(tmp_path: Path) -> None:
    """Only where both families know both complaints."""
    loaded = kettle_with(tmp_path)
    kettle = loaded.knowledge.packs["kettle"]
    no_heat, trips = kettle.complaints["no_heat"], kettle.complaints["trips"]
    other = kettle.model_copy(update={
        "family": kettle.family.model_copy(update={"id": "urn"}),
        "complaints": {"no_heat": no_heat.model_copy(update={"phrases": {"en": ("gurgles oddly",)}}),
                       "trips": trips.model_copy(update={"phrases": {"en": ("wont boil",)}})}})
    packs = {"kettle": kettle, "urn": other}
    known = loaded.knowledge.model_copy(update={"packs": packs})
    found = [r for r in collisions(build_index(known), packs) if "boil" in r.message]
    assert [(r.family, r.place[:2]) for r in found] == [("urn", ("complaints", "trips"))]


def test_walks_come_to_every_repair_that_can_be_told(tmp_path: Path) -> None:
    """And count which checks were asked on the way."""
    found = walked(_pack(kettle_with(tmp_path, faults=FAULTS_APART, checks=CHECKS + CUTOUT_LOOK)))
    assert found.lost == {}
    assert sum(found.asked.values()) > 0


def test_a_repair_that_no_answers_lead_to_is_named(tmp_path: Path) -> None:
    """A rare fault that looks in every way like a common one with a cheap repair that always works."""
    faults = FAULTS_APART.replace("frequency: 2\n", "frequency: 0.001\n").replace("minutes: 5\n", "minutes: 900\n")
    faults = faults.replace("cost: none", "cost: very_high\n      parts: [cutout]")
    found = walked(_pack(kettle_with(tmp_path, faults=faults)))
    assert set(found.lost) == {"cutout.tripped"}


def test_a_fault_is_walked_on_other_machines_and_by_other_people(tmp_path: Path) -> None:
    """The first road is the likeliest one; drawn ones differ in the machine, in what is told and in who comes."""
    model = _pack(kettle_with(tmp_path))
    roads = [road for fault in range(len(model.faults)) for road in roads_of(model, fault)]
    assert roads[0].rng is None and roads[0].told == ("no_heat",) and not roads[0].variant
    assert {road.machine["heat"] for road in roads} == {"coil", "plate"}
    assert len({road.signoffs for road in roads}) > 1
    assert any(road.denied for road in roads) and any(road.variant for road in roads)
    assert all(not set(road.denied) & set(road.shown) for road in roads)


def test_a_check_of_one_kind_is_asked_on_that_kind(tmp_path: Path) -> None:
    """Two machines in three have no bare coil: the kind is asked for first, as in the talk, and then the check."""
    coil = changed(CHECKS, "    name: element resistance\n", "    name: element resistance\n    only: {heat: coil}\n")
    model = _pack(kettle_with(tmp_path, faults=FAULTS_APART, checks=coil))
    assert {road.machine["heat"] for road in roads_to_check(model, "element_ohms")} == {"coil"}
    assert walked(model).asked["element_ohms"] > 0


def test_what_may_have_caused_a_fault_is_looked_at_before_its_repair(tmp_path: Path) -> None:
    """A check that tells no fault apart is asked where it is the root cause of one."""
    scale = CUTOUT_LOOK.replace("cutout_look:", "scale_look:").replace(
        "      cutout.tripped: {out: always}\n", "").replace("access: base", "unless: [trips]")
    alone = _pack(kettle_with(tmp_path / "a", faults=FAULTS_APART, checks=CHECKS + scale))
    assert walked(alone).asked["scale_look"] == 0
    causes = changed(FAULTS_APART, "      steps: [Base off, element out, new one in.]\n",
                     "      steps: [Base off, element out, new one in.]\n"
                     "    root_causes:\n      - {why: Scale burns it., check: scale_look}\n")
    assert walked(_pack(kettle_with(tmp_path / "b", faults=causes, checks=CHECKS + scale))).asked["scale_look"] > 0


def test_the_same_pack_gives_the_same_remarks(tmp_path: Path) -> None:
    """Draws come from fixed seeds."""
    model = _pack(kettle_with(tmp_path, faults=FAULTS_APART))
    assert list(sureness(model)) == list(sureness(model))
    assert walked(model) == walked(model)
