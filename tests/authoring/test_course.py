"""The outline of a visit, as a senior reviews it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.authoring.course import Limits, Step, course, outline
from bot.conversation.release import Release, compile_release
from tests.adapters.command import chargehand, refused
from tests.authoring.remarked import kettle_with
from tests.authoring.test_deep import CUTOUT_LOOK, FAULTS_APART
from tests.knowledge.kettle import CHECKS, kettle


@pytest.fixture
def release(tmp_path: Path) -> Release:
    """A kettle whose faults can be told apart."""
    loaded = kettle_with(tmp_path, faults=FAULTS_APART, checks=CHECKS + CUTOUT_LOOK)
    return compile_release("test", loaded.knowledge)


def _steps(step: Step) -> Iterator[Step]:
    yield step
    for branch in step.branches:
        if branch.then is not None:
            yield from _steps(branch.then)


def test_the_course_ends_in_findings_and_hand_offs(release: Release) -> None:
    """Every answer that is followed leads on; the chances of a question's answers make 1."""
    tree = course(release, "kettle", "no_heat", {}, frozenset(), Limits(6, 0.01))
    steps = list(_steps(tree))
    assert tree.do == "check" and tree.share == 1.0
    assert {step.id for step in steps if step.do == "finding"} >= {"element.open", "cutout.tripped"}
    for step in steps:
        if step.branches:
            assert sum(branch.p for branch in step.branches) == pytest.approx(1.0)


def test_the_shares_of_what_follows_never_exceed_their_part(release: Release) -> None:
    """A branch holds the share of the visits that come to it."""
    for step in _steps(course(release, "kettle", "no_heat", {}, frozenset(), Limits(4, 0.02))):
        for branch in step.branches:
            if branch.then is not None:
                assert branch.then.share == pytest.approx(step.share * branch.p)
                assert branch.then.share >= 0.02


def test_depth_bounds_the_questions(release: Release) -> None:
    """At depth 1 the second question is only quoted."""
    tree = course(release, "kettle", "no_heat", {}, frozenset(), Limits(1, 0.01))
    assert all(not branch.then.branches for branch in tree.branches if branch.then is not None)


def test_the_outline_reads_like_a_chart(release: Release) -> None:
    """Questions numbered, answers with their chances, findings with repair and minutes."""
    pack = release.knowledge.packs["kettle"]
    names = {k: e.name for part in (pack.covers, pack.checks, pack.faults) for k, e in part.items()}
    lines = list(outline(course(release, "kettle", "no_heat", {}, frozenset(), Limits()), names))
    assert lines[0].startswith("1. ")
    assert any(line.strip().startswith("=> Finding: open element") and "Replace the element (20 min)" in line
               for line in lines)


def test_trace_prints_it_and_gives_it_as_json(tmp_path: Path) -> None:
    """The same tree twice."""
    kettle(tmp_path, faults=FAULTS_APART, checks=CHECKS + CUTOUT_LOOK)
    asked = ("knowledge", "trace", "--family", "kettle", "--complaint", "no_heat", "--pack", str(tmp_path))
    text = chargehand(*asked, "--variant", "heat=coil").stdout
    assert text.splitlines()[0] == "kettle, bare coil: no heat"
    tree = json.loads(chargehand(*asked, "--json").stdout)
    assert tree["do"] == "check" and tree["text"] in text


@pytest.mark.parametrize(("options", "said"), [
    (("--family", "ketle", "--complaint", "no_heat"), "nearest is 'kettle'"),
    (("--family", "kettle", "--complaint", "no_heet"), "nearest is 'no_heat'"),
    (("--family", "kettle", "--complaint", "no_heat", "--variant", "heat"), "write --variant axis=value"),
    (("--family", "kettle", "--complaint", "no_heat", "--variant", "het=coil"), "nearest is 'heat'"),
    (("--family", "kettle", "--complaint", "no_heat", "--variant", "heat=cil"), "nearest is 'coil'"),
    (("--family", "kettle", "--complaint", "no_heat", "--depth", "0"), "--depth"),
])
def test_a_slip_is_one_line_with_the_nearest_name(tmp_path: Path, options: tuple[str, ...], said: str) -> None:
    """Exit 2, no traceback."""
    kettle(tmp_path)
    assert said in refused(chargehand("knowledge", "trace", *options, "--pack", str(tmp_path)))
