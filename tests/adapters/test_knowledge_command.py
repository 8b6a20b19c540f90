"""`chargehand knowledge` as a pack's author meets it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema
import pytest
import yaml

from knowledge.loader import packs_folder
from knowledge.source import read_yaml
from tests.adapters.command import chargehand, refused
from tests.knowledge.kettle import CHECKS, FAMILY, FAULTS, changed, kettle, write

CATALOGUE = """\
families:
  kettle:
    variants: {heat: {coil: a bare coil, plate: a hidden plate, gas: a flame}}
    complaints: [no_heat, sings]
    faults:
      element.open: {only: {heat: coil}}
      element.grounded: {}
      lid.stuck: {}
"""


def test_a_sound_pack_passes_from_any_folder(tmp_path: Path) -> None:
    """Nothing is said of it on standard output."""
    kettle(tmp_path / "packs")
    done = chargehand("knowledge", "check", "--pack", "packs", cwd=tmp_path)
    assert [line for line in done.stdout.splitlines() if "packs/kettle" in line] == []


def test_an_error_is_one_line_with_file_and_line_and_exit_1(tmp_path: Path) -> None:
    """In the form that editors jump to, with the path as seen from here."""
    kettle(tmp_path, checks=changed(CHECKS, "    power: off", "    power: of"))
    done = chargehand("knowledge", "check", "--pack", ".", cwd=tmp_path)
    assert done.returncode == 1
    (line,) = [line for line in done.stdout.splitlines() if "kettle/" in line]
    assert re.fullmatch(r"kettle/checks\.yaml:\d+: checks\.element_ohms\.power: 'of' is none of .*", line)
    assert re.search(r"[1-9]\d* errors?, \d+ warnings?", done.stderr)


def test_the_catalogue_must_be_covered(tmp_path: Path) -> None:
    """Each complaint, fault, variant and limit that is missing or differs is named."""
    kettle(tmp_path)
    (tmp_path / "catalogue.yaml").write_text(CATALOGUE)
    done = chargehand("knowledge", "check", "--catalogue", "catalogue.yaml", "--pack", ".", cwd=tmp_path)
    assert done.returncode == 1
    told = [line.split(": ", 1)[1] for line in done.stdout.splitlines() if ": kettle: " in line]
    assert sorted(told) == [
        "kettle: 'element.grounded' differs from the contract in licensed or unsafe",
        "kettle: 'element.open' must have only: {'heat': ['coil']}",
        "kettle: no entry for 'lid.stuck' in faults",
        "kettle: no entry for 'sings' in complaints",
        "kettle: no variant heat: gas",
    ]


@pytest.mark.parametrize("content", ["", "families: 3\n", "- a\n", "families: {kettle: 3}\n"])
def test_a_file_that_is_no_catalogue_is_told(tmp_path: Path, content: str) -> None:
    """One finding that says what to write, no traceback."""
    (tmp_path / "odd.yaml").write_text(content)
    done = chargehand("knowledge", "check", "--catalogue", "odd.yaml", cwd=tmp_path)
    assert done.returncode == 1 and "Traceback" not in done.stderr
    assert [line for line in done.stdout.splitlines() if line.startswith("odd.yaml:1: ")]


def test_bad_paths_are_one_line(tmp_path: Path) -> None:
    """A folder that is not there, a folder without packs, a catalogue that is not there."""
    assert "does not exist" in refused(chargehand("knowledge", "check", "--pack", str(tmp_path / "nowhere")))
    assert "no packs in" in refused(chargehand("knowledge", "check", "--pack", str(tmp_path)))
    assert "does not exist" in refused(chargehand("knowledge", "check", "--catalogue", str(tmp_path / "no.yaml")))


def test_list_shows_a_family(tmp_path: Path) -> None:
    """For people, and as JSON for programs, with checks and their results."""
    kettle(tmp_path)
    text = chargehand("knowledge", "list", "--family", "kettle", "--pack", str(tmp_path)).stdout
    assert re.search(r"element_ohms +element resistance: low, good, high, open", text)
    done = chargehand("knowledge", "list", "--family", "kettle", "--json", "--pack", str(tmp_path))
    assert done.returncode == 0
    outline = json.loads(done.stdout)["kettle"]
    assert set(outline["faults"]) == {"element.open", "element.grounded", "cutout.tripped"}
    assert outline["faults"]["cutout.tripped"]["repair"] == "swap_element"
    assert list(outline["checks"]["watch_boil"]["results"]) == ["silent", "warms"]


def test_an_unknown_or_broken_family_is_told(tmp_path: Path) -> None:
    """With the nearest name, or with the reason why it is left out."""
    kettle(tmp_path)
    lay = ("--pack", str(tmp_path))
    assert "nearest is 'kettle'" in refused(chargehand("knowledge", "list", "--family", "ketle", *lay))
    write(tmp_path, family=changed(FAMILY, "id: kettle", "id: 5"))
    message = refused(chargehand("knowledge", "list", "--family", "kettle", *lay))
    assert "its pack has errors (see chargehand knowledge check)" in message


def test_the_schema_accepts_every_pack_file_and_sees_a_slip(tmp_path: Path) -> None:
    """All files that ship are valid by it; a misspelt key is not."""
    done = chargehand("knowledge", "schema")
    schema = json.loads(done.stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for text in (FAMILY, FAULTS, CHECKS):
        validator.validate(yaml.safe_load(text.replace("power: off", "power: 'off'")))
    for file in packs_folder().rglob("*.yaml"):
        tree, _ = read_yaml(file)
        problems = [f"{file.name} {list(e.absolute_path)}: {e.message}" for e in validator.iter_errors(tree.values)]
        assert problems == []
    wrong = yaml.safe_load(CHECKS)
    wrong["checks"]["watch_boil"]["minuts"] = 3
    assert not validator.is_valid(wrong)
