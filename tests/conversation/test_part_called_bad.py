"""A part called bad, open or the like, whatever is asked just then; and a figure that nobody can place."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def talked(release, *lines: str, signoffs: frozenset[str] = frozenset()) -> Chat:
    chat = Chat(release, Person("rui", "Rui", signoffs=signoffs), FIRM)
    for line in lines:
        chat.send(line)
    return chat


def results(chat: Chat) -> dict[str, str]:
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


def last(chat: Chat) -> str:
    """What the last line made the bot say."""
    return "\n".join(said.text for said in chat.latest)


@pytest.mark.parametrize(("opening", "line", "check"), [
    ("dryer wont start electric", "the thermal fuse is open", "thermal_fuse_ohms"),
    ("dryer wont start electric", "thermal fuse open", "thermal_fuse_ohms"),
    ("electric dryer no heat", "heating element is open", "element_ohms"),
    ("fridge warm freezer fine", "the defrost heater is open", "defrost_heater_ohms"),
    ("dryer wont start electric", "the belt switch is open", "belt_switch_ohms")])
def test_a_circuit_called_open_is_read(release, opening, line, check):
    """It needs no word of a meter: a fuse stands open in no other way."""
    assert results(talked(release, opening, line))[check] == "open"


@pytest.mark.parametrize("line", ["the door is open", "water valve is open", "damper is open"])
def test_what_stands_open_with_nothing_wrong_is_no_reading(release, line):
    """A door and a tap are no circuits."""
    chat = talked(release, "dishwasher wont fill", line)
    assert not {key for key in results(chat) if key.endswith("_ohms") or key.endswith("_coil")}


@pytest.mark.parametrize(("opening", "line", "fault"), [
    ("dryer wont start electric", "drive motor is bad", "failed drive motor"),
    ("fridge warm freezer fine", "evap fan motor is bad", "failed evaporator fan"),
    ("gas dryer no heat", "coils are bad", "weak gas valve coils"),
    ("top load washer wont agitate", "transmission is shot", "failed gearcase"),
    ("front loader wont drain", "pump is toast", "failed drain pump motor"),
    ("electric dryer no heat", "the cycling stat is no good", "failed cycling thermostat")])
def test_a_part_called_bad_is_looked_at_first(release, opening, line, fault):
    """It is a suspicion until somebody saw or read it; nothing is filed on it."""
    chat = talked(release, opening, line)
    before = results(talked(release, opening))
    assert f"Could be, {fault}." in last(chat) and results(chat) == before
    assert chat.job.question.kind in {"check", "variant"}


def test_a_verdict_is_no_answer_to_a_run(release):
    """'Pump is bad' tells nothing of what it does."""
    chat = talked(release, "dishwasher wont drain", "drain pump is bad")
    assert not results(chat) and chat.job.question.checks == ("pump_sound",)
    chat.send("silent")
    assert results(chat)["pump_sound"] == "silent"


def test_whose_coupler_is_bad_has_one(release):
    """The build is not asked any more, and the coupler is looked at."""
    chat = talked(release, "top loader wont spin", "coupler is shot")
    assert {f.subject: f.value for f in chat.job.standing("variant")}["drive"] == "coupler"
    assert chat.job.question.checks[0] == "coupling_look"


def test_a_part_of_another_look_is_not_found_by_a_verdict(release):
    """'Door lock is bad' is no bad wire at its plug."""
    chat = talked(release, "front loader wont unlock", "door lock is bad")
    assert "lock_plug" not in results(chat) and "Could be" in last(chat)


def test_direct_drive_may_be_two_builds(release):
    """It is asked which; 'no belt' as well."""
    for said in ("its a direct drive", "no belt on it"):
        chat = talked(release, "top loader wont spin", said)
        assert set(chat.job.question.values) == {"variant:drive:coupler", "variant:drive:rotor", "dont_know"}
    chat.send("rotor")
    assert {f.subject: f.value for f in chat.job.standing("variant")}["drive"] == "rotor"


def test_a_bare_figure_is_asked_about(release):
    """Of what could have been measured, what would tell most comes first; or it was of another part."""
    chat = talked(release, "electric dryer no heat", "9.8 ohms")
    assert chat.job.question.kind == "which_check" and chat.job.question.values[0] == "check:element_ohms"
    chat.send("1")
    assert results(chat)["element_ohms"] == "good"
    other = talked(release, "electric dryer no heat", "9.8 ohms", "another part")
    assert not results(other) and other.job.question.kind == "check"


def test_a_figure_of_no_machine_asks_for_the_machine(release):
    """It is the trade's talk, and no matter for the office."""
    chat = talked(release, "118 volts at the valve")
    assert chat.job.question.kind == "family"
    assert talked(release, "took me 20 minutes to park").job is None


def test_what_was_cleaned_after_it_was_seen_is_proved(release):
    """Nobody asks what it was."""
    chat = talked(release, "dishwasher wont fill", "valve hums", "inlet screen is clogged", "cleaned it fills now")
    assert chat.job.question.kind == "proof" and chat.job.position.fault == "inlet_screen.clogged"
    chat = talked(release, "dryer takes 2 hours to dry", "vent is clogged", "cleaned the vent")
    assert chat.job.question.kind == "proof" and results(chat) == {"duct_look": "blocked"}


def test_a_knockout_is_no_injury(release):
    """A person who was knocked out is."""
    assert talked(release, "dishwasher wont drain", "knocked out the plug").job.phase != "hazard"
    assert talked(release, "dishwasher wont drain", "helper got knocked out").job.phase == "hazard"


def test_the_fan_that_was_seen_standing_is_metered(release):
    """Seen, turned by hand and read: the fan, and no senior."""
    chat = talked(release, "fridge not cooling at all", "compressor is running", "condenser fan is stopped",
                  "spins free by hand", "open")
    assert chat.job.position.fault == "condenser_fan.failed" and chat.job.phase == "finding"


def test_what_is_said_twice_is_said_back_once(release):
    """A trouble that a check takes apart as well."""
    assert last(talked(release, "fridge warm, freezer ok")).count("warm") == 1


@pytest.mark.parametrize(("opening", "line", "check", "result"), [
    ("fridge runs constantly", "coils are dirty", "coil_look", "felted"),
    ("top loader wont drain", "hose is kinked", "drain_hose_path", "kinked")])
def test_what_is_most_likely_another_look_is_filed_and_said_back(release, opening, line, check, result):
    """Better than not to follow: a slip is seen, and taken back."""
    lines = (opening, *(["pump runs"] if "drain" in opening else []), line)
    chat = talked(release, *lines)
    assert results(chat)[check] == result and "Noted" in last(chat)
    chat.send("back")
    assert check not in results(chat)


@pytest.mark.parametrize(("opening", "line", "check"), [
    ("dryer makes thumping", "belt is frayed", "belt_look"),
    ("dryer makes thumping", "belt looks chewed", "belt_look")])
def test_a_part_in_view_is_looked_at_next(release, opening, line, check):
    """Its words are no clear result of it; it is asked."""
    chat = talked(release, opening, line)
    assert chat.job.question.checks == (check,) and not {check} & set(results(chat))
    assert "Then that first." in last(chat)


@pytest.mark.parametrize("line", ["might be the belt switch", "what about the belt", "new belt", "belt"])
def test_what_is_only_thought_of_files_nothing(release, line):
    """No look was made."""
    before = results(talked(release, "dryer makes thumping"))
    assert results(talked(release, "dryer makes thumping", line)) == before
