"""A small family of machines that no pack covers, for the tests of the loader."""

from __future__ import annotations

from pathlib import Path

from knowledge.loader import Loaded, load

FAMILY = """\
family:
  id: kettle
  name: kettle
  names: {en: [kettle, water kettle]}
  variants:
    heat:
      ask: "Is there a bare coil in the water?"
      values:
        coil: {name: bare coil}
        plate: {name: hidden plate}
  combinations:
    - {heat: coil, share: 0.4}
    - {heat: plate, share: 0.6}
  safety_card: ["Unplug before it is turned over.", "Let it cool."]
  prove_dead: "Pull the plug, keep it in sight."
  watch: watch_boil
  menu:
    - {label: Stays cold, complaints: [no_heat]}
  closing: ["Lid on, dry outside."]
  make_safe: "Unplug it and empty it."
  unknown: 0.05
complaints:
  no_heat:
    label: Stays cold
    says: no heat
    works: heats
    phrases: {en: [stays cold, no heat, wont boil, water is cold, not heating]}
    proof: "Boil one litre to the click."
  trips:
    label: Trips
    says: trips the breaker
    works: breaker holds
    phrases: {en: [trips the breaker, pops the breaker, breaker goes, trips right away, kills the power]}
    proof: "Boil one litre on the same outlet."
covers:
  base: {name: the base plate, open_minutes: 3, close_minutes: 3, how: Three screws from below.}
"""
FAULTS = """\
faults:
  element.open:
    name: open element
    frequency: 5
    shows: {no_heat: always}
    repair:
      name: Replace the element
      minutes: 20
      cost: low
      parts: [element]
      access: base
      cautions: [Unplugged and cold.]
      steps: [Base off, element out, new one in.]
  element.grounded:
    name: grounded element
    frequency: 3
    shows: {trips: always, no_heat: sometimes}
    unsafe: true
    make_safe: Unplug it and tag it.
    repair: swap_element
  cutout.tripped:
    name: cutout tripped
    frequency: 2
    shows: {no_heat: usually, trips: 0.02}
    repair: swap_element
repairs:
  swap_element:
    name: Replace the element
    minutes: 25
    cost: low
    parts: [element]
    cautions: [Unplugged and cold.]
    steps: [Out with the old, in with the new.]
"""
CHECKS = """\
checks:
  watch_boil:
    name: one boil
    ask: "Switch it on with a cup of water in it. What does it do?"
    kind: run
    power: run
    minutes: 2
    results:
      silent: {label: Nothing, says: does nothing}
      warms: {label: Warms up, says: warms up}
    likelihoods:
      normal: {warms: always}
      element.open: {silent: always}
  element_ohms:
    name: element resistance
    ask: "Unplugged: what do the two pins read?"
    kind: meter
    power: off
    access: base
    tools: [meter]
    minutes: 3
    cautions: [Unplugged, plug in sight.]
    results:
      low: {label: Near zero, says: shorted, band: {to: 5}}
      good: {label: As it should be, says: reads right, band: {from: 5, to: 0.1 kohm}}
      high: {label: Too high, says: reads too high, band: {from: 0.1 kohm}}
      open: {label: Open, says: open, band: {open: true}}
    reading: {quantity: ohm, pins: "the two flat pins"}
    likelihoods:
      normal: {good: always}
      element.open: {open: always}
"""


def write(folder: Path, **files: str) -> Path:
    """A knowledge folder with the given files of the family `kettle` (name without .yaml = text)."""
    family = folder / "kettle"
    family.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (family / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def kettle(folder: Path, *, family: str = FAMILY, faults: str = FAULTS, checks: str = CHECKS) -> Path:
    """The whole pack, with some of its files replaced."""
    return write(folder, family=family, faults=faults, checks=checks)


def loaded(*folders: Path) -> Loaded:
    """Only the kettle, from `folders` laid on top of each other."""
    return load(folders, families=["kettle"])


def said(result: Loaded) -> list[str]:
    """The errors about the kettle as 'file.yaml:line: message', warnings left out."""
    return [f"{e.spot.file.name}:{e.spot.line}: {e.message}" for e in result.errors if "kettle" in str(e.spot.file)]


def changed(text: str, old: str, new: str) -> str:
    """`text` with its one `old` replaced, so that a test that no longer fits fails."""
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    return text.replace(old, new)


def line_of(text: str, part: str) -> int:
    """The line (1 is the first) where `part` stands."""
    return text[: text.index(part)].count("\n") + 1
