"""Mistakes that are sound YAML and sound types, and still would mislead the talk."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.knowledge.kettle import CHECKS, FAMILY, FAULTS, changed, kettle, loaded, said

REFERENCES = [
    ("family", "watch: watch_boil", "watch: watch_bowl", "no check 'watch_bowl': nearest is 'watch_boil'"),
    ("family", "complaints: [no_heat]}", "complaints: [no_heart]}", "no complaint 'no_heart': nearest is 'no_heat'"),
    ("family", "heat: plate, share: 0.6", "heat: plat, share: 0.6", "no value of heat 'plat': nearest is 'plate'"),
    ("family", "{heat: plate, share: 0.6}", "{share: 0.6}", "name one value of each of heat"),
    ("family", "{heat: plate, share: 0.6}", "{heat: plate}", "add `share`, the share of machines seen, above 0"),
    ("family", "heat: coil, share: 0.4", "heat: plate, share: 0.4", "the same machine stands here twice"),
    ("family", "how: Three screws from below.}", "how: Screws., behind: base}", "'base' would have to be open before"),
    ("family", "  unknown: 0.05", "  wait_after_off: {heat: gas, minutes: 5}\n  unknown: 0.05",
     "no value of heat 'gas'"),
    ("family", "  unknown: 0.05", "  wait_after_off: {heat: coil}\n  unknown: 0.05", "add `minutes`, a number"),
    ("checks", "What does it do?\"\n", "What does it do?\"\n    no: silens\n",
     "no result 'silens': nearest is 'silent'"),
    ("faults", "shows: {no_heat: always}", "shows: {no_heet: always}", "no complaint 'no_heet': nearest is 'no_heat'"),
    ("faults", "trips: 0.02", "trips: 1.2", "1.2 is no probability: write a number from 0 to 1"),
    ("faults", "    name: open element\n", "    name: open element\n    only: {heat: gas}\n", "no value of heat 'gas'"),
    ("faults", "    name: open element\n", "    name: open element\n    only: {hat: coil}\n", "no variant 'hat'"),
    ("faults", "make_safe: Unplug it and tag it.", "note: Shock.", "licensed, trade or unsafe: add `make_safe`"),
    ("faults", "      access: base\n", "      access: bass\n", "no cover 'bass': nearest is 'base'"),
    ("faults", "      cautions: [Unplugged and cold.]\n", "      cautions: []\n", "needs its cautions"),
    ("faults", "frequency: 2", "frequency: 2\n    root_causes: [{why: Lime.}]", "give either `check` (an id) or `ask`"),
    ("faults", "frequency: 2", "frequency: 2\n    root_causes: [{why: Lime., check: lime}]", "no check 'lime'"),
    ("faults", "frequency: 2", "frequency: 2\n    checks: {watch_boil: {wams: often}}",
     "no result 'wams': nearest is 'warms'"),
    ("faults", "frequency: 5", "frequency: 5\n    checks: {watch_boil: {silent: often}}", "said by the check too"),
    ("checks", "    tools: [meter]", "    tools: [metre]", "no tool 'metre': nearest is 'meter'"),
    ("checks", "      normal: {warms: always}", "      element.opne: {warms: always}", "add `normal`"),
    ("checks", "element.open: {silent: always}", "element.opne: {silent: always}", "nearest is 'element.open'"),
    ("checks", "element.open: {silent: always}", "element.open: {silent: 0.7, warms: 0.6}", "add up to no more than 1"),
    ("checks", "    power: run\n", "    power: live\n", "live work needs its cautions"),
    ("checks", "    kind: run\n    power: run\n", "    kind: run\n    power: any\n",
     "it runs or burns: write `power: run`"),
    ("checks", "label: Warms up", "label: nothing", "another result has the label"),
    ("checks", "band: {from: 5, to: 0.1 kohm}", "band: {from: 5, to: 90}",
     "bands leave a gap or overlap at 90.0 / 100.0"),
    ("checks", "band: {from: 5, to: 0.1 kohm}", "band: {from: 5, to: 1}", "the band goes from 5.0 to 1.0: swap them"),
    ("checks", "band: {to: 5}", "band: {from: 1, to: 5}", "the lowest band has no `from`, the highest no `to`"),
    ("checks", "    reading: {quantity: ohm, pins: \"the two flat pins\"}\n", "",
     "bands need a `reading` with its quantity"),
    ("checks", "{quantity: ohm,", "{quantity: ohm, matches: other,", "no check 'other'"),
    ("checks", "{quantity: ohm,", "{quantity: ohm, relative: true,", "relative bands need `expect`"),
    ("checks", "{quantity: ohm,", "{quantity: ohm, expect: {model: heater, default: {volts: 240}},",
     "`default` of a heater needs watts"),
]


@pytest.mark.parametrize(("file", "old", "new", "told"), REFERENCES)
def test_a_mistake_keeps_the_family_out_and_is_told(tmp_path: Path, file: str, old: str, new: str, told: str) -> None:
    """Each is an error with a line, and the family does not load."""
    texts = {"family": FAMILY, "faults": FAULTS, "checks": CHECKS}
    texts[file] = changed(texts[file], old, new) if texts[file].count(old) == 1 else texts[file].replace(old, new, 1)
    result = loaded(kettle(tmp_path, **texts))
    messages = said(result)
    assert any(told in m and m.startswith(f"{file}.yaml:") for m in messages), messages
    assert "kettle" not in result.knowledge.packs


def test_a_winding_may_be_measured_by_its_neighbour_alone(tmp_path: Path) -> None:
    """Bands that are multiples of another check's reading need no law of physics beside it; of a check that reads
    nothing of the kind they cannot be multiples."""
    twin = CHECKS[CHECKS.index("  element_ohms:"):]
    twin = twin.replace("element_ohms:", "twin_ohms:", 1)
    messages = {}
    for of in ("element_ohms", "watch_boil"):
        alike = changed(twin, "{quantity: ohm,", f"{{quantity: ohm, relative: true, matches: {of},")
        result = loaded(kettle(tmp_path / of, checks=f"{CHECKS.rstrip()}\n{alike}"))
        messages[of] = [message.split(": ", 1)[1] for message in said(result)]
    assert messages == {"element_ohms": [], "watch_boil": ["'watch_boil' reads no ohm: it cannot be alike"]}


def test_a_fault_of_no_machine_is_told(tmp_path: Path) -> None:
    """Limits that no listed combination meets would make an entry that never counts."""
    family = changed(FAMILY, "    - {heat: coil, share: 0.4}\n", "").replace("share: 0.6", "share: 1")
    faults = changed(FAULTS, "    name: open element\n", "    name: open element\n    only: {heat: coil}\n")
    assert any("no machine in `combinations` is like this" in m
               for m in said(loaded(kettle(tmp_path, family=family, faults=faults))))


@pytest.mark.parametrize(("file", "old", "new", "told"), [
    ("family", "share: 0.6", "share: 0.2", "the shares add up to 0.60: they should make 1"),
    ("family", "wont boil, water is cold, not heating]", "cold]", "write at least five ways people say it"),
    ("faults", "shows: {trips: always, no_heat: sometimes}", "shows: {no_heat: sometimes}",
     "fewer than two faults show"),
    ("faults", "shows: {no_heat: usually, trips: 0.02}", "shows: {trips: rarely}", "no complaint is likely"),
    ("faults", "    parts: [element]\n    cautions", "    cautions", "but no parts: name them or write cost: none"),
])
def test_a_warning_does_not_keep_a_family_out(tmp_path: Path, file: str, old: str, new: str, told: str) -> None:
    """What could be better is told; the family loads all the same."""
    texts = {"family": FAMILY, "faults": FAULTS, "checks": CHECKS}
    texts[file] = changed(texts[file], old, new)
    result = loaded(kettle(tmp_path, **texts))
    assert any(told in f.message and not f.error for f in result.findings)
    assert "kettle" in result.knowledge.packs
