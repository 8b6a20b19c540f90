"""Packs load whole or not at all, and an author is told file, line and what to write."""

from __future__ import annotations

from pathlib import Path

import pytest

from knowledge.loader import layer, load, packs_folder
from tests.knowledge.kettle import CHECKS, FAMILY, FAULTS, changed, kettle, line_of, loaded, said, write


def test_a_sound_pack_loads(tmp_path: Path) -> None:
    """The test family has no errors and its bands are in ohms."""
    result = loaded(kettle(tmp_path))
    assert said(result) == []
    bands = {key: r.band for key, r in result.knowledge.packs["kettle"].checks["element_ohms"].results.items()}
    assert bands["good"] is not None and (bands["good"].low, bands["good"].high) == (5, 100)


def test_unknown_key_names_the_nearest(tmp_path: Path) -> None:
    """A misspelt key is found on its line, with the key that was meant."""
    text = changed(CHECKS, "    tools: [meter]", "    tolls: [meter]")
    result = loaded(kettle(tmp_path, checks=text))
    where = line_of(text, "tolls")
    assert said(result) == [f"checks.yaml:{where}: checks.element_ohms.tolls: unknown key 'tolls': nearest is 'tools'"]
    assert result.knowledge.packs == {}


def test_missing_keys_are_all_named(tmp_path: Path) -> None:
    """A repair without minutes and steps is two findings, and nothing about 'valid string'."""
    text = changed(FAULTS, "      minutes: 20\n", "")
    text = changed(text, "      steps: [Base off, element out, new one in.]\n", "")
    messages = said(loaded(kettle(tmp_path, faults=text)))
    assert [m.split(": ", 1)[1] for m in messages] == [
        "faults.element.open.repair: 'minutes' is missing: add it",
        "faults.element.open.repair: 'steps' is missing: add it",
    ]


def test_a_word_outside_the_list_names_the_list(tmp_path: Path) -> None:
    """A wrong power state lists the four that there are."""
    text = changed(CHECKS, "    power: off", "    power: of")
    (message,) = said(loaded(kettle(tmp_path, checks=text)))
    assert "'of' is none of any, run, off, live: nearest is 'off'" in message


@pytest.mark.parametrize(("old", "new", "told"), [
    ("    minutes: 3\n", "    minutes: soon\n", "write a number (found 'soon')"),
    ("    tools: [meter]\n", "    tools: {a: b}\n", "write a list: [one, two]"),
    ("to: 5}", "to: 5 parsecs}", "'5 parsecs' is no number with a unit: write e.g. 1200 or '1.2 kohm'"),
    ("    name: element resistance\n", "    name: 5\n", "write text; in quotes if it looks like a number (found 5)"),
    ("    minutes: 3\n", "    minutes: 0\n", "should be greater than 0 (found 0)"),
    ("label: Open,", "label: An open circuit through and through,", "at most 24 characters"),
])
def test_a_wrong_value_says_what_to_write(tmp_path: Path, old: str, new: str, told: str) -> None:
    """Each kind of wrong value gets one finding, on its own line, in words of the pack."""
    text = changed(CHECKS, old, new)
    (message,) = said(loaded(kettle(tmp_path, checks=text)))
    assert told in message
    assert message.startswith(f"checks.yaml:{line_of(text, new.strip())}:")


def test_an_empty_entry_is_not_dropped_in_silence(tmp_path: Path) -> None:
    """A check with nothing under it is an error, not a check less."""
    (message,) = said(loaded(kettle(tmp_path, checks=CHECKS + "  third:\n")))
    assert "checks.third: write its keys under it, one a line (found nothing)" in message


def test_broken_yaml_names_the_line_and_keeps_the_family_out(tmp_path: Path) -> None:
    """A colon too many is named with its line; the half pack that is left is not used."""
    text = changed(CHECKS, "name: one boil", "name: one: boil")
    result = loaded(kettle(tmp_path, checks=text))
    assert said(result)[0].startswith(f"checks.yaml:{line_of(text, 'one: boil')}: not valid YAML")
    assert "kettle" not in result.knowledge.packs


def test_a_broken_family_leaves_the_others_alone(tmp_path: Path) -> None:
    """The toaster is broken, the kettle loads."""
    kettle(tmp_path)
    (tmp_path / "toaster").mkdir()
    (tmp_path / "toaster" / "family.yaml").write_text("family: [", encoding="utf-8")
    result = load([tmp_path], families=["kettle", "toaster"])
    assert list(result.knowledge.packs) == ["kettle"]
    assert any(e.spot.file.parent.name == "toaster" for e in result.errors)


def test_an_entry_stands_once(tmp_path: Path) -> None:
    """The same check in two files of a folder, or twice in one, is an error that names both places."""
    again = "checks:\n" + CHECKS[CHECKS.index("  watch_boil"):CHECKS.index("  element_ohms")]
    messages = said(loaded(write(kettle(tmp_path), more=again)))
    assert any("'watch_boil' stands already in" in m and m.startswith("more.yaml:2:") for m in messages)
    twice = CHECKS + CHECKS[CHECKS.index("  watch_boil"):CHECKS.index("  element_ohms")]
    messages = said(loaded(kettle(tmp_path / "b", checks=twice)))
    assert any("'watch_boil' stands here twice: keep one" in m for m in messages)


def test_an_unknown_section_is_named(tmp_path: Path) -> None:
    """`check:` for `checks:` is told with the nearest section."""
    messages = said(loaded(kettle(tmp_path, checks="check:\n" + CHECKS.split("\n", 1)[1])))
    assert any("unknown section 'check': nearest is 'checks'" in m for m in messages)


@pytest.mark.parametrize("content", [
    b"", b"\n\n", b"# only a comment\n", b"checks:\n", b"checks: []\n", b"- a\n- b\n", b"just words\n",
    b"checks: {a: [}\n",
    b"\xff\xfe\x00a", b"checks:\n  a: \x00\n", b"\tchecks: {}\n", b"a: &a [*a]\n", b"checks: &a {b: *a}\n",
    b"a: " + b"[" * 3000 + b"\n", b"? [a, b]\n: c\n", b"!!python/object:os.system {}\n", b"a: b\n---\nc: d\n",
    b"checks: {a: " + b"9" * 6000 + b"}\n", b"\xef\xbb\xbfcheckss: {}\n",
])
def test_no_file_can_make_the_loader_fall_over(tmp_path: Path, content: bytes) -> None:
    """Whatever stands in a file, the outcome is findings; the rest of the folder is still read."""
    kettle(tmp_path)
    (tmp_path / "kettle" / "odd.yaml").write_bytes(content)
    result = loaded(tmp_path)
    assert all(e.spot.file.name == "odd.yaml" for e in result.errors if "kettle" in str(e.spot.file))
    assert ("kettle" in result.knowledge.packs) == (not said(result))


def test_a_folder_called_like_a_file_is_a_finding(tmp_path: Path) -> None:
    """`odd.yaml` may be a folder: it cannot be read, and that is said."""
    kettle(tmp_path)
    (tmp_path / "kettle" / "odd.yaml").mkdir()
    assert any("odd.yaml:1: cannot be read" in m for m in said(loaded(tmp_path)))


def test_the_id_is_the_name_of_the_folder(tmp_path: Path) -> None:
    """A family that calls itself otherwise than its folder would be lost later: told at once."""
    messages = said(loaded(kettle(tmp_path, family=changed(FAMILY, "id: kettle", "id: ketle"))))
    assert messages == ["family.yaml:2: write id: kettle, the name of the folder"]


def test_one_familys_folder_is_a_layer_of_its_own(tmp_path: Path) -> None:
    """`--pack kettle/` means the same as `--pack` with the folder around it."""
    kettle(tmp_path)
    assert dict(layer(tmp_path / "kettle")) == {"kettle": tmp_path / "kettle"}
    assert dict(layer(tmp_path)) == {"kettle": tmp_path / "kettle"}
    assert "kettle" in loaded(tmp_path / "kettle").knowledge.packs


def test_a_folder_that_is_not_there_is_an_error_of_the_caller(tmp_path: Path) -> None:
    """`load` does not hide that a path is wrong."""
    with pytest.raises(OSError):
        load([tmp_path / "nowhere"], families=[])


def test_our_own_packs_are_found_without_a_working_folder() -> None:
    """The packs come with the program."""
    assert (packs_folder() / "common").is_dir()
