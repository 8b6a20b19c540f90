"""A firm's own knowledge on top of ours: the guide's example, changed and retired entries, updates, a visit on it."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import diagnose
from bot.service.config import load_config
from bot.service.releases import prepare, source_key
from knowledge.loader import load, packs_folder
from tests.adapters.command import chargehand, refused

GUIDE = Path(__file__).parents[2] / "DEVELOPERS.md"
FAMILY = "top_load_washer"


@pytest.fixture
def hazel(tmp_path: Path) -> Path:
    """The firm's folder as the contributors' guide has it written."""
    text = GUIDE.read_text(encoding="utf-8")
    example = re.search(r"### Add a fault in ten minutes\n.*?```yaml\n(.*?)```", text, re.DOTALL)
    assert example is not None
    folder = tmp_path / "hazel"
    (folder / FAMILY).mkdir(parents=True)
    (folder / FAMILY / "ours.yaml").write_text(example[1], encoding="utf-8")
    return folder


def test_the_guides_example_is_sound(hazel: Path) -> None:
    """No finding speaks of it: a reader who copies it sees what the guide promises."""
    done = chargehand("knowledge", "check", "--pack", str(hazel), "--family", FAMILY, "--json")
    assert done.returncode == 0
    findings = json.loads(done.stdout)["findings"]
    assert [f["message"] for f in findings if "frozen" in f["message"] or "hazel" in f["file"]] == []


def test_the_new_fault_is_found_by_its_check(hazel: Path) -> None:
    """A hard hose makes it the leading one."""
    model = compile_pack(load([hazel], families=[FAMILY]).knowledge.packs[FAMILY])
    found = diagnose(model, {"family": FAMILY, "complaints": ["no_drain"], "results": {
        "watch_drain": "runs_no_flow", "drain_end_bucket": "none", "hose_squeeze": "hard"}})
    assert found["faults"][0]["id"] == "drain_hose.frozen"


def test_the_outline_shows_the_new_check(hazel: Path) -> None:
    """It is asked somewhere in the visits that do not drain."""
    done = chargehand("knowledge", "trace", "--pack", str(hazel), "--family", FAMILY, "--complaint", "no_drain",
                      "--depth", "6", "--least", "1", "--json")
    assert done.returncode == 0 and '"hose_squeeze"' in done.stdout


def test_an_overlay_changes_single_keys_and_retires_entries(hazel: Path) -> None:
    """The rest of a changed entry stays ours; what referred to a retired one goes with it."""
    (hazel / FAMILY / "changes.yaml").write_text(
        "faults:\n  drain_pump.blocked: {frequency: 90}\nchecks:\n  watch_drain: {photo: null, minutes: 7}\n"
        "retire: {checks: [ground_bond]}\n", encoding="utf-8")
    ours = load(families=[FAMILY]).knowledge.packs[FAMILY]
    loaded = load([hazel], families=[FAMILY])
    assert [str(e) for e in loaded.errors] == []
    pack = loaded.knowledge.packs[FAMILY]
    assert pack.faults["drain_pump.blocked"].frequency == 90
    assert pack.faults["drain_pump.blocked"].shows == ours.faults["drain_pump.blocked"].shows
    assert (pack.checks["watch_drain"].minutes, pack.checks["watch_drain"].photo) == (7, "")
    assert pack.checks["watch_drain"].ask == ours.checks["watch_drain"].ask
    assert "ground_bond" not in pack.checks
    assert all(cause.check != "ground_bond" for fault in pack.faults.values() for cause in fault.root_causes)


def test_an_update_of_ours_leaves_the_overlay_on_top(hazel: Path, tmp_path: Path,
                                                     monkeypatch: pytest.MonkeyPatch) -> None:
    """A newer folder of ours, with other numbers: the firm's keys still win, our new keys come through."""
    changes = "faults:\n  drive_belt.worn: {frequency: 90}\n"
    (hazel / FAMILY / "changes.yaml").write_text(changes, encoding="utf-8")
    newer = tmp_path / "newer"
    shutil.copytree(packs_folder(), newer)
    faults = newer / FAMILY / "faults_drive.yaml"
    text, changed = re.subn(r"(\n  drive_belt\.worn:\n    name: )[^\n]*", r"\1belt, newly worded",
                            faults.read_text(encoding="utf-8"))
    assert changed == 1
    faults.write_text(text, encoding="utf-8")
    before = source_key([hazel])
    monkeypatch.setattr("knowledge.loader.packs_folder", lambda: newer)
    monkeypatch.setattr("bot.service.releases.packs_folder", lambda: newer)
    fault = load([hazel], families=[FAMILY]).knowledge.packs[FAMILY].faults["drive_belt.worn"]
    assert (fault.name, fault.frequency) == ("belt, newly worded", 90)
    assert source_key([hazel]) != before


def test_a_folder_of_one_family_is_never_stale(hazel: Path, tmp_path: Path) -> None:
    """Given the family's own folder instead of the one above it, a changed byte is another release all the same."""
    family = hazel / FAMILY
    first = prepare(tmp_path / "releases", [family])
    assert "drain_hose.frozen" in first.knowledge.packs[FAMILY].faults
    file = family / "ours.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("frequency: 6 ", "frequency: 7 "), encoding="utf-8")
    second = prepare(tmp_path / "releases", [family])
    assert second.knowledge.packs[FAMILY].faults["drain_hose.frozen"].frequency == 7


def test_the_settings_name_the_folder(hazel: Path) -> None:
    """Relative to the settings file, as in the guide."""
    settings = hazel.parent / "chargehand.toml"
    settings.write_text('[firm]\noverlay = "hazel"\n', encoding="utf-8")
    assert load_config(settings).firm.overlay == hazel


def test_a_visit_in_the_terminal_runs_on_it(hazel: Path) -> None:
    """`try --pack`: told of a frozen hose's check by its words, the bot knows it."""
    lines = "top load washer wont drain\nwhy\n"
    done = chargehand("try", "--pack", str(hazel), "--seed", "1", given=lines)
    assert done.returncode == 0 and "Traceback" not in done.stderr
    assert "bot> " in done.stdout
    assert "does not exist" in refused(chargehand("try", "--pack", str(hazel / "nowhere"), given=""))


def test_a_slip_in_the_overlay_leaves_the_family_out_and_says_where(hazel: Path) -> None:
    """One line with file and line; the other families still load."""
    file = hazel / FAMILY / "ours.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("kind: feel", "kind: fell"), encoding="utf-8")
    done = chargehand("knowledge", "check", "--pack", str(hazel))
    assert done.returncode == 1
    (line,) = [line for line in done.stdout.splitlines() if "hazel" in line]
    assert re.search(r"ours\.yaml:\d+: .*'fell' is none of .*nearest is 'feel'", line)
