"""The shape of a knowledge pack. Every field is documented here; `chargehand knowledge schema` prints it.

A pack is a folder `packs/<family>/` of YAML files. A file holds any of the sections of `Pack`; the files of a
folder are merged, and an entry may stand in one of them only. Ids are fixed by the coverage contract; names,
labels and sentences are what people read, so they are written as a lead hand would say them.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from knowledge.likelihood import Likelihood
from knowledge.units import si_value


class Entry(BaseModel):
    """Base of all entries: unknown keys are errors, entries never change once loaded."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _as_list(value: object) -> object:
    return [value] if isinstance(value, str) else value


OneOrMore = Annotated[tuple[str, ...], BeforeValidator(_as_list, json_schema_input_type=str | tuple[str, ...])]
SiNumber = Annotated[float | None, BeforeValidator(si_value, json_schema_input_type=float | str | None)]
Probability = Annotated[Likelihood, Field(union_mode="left_to_right")]
Phrases = dict[Literal["en", "es"], tuple[str, ...]]
Only = dict[str, OneOrMore]
"""Axis -> the value or values a machine must have. Several axes must all hold."""

PowerState = Literal["any", "run", "off", "live"]
"""any: no matter. run: plugged in, covers on, observed from outside. off: unplugged or breaker locked, proved
dead. live: energised with a cover open, meter or clamp on it: only for people signed off for live tests."""
Quantity = Literal["ohm", "volt_ac", "volt_dc", "microfarad", "amp", "celsius", "minutes", "seconds", "rpm"]
Signoff = Literal["live", "gas", "refrigerant", "lifting"]
CostBand = Literal["none", "low", "medium", "high", "very_high"]
Hazard = Literal["gas", "co", "fire", "injury", "shock", "refrigerant", "flood"]


class VariantValue(Entry):
    """One value of a variant axis, e.g. drive: belt."""

    name: str = Field(description="as said in a sentence: 'belt drive'")
    phrases: Phrases = Field(default={}, description="what a tech may type for it")


class Variant(Entry):
    """One axis in which machines of a family differ."""

    ask: str = Field(description="question for the tech when it matters: how to tell from outside")
    unless: OneOrMore = Field(default=(), description="complaints with which that cannot be told: whether the motor "
                                                      "whines in spin, of a machine that trips")
    values: dict[str, VariantValue]
    either: dict[str, tuple[str, ...]] = Field(default={}, description="what a tech may type that leaves several of "
                                                                       "the values: 'direct drive'")


class Cover(Entry):
    """Something that has to be opened or moved to get at a check or repair."""

    name: str = Field(description="'the front panel', as in a sentence")
    open_minutes: float = Field(gt=0)
    close_minutes: float = Field(ge=0)
    how: str = Field(description="how to open it, one or two sentences")
    cautions: tuple[str, ...] = ()
    behind: OneOrMore = Field(default=(), description="covers that must be open first")
    power: Literal["any", "off"] = "off"
    back: str = Field(default="", description="what must be back in before power, said when it is closed: 'Filter in, "
                                              "cap tight.'")


class MenuItem(Entry):
    """One choice when a tech only says that the machine does not work."""

    label: str
    complaints: tuple[str, ...]


class Family(Entry):
    """What is common to the appliance family."""

    id: str
    name: str = Field(description="'top-load washer'")
    names: Phrases = Field(description="words that name the appliance in a message")
    variants: dict[str, Variant] = {}
    combinations: tuple[dict[str, str | float], ...] = Field(
        default=(), description="the combinations of variants that exist, each with its `share` among machines seen")
    safety_card: tuple[str, ...] = Field(description="opening card: two or three short sentences")
    prove_dead: str = Field(description="how this family is made dead and proved dead")
    may_lack: dict[str, Phrases] = Field(
        default={}, description="what many such machines are built without, and its names: 'no ice maker' passes over "
                                "every check that is `of` it")
    wait_after_off: dict[str, str | float] = Field(
        default={}, description="axis: value that needs a wait after power off, with `minutes`")
    watch: str = Field(description="id of the check that watches one run before anything is opened")
    menu: tuple[MenuItem, ...] = Field(max_length=6)
    closing: tuple[str, ...] = Field(description="closing list: what is put right before leaving")
    make_safe: str = Field(description="what to do with the machine when it is left: unplug, water off, ...")
    make_safe_dead: str | None = Field(default=None, description="the same where it must not have power again")
    unknown: float = Field(gt=0, lt=0.3, description="prior share of visits whose fault no entry describes")
    note: str = ""


class Complaint(Entry):
    """What the machine does, as a customer or tech reports it."""

    label: str = Field(max_length=22, description="button: two or three words, \"Won't spin\"")
    says: str = Field(description="echo in a sentence: 'no spin'")
    works: str = Field(description="echo when denied: 'spins'")
    phrases: Phrases = Field(description="ways people say it, whole phrases, lower case, no negation tricks")
    works_phrases: Phrases = Field(default={}, description="ways people say that just this works or is absent")
    without: OneOrMore = Field(default=(), description="complaints that are not there with this one unless told too: "
                                                       "heat is missed in a dryer that starts and turns")
    works_without: OneOrMore = Field(default=(), description="complaints that are not there where just this works: a "
                                                             "drum that turns was started")
    hazard: Hazard | None = None
    unsafe: str | None = Field(default=None, description="instruction that comes at once where it is told: breaker off")
    proof: str = Field(description="how a repair is proved in the state that failed, with the load that showed it")
    seen_by_watch: bool = Field(default=False, description="watching one run would show it")
    note: str = ""


class RootCause(Entry):
    """What may have caused the fault, to look at before a part goes in."""

    why: str = Field(description="'A belt that glazes early has sometimes been dragging something.'")
    check: str | None = Field(default=None, description="id of the check that settles it")
    ask: str | None = Field(default=None, description="or what to look at, in words")


class Repair(Entry):
    """A repair at the level of one job: replace, clean, adjust. Several faults may share one."""

    name: str = Field(description="imperative: 'Replace the drive belt'")
    minutes: float = Field(gt=0)
    cost: CostBand
    parts: tuple[str, ...] = Field(default=(), description="generic words: 'drive belt'")
    power: Literal["any", "off"] = "off"
    access: OneOrMore = ()
    tools: OneOrMore = ()
    signoff: tuple[Signoff, ...] = ()
    trade: Literal["plumber", "electrician"] | None = None
    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    works: float = Field(default=0.95, gt=0, le=1, description="chance that it cures its fault when done right")
    proof: str | None = Field(default=None, description="proof beyond the complaint's own, if any")
    proof_alone: bool = Field(default=False, description="only `proof` counts, not the complaint's own")
    note: str = ""


class Fault(Entry):
    """What is wrong, at the level of one repair."""

    name: str = Field(description="noun phrase: 'worn drive belt'")
    only: Only = {}
    frequency: float = Field(gt=0, description="relative weight among this family's visits: an estimate")
    licensed: Literal["gas", "refrigerant", "live"] | None = None
    trade: Literal["plumber", "electrician"] | None = None
    unsafe: bool = Field(default=False, description="never left in service: dead, tagged, told")
    shows: dict[str, Probability] = Field(description="complaint -> how likely it shows")
    checks: dict[str, dict[str, Probability]] = Field(
        default={}, description="check -> result -> likelihood, where the check itself does not say it")
    repair: str | Repair
    root_causes: tuple[RootCause, ...] = ()
    make_safe: str | None = Field(default=None, description="licensed, trade or unsafe: what to do meanwhile")
    note: str = Field(default="", description="source or reasoning for the numbers")


class Band(Entry):
    """A range of readings, SI (ohm, V, A, degrees C, s, rpm; microfarad for capacitance) or '1.2 kohm'."""

    low: SiNumber = Field(default=None, alias="from")
    high: SiNumber = Field(default=None, alias="to")
    open: bool = Field(default=False, description="the band is 'OL' / no continuity")


class Result(Entry):
    """One possible result of a check."""

    label: str = Field(max_length=24, description="button: two or three words")
    says: str = Field(description="for echo and brief: 'belt slips, dry'")
    phrases: Phrases = Field(default={}, description="how a tech may type it")
    band: Band | None = None
    identifies: dict[str, str] = Field(default={}, description="variant axis -> value that this result proves")
    complaints: tuple[str, ...] = Field(default=(), description="complaints this result is, when seen; where such "
                                                                "a complaint was told, one of these is expected")
    unsafe: str | None = Field(default=None, description="instruction that comes at once: make dead, tag, tell")
    lifts: tuple[str, ...] = Field(default=(), description="complaints that bar no check by its `unless` from here on: "
                                                           "a stuck door that the release opened")
    moots: tuple[str, ...] = Field(default=(), description="checks that make no sense after it: no key answers on a "
                                                           "panel that is dead")


class Expectation(Entry):
    """What a good part reads, by physics. With `relative: true` bands are multiples of it.

    heater: R = volts^2 / watts. thermistor: r25 * exp(beta * (1/T - 1/298.15)). platinum: r0 * (1 + 0.00385*T).
    copper: r25 * (234.5 + T) / 259.5. `default` holds what is assumed when the plate was not read.
    """

    model: Literal["heater", "thermistor", "platinum", "copper"]
    default: dict[str, float] = Field(description="heater: watts, volts; thermistor: r25, beta; ...")
    tolerance: float = Field(default=0.1, gt=0, lt=1, description="standard tolerance of good parts, a fraction")


class Reading(Entry):
    """A check answered with a number."""

    quantity: Quantity
    leads: bool = Field(default=True, description="lead resistance matters")
    expect: Expectation | None = None
    relative: bool = False
    matches: str | None = Field(default=None, description="id of the check whose reading should be alike")
    plausible: Band | None = Field(default=None, description="outside of this it is asked about again")
    pins: str = Field(default="", description="where the probes go, in words")


class Check(Entry):
    """One thing to ask, look at, listen to, time or measure."""

    name: str = Field(description="short noun for briefs and echo: 'belt grip'")
    ask: str = Field(description="the whole question as the tech reads it, under 300 characters")
    again: str | None = Field(default=None, description="worded differently for the second time")
    yes: str | None = Field(default=None, description="result that a plain 'yes' to the question means; left out where "
                                                      "it could be several")
    no: str | None = Field(default=None, description="result that a plain 'no' means, the same")
    kind: Literal["ask", "look", "listen", "smell", "feel", "time", "turn", "run", "meter"]
    only: Only = {}
    power: PowerState
    access: OneOrMore = ()
    closes: OneOrMore = Field(default=(), description="covers that must be closed for it")
    tools: OneOrMore = ()
    minutes: float = Field(gt=0, description="with access open and the machine in the right state")
    risk: float = Field(default=0.0, ge=0, description="extra cost in minute-equivalents for its danger or mess")
    cautions: tuple[str, ...] = ()
    steps: tuple[str, ...] = Field(default=(), description="for `how`; a second-year can follow them")
    good: str = Field(default="", description="what a good part shows, one sentence")
    misread: str = Field(default="", description="how juniors misread it")
    photo: str = Field(default="", description="when a photo helps: what to take")
    unless: OneOrMore = Field(default=(), description="complaints with which it makes no sense: a coast-down test "
                                                      "on a machine that never spins")
    needless: OneOrMore = Field(default=(), description="complaints whose absence answers it: no sign of life is asked "
                                                        "for of a drum that turns")
    presumes: OneOrMore = Field(default=(), description="complaints of which one must be there: nobody is asked "
                                                        "what kind of mark it is where no clothes are marked")
    at_outlet: bool = Field(default=False, description="something is plugged into the machine's outlet, with power on: "
                                                       "not made where nothing may have power")
    resets: bool = Field(default=False, description="a breaker is put off and on for it: not made where nothing may "
                                                    "have power")
    of: OneOrMore = Field(default=(), description="what it looks at, of the family's `may_lack`; not made where that "
                                                  "is not there")
    begins: bool = Field(default=False, description="it asks how the trouble began: 'since the move' answers it "
                                                    "whenever it is said")
    told: dict[str, Literal["when", "where", "named"]] = Field(
        default={}, description="complaint -> what of it this check asks, so that the words of the complaint may "
                                "answer it before it is asked: 'leaks when it drains', 'leaks from the drawer'; "
                                "`named`: only where a word of the check's name is said")
    cannot: float = Field(default=0.03, ge=0, lt=1, description="chance that it turns out impossible on site")
    results: dict[str, Result] = Field(min_length=2)
    reading: Reading | None = None
    likelihoods: dict[str, dict[str, Probability]] = Field(
        description="'normal' and fault ids -> result -> likelihood; results left out share the rest")
    note: str = Field(default="", description="source or reasoning")

    @property
    def tells_kind(self) -> bool:
        """Whether a result of it proves how the machine is built."""
        return any(result.identifies for result in self.results.values())


class Pack(Entry):
    """All sections of one family, merged from its files."""

    family: Family
    complaints: dict[str, Complaint]
    covers: dict[str, Cover] = {}
    faults: dict[str, Fault]
    repairs: dict[str, Repair] = {}
    checks: dict[str, Check]

    def repair_of(self, fault: str) -> tuple[str, Repair]:
        """The repair of a fault with its id (the fault's own id where it is written inline)."""
        repair = self.faults[fault].repair
        return (fault, repair) if isinstance(repair, Repair) else (repair, self.repairs[repair])

    def faults_of(self, repair: str) -> tuple[str, ...]:
        """The faults that a repair (or a fault id, for one written inline) cures."""
        return tuple(fault for fault in self.faults if self.repair_of(fault)[0] == repair or fault == repair)


class HandoffAppliance(Entry):
    """An appliance that is recognised and handed straight to a senior."""

    name: str
    phrases: Phrases
    caution: str = Field(description="what to leave alone meanwhile, one or two sentences")


class Tool(Entry):
    """Something a check or repair needs."""

    name: str = Field(description="'a meter', as in a sentence")
    phrases: Phrases = {}
    usual: bool = Field(default=True, description="every tech of the firm carries it")
    instead: str = Field(default="", description="what everybody has that does as well, as said to who lacks it")


class Common(Entry):
    """What belongs to no family: `packs/common/*.yaml`."""

    tools: dict[str, Tool] = {}
    handoff_only: dict[str, HandoffAppliance] = {}


class Knowledge(Entry):
    """Everything a release holds."""

    packs: dict[str, Pack]
    common: Common
