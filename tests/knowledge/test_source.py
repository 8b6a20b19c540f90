"""Values read from YAML: the same under both of PyYAML's readers, never a surprise, always with a line."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from knowledge import nodes
from knowledge.likelihood import WORDS, distribution
from knowledge.loader import load
from knowledge.source import merge_entry, read_yaml
from knowledge.units import si_value
from tests.knowledge.kettle import CHECKS, FAMILY, FAULTS, kettle

LOADERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if hasattr(yaml, "CSafeLoader") else [])]
SAME_FOLDER = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


@pytest.fixture(params=LOADERS, ids=lambda loader: loader.__name__)
def reader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Either of the readers: which one there is depends on how PyYAML was built."""
    monkeypatch.setattr(nodes, "_Loader", nodes.untagged(request.param))


@pytest.mark.usefixtures("reader")
def test_words_of_the_trade_stay_words(tmp_path: Path) -> None:
    """`power: off` is a word; numbers, true and null are themselves; quotes make text of anything."""
    file = tmp_path / "a.yaml"
    file.write_text("a: {off: off, yes: yes, no: no, n: 3, f: -1.5e3, t: true, z: null, e: , q: '3', d: \"null\"}\n"
                    "b: 1_000\nc: 0x10\nd: 12:30\n")
    tree, findings = read_yaml(file)
    assert findings == []
    assert tree.values["a"] == {"off": "off", "yes": "yes", "no": "no", "n": 3, "f": -1500.0, "t": True, "z": None,
                                "e": None, "q": "3", "d": "null"}
    assert (tree.values["b"], tree.values["c"], tree.values["d"]) == ("1_000", "0x10", "12:30")


@pytest.mark.usefixtures("reader")
def test_every_value_knows_its_line(tmp_path: Path) -> None:
    """Keys, list items and nested values."""
    file = tmp_path / "a.yaml"
    file.write_text("a:\n  b:\n    - one\n    - two\n  c: >-\n    long\n    text\nd: 1\n")
    tree, _ = read_yaml(file)
    lines = {place: spot.line for place, spot in tree.spots.items()}
    assert (lines[("a", "b")], lines[("a", "b", 1)], lines[("a", "c")], lines[("d",)]) == (2, 4, 5, 8)
    assert tree.spot(("a", "b", 1, "deeper")).line == 4


YAMLISH = st.text(alphabet="ab:-[]{}&*!'\"|>\n\t #,?%@`", max_size=60)


@SAME_FOLDER
@given(content=st.one_of(st.binary(max_size=60), YAMLISH.map(str.encode)))
def test_any_bytes_give_findings_not_exceptions(tmp_path: Path, content: bytes) -> None:
    """Nothing that can stand in a file makes reading raise, and findings are one line each."""
    file = tmp_path / "a.yaml"
    file.write_bytes(content)
    tree, findings = read_yaml(file)
    assert isinstance(tree.values, dict)
    assert all("\n" not in str(finding) and finding.spot.line >= 1 for finding in findings)


JUNK: st.SearchStrategy[Any] = st.one_of(
    st.none(), st.booleans(), st.integers(-10, 10), st.floats(allow_nan=False), st.text(max_size=5),
    st.just([]), st.just({}), st.just([None]), st.just({"a": {"b": 1}}))


def places(value: Any, place: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """All places in nested values."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [place, *(p for key, item in inner for p in places(item, (*place, key)))]


WHOLE = {**yaml.safe_load(FAMILY), **yaml.safe_load(FAULTS), **yaml.safe_load(CHECKS)}


def test_a_line_break_in_a_value_does_not_break_the_finding(tmp_path: Path) -> None:
    """Quoted in a finding, it is still one line."""
    whole = yaml.safe_load(yaml.safe_dump(WHOLE))
    whole["checks"]["element_ohms"]["results"]["low"]["band"]["to"] = "\n"
    kettle(tmp_path, family=yaml.safe_dump(whole), faults="", checks="")
    found = [str(f) for f in load([tmp_path], families=["kettle"]).findings if "band.to" in f.message]
    assert found and all(len(one.splitlines()) == 1 for one in found)


@settings(SAME_FOLDER, max_examples=120)
@given(data=st.data())
def test_junk_anywhere_in_a_pack_is_a_finding_with_a_line(tmp_path: Path, data: st.DataObject) -> None:
    """Some value of a sound pack becomes something else: the loader says where, or lives with it."""
    whole = yaml.safe_load(yaml.safe_dump(WHOLE))
    *path, last = data.draw(st.sampled_from([p for p in places(whole) if p]))
    at = whole
    for key in path:
        at = at[key]
    at[last] = data.draw(JUNK)
    kettle(tmp_path, family=yaml.safe_dump(whole), faults="", checks="")
    result = load([tmp_path], families=["kettle"])
    mine = [f for f in result.findings if "kettle" in str(f.spot.file)]
    assert ("kettle" in result.knowledge.packs) == (not any(f.error for f in mine))
    assert all(f.spot.file.suffix == ".yaml" and "\n" not in str(f) for f in mine)


TREES = st.recursive(st.one_of(st.none(), st.integers(), st.text(max_size=3)),
                     lambda inner: st.dictionaries(st.sampled_from("abc"), inner, max_size=3), max_leaves=8)
MAPPINGS = st.dictionaries(st.sampled_from("abc"), TREES, max_size=3)


@given(MAPPINGS, MAPPINGS)
def test_merging_twice_is_merging_once(base: dict[str, Any], own: dict[str, Any]) -> None:
    """The upper layer wins everywhere, and laying it on again changes nothing."""
    merged = merge_entry(base, own)
    assert merge_entry(merged, own) == merged
    assert merge_entry(base, {}) == base and merge_entry({}, own) == own
    assert set(merged) == set(base) | set(own)


@pytest.mark.parametrize(("text", "value"), [
    ("1.2 kohm", 1200), ("1.2kohm", 1200), ("2 Mohm", 2e6), ("450 milliohm", 0.45), ("45 min", 2700), ("90 s", 90),
    ("150 degF", (150 + 459.67) * 5 / 9 - 273.15), ("30 uF", 30), ("120 V", 120), (17, 17), ("8", 8),
])
def test_units_become_the_numbers_a_pack_keeps(text: object, value: float) -> None:
    """Base units: ohm, volt, ampere, second, degree Celsius; microfarad stays microfarad."""
    read = si_value(text)
    assert isinstance(read, int | float) and math.isclose(read, value, rel_tol=1e-9)


@pytest.mark.parametrize("text", [
    "1,2 kohm", "1,200", "", "many", "5 parsecs", "ohm ohm ohm /", "1.2.3", "1.2k ohm", "6 - 7 ohm", "__import__('os')",
])
def test_what_is_no_number_with_a_unit_is_refused(text: str) -> None:
    """With the form to write."""
    with pytest.raises(ValueError, match=r"write e\.g\. 1200 or '1\.2 kohm'"):
        si_value(text)


RESULTS = ("a", "b", "c", "d")


@given(st.dictionaries(st.sampled_from(RESULTS), st.one_of(st.sampled_from(list(WORDS)), st.floats(0, 1)), max_size=4))
def test_a_row_of_likelihoods_is_a_distribution(said: dict[str, Any]) -> None:
    """It sums to 1, nothing is impossible, and what was said more likely is not less likely."""
    row = distribution(said, RESULTS)
    assert list(row) == list(RESULTS) and math.isclose(sum(row.values()), 1)
    assert min(row.values()) > 0
    number = {key: WORDS.get(value, value) if isinstance(value, str) else value for key, value in said.items()}
    assert all(row[a] >= row[b] for a in said for b in said if number[a] > number[b])


def test_results_left_out_share_the_rest() -> None:
    """0.6 said, 0.4 left for two."""
    assert distribution({"a": 0.6}, ("a", "b", "c")) == pytest.approx({"a": 0.6, "b": 0.2, "c": 0.2})
