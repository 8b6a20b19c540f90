"""What survives SIGKILL under load. The harness is tests/benchmarks/crash; a thousand kills are one command there."""

from __future__ import annotations

from pathlib import Path

from tests.benchmarks.crash.killer import rampage
from tests.benchmarks.crash.life import Scene
from tests.benchmarks.crash.verdict import judge


def test_sixty_kills_in_every_section(tmp_path: Path) -> None:
    """Nothing lost, nothing doubled, order kept, at most one repeat a kill; each section was hit."""
    scene = Scene(tmp_path, "small", chats=6, processes=1)
    tally = rampage(scene, 59, seed=60)
    verdict = judge(scene, tally.kills)
    assert verdict.broken == ()
    assert tally.missed() == ()
    assert tally.kills == 60
    assert verdict.messages > 100
    assert verdict.timers > 10


def test_two_processes_on_one_folder(tmp_path: Path) -> None:
    """Two seats work on the same folder while one or the other is killed."""
    scene = Scene(tmp_path, "small", chats=6, processes=2)
    tally = rampage(scene, 12, seed=2)
    verdict = judge(scene, tally.kills)
    assert verdict.broken == ()
    assert verdict.messages > 20
