"""Knowledge releases: read once, never stale, and a job stays on the one that it began with."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bot.conversation.events import Event
from bot.conversation.job import Job
from bot.service import releases
from bot.service.core import Core
from bot.service.releases import Prepared, Releases, dump_release, load_release, prepare, source_key
from knowledge.loader import load, packs_folder
from knowledge.schema import Knowledge, Tool
from tests.service.crew import Clock, house, sit, tell, typed
from tests.service.small import NOTHING, SMALL, compiled, step

OVERLAY = "tools:\n  lamp: {name: 'a head lamp'}\n"


@pytest.fixture(autouse=True)
def packs(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of some of our packs, which nobody changes meanwhile."""
    copy = tmp_path_factory.mktemp("packs")
    for name in ("common", "top_load_washer"):
        shutil.copytree(packs_folder() / name, copy / name)
    monkeypatch.setattr(releases, "packs_folder", lambda: copy)
    monkeypatch.setattr("knowledge.loader.packs_folder", lambda: copy)
    return copy


@pytest.fixture
def overlay(tmp_path: Path) -> Path:
    """A firm's overlay with one tool."""
    (tmp_path / "overlay" / "common").mkdir(parents=True)
    (tmp_path / "overlay" / "common" / "tools.yaml").write_text(OVERLAY)
    return tmp_path / "overlay"


def with_tool(name: str) -> Prepared:
    """A release that differs by one tool."""
    known = NOTHING.model_copy(update={"common": NOTHING.common.model_copy(update={"tools": {"t": Tool(name=name)}})})
    return Prepared.of(known)


def test_packs_survive_the_round(tmp_path: Path) -> None:
    """The kept form gives back exactly what was read from YAML, in the packs' own order, and under the same id."""
    fresh = prepare(tmp_path)
    kept = prepare(tmp_path)
    loaded = load().knowledge
    assert kept.knowledge == fresh.knowledge == loaded
    assert kept.id == fresh.id
    assert dump_release(kept.knowledge) == dump_release(loaded)
    assert repr(kept.knowledge) == repr(loaded)  # equality of dicts does not see their order


def test_the_second_start_reads_no_yaml(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Once the kept form is there, the loader is not asked."""
    first = prepare(tmp_path)

    def never(*args: Any) -> None:
        raise AssertionError("the packs were read again")

    monkeypatch.setattr(releases, "load", never)
    assert prepare(tmp_path).id == first.id


def test_any_changed_byte_is_another_key(overlay: Path) -> None:
    """Content, names and places of the overlay's files count; so does having one at all."""
    keys = {source_key(), source_key([overlay])}
    file = overlay / "common" / "tools.yaml"
    file.write_text(OVERLAY.replace("head", "hand"))
    keys.add(source_key([overlay]))
    file.rename(overlay / "common" / "things.yaml")
    keys.add(source_key([overlay]))
    (overlay / "common" / "empty.yaml").write_text("")
    keys.add(source_key([overlay]))
    assert len(keys) == 5


def test_a_changed_pack_is_read_anew(tmp_path: Path, overlay: Path) -> None:
    """The kept form of yesterday's overlay is not served for today's."""
    first = prepare(tmp_path, [overlay])
    assert first.knowledge.common.tools["lamp"].name == "a head lamp"
    (overlay / "common" / "tools.yaml").write_text(OVERLAY.replace("head", "hand"))
    second = prepare(tmp_path, [overlay])
    assert second.knowledge.common.tools["lamp"].name == "a hand lamp"
    assert second.id != first.id


@pytest.mark.parametrize("damage", ["", "{", "null", '{"format":1,"knowledge":{}}'])
def test_a_damaged_kept_form_is_read_anew(tmp_path: Path, damage: str) -> None:
    """Whatever happened to the files, the packs are there."""
    first = prepare(tmp_path)
    for file in tmp_path.glob("*.json"):
        file.write_text(damage)
    again = prepare(tmp_path)
    assert again.knowledge == first.knowledge
    assert load_release((tmp_path / f"{first.id}.json").read_text()) == first.knowledge


def test_notes_of_the_loader_are_kept(tmp_path: Path, overlay: Path) -> None:
    """What the loader has to say about a broken overlay is said at every start."""
    (overlay / "common" / "tools.yaml").write_text("tools:\n  lamp: {nam: x}\n")
    first = prepare(tmp_path, [overlay])
    assert any("tools.yaml:2" in note for note in first.notes)
    assert prepare(tmp_path, [overlay]).notes == first.notes


def test_a_release_is_compiled_once(tmp_path: Path) -> None:
    """However many messages ask for it."""
    asked: list[str] = []

    def counting(release: str, known: Knowledge) -> Any:
        asked.append(release)
        return compiled(release, known)

    old, new = with_tool("old"), with_tool("new")
    Releases(tmp_path, old, compiled=counting)
    today = Releases(tmp_path, new, compiled=counting)
    for _ in range(3):
        assert today.get(old.id) is not None
        assert today.get(new.id) is today.current
    assert asked == [old.id, new.id, old.id]
    assert today.get("unknown") is None


def seen_by(seen: list[str]) -> Core:
    """The small core, noting which release each step saw."""
    def noting(job: Job, event: Event, context: Any) -> Any:
        seen.append(context.release.id)
        return step(job, event, context)

    return replace(SMALL, step=noting)


async def test_a_job_stays_on_its_release(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The packs change overnight: the open job goes on with yesterday's, a new one begins with today's."""
    clock, seen = Clock(), list[str]()
    old, new = with_tool("old"), with_tool("new")
    for today, text in ((old, "washer"), (new, "still no spin"), (new, "new dryer")):
        monkeypatch.setattr("tests.service.crew.prepared", lambda today=today: today)
        with house(tmp_path, clock, seen_by(seen)) as service:
            rui, _ = sit(service, "Rui", clock)
            await tell(service, typed(rui, text, clock))
    assert seen == [old.id, old.id, new.id]


async def test_a_lost_release_moves_the_job_with_a_word(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The old release is gone from the folder: the job moves on to today's once, and the tech is told once."""
    clock, seen = Clock(), list[str]()
    old, new = with_tool("old"), with_tool("new")
    lines: list[str] = []
    for today, text in ((old, "washer"), (new, "no spin"), (new, "leaks")):
        monkeypatch.setattr("tests.service.crew.prepared", lambda today=today: today)
        with house(tmp_path, clock, seen_by(seen)) as service:
            rui, screen = sit(service, "Rui", clock)
            await tell(service, typed(rui, text, clock))
            lines += screen.lines()
        (tmp_path / "releases" / f"{old.id}.json").unlink(missing_ok=True)
    assert seen == [old.id, new.id, new.id]
    assert lines == ["1: washer", "desk.release_moved", "2: no spin", "3: leaks"]


def test_a_folder_that_cannot_be_written(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """Knowledge is used all the same, and the log says why it will be read again."""
    (tmp_path / "file").write_text("in the way")
    assert prepare(tmp_path / "file" / "cache").knowledge.packs
    assert "could not be kept" in caplog.text


def test_the_key_covers_our_own_packs(packs: Path) -> None:
    """A changed byte in a pack that comes with the program is another key, too."""
    before = source_key()
    file = next(packs.glob("top_load_washer/*.yaml"))
    file.write_bytes(file.read_bytes() + b"\n")
    assert source_key() != before
