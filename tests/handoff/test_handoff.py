"""Bringing in a senior: offered, taken by exactly one, relayed, checks asked, faults named, given back."""

import random

import pytest

from bot.conversation.effects import Alter, Say
from bot.conversation.firm import Person
from bot.conversation.job import Handing, Outcome, Phase
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

MARTA = Person("marta", "Marta", "senior", signoffs=frozenset({"live", "gas", "refrigerant", "lifting"}))
JOAO = Person("joao", "João", "senior")
INES = Person("ines", "Ines", "owner")
OPENING = "toploader belt drive wont spin"


@pytest.fixture
def crew(release):
    """Rui on a job, Marta and João on duty, Ines the owner."""
    return Chat(release, Person("rui", "Rui", phone="555-0101"), FIRM, crew=(MARTA, JOAO, INES))


def handed(crew):
    """A job that Rui asked a senior for."""
    crew.send(OPENING)
    crew.send("1")
    crew.send("senior")
    return crew


def texts(crew, person):
    """All that a person was told, a line each."""
    return "\n".join(said.text for said in crew.heard.get(person, []))


def test_the_case_is_put_to_every_senior_on_duty(crew):
    """Both get the brief with the causing words and the one question; the owner is left in peace."""
    handed(crew)
    for senior in ("marta", "joao"):
        brief = texts(crew, senior)
        for piece in ("Rui", "belt drive", "no spin", "Nothing stands out yet: ", "One question would help most:",
                      OPENING):
            assert piece in brief
    assert "ines" not in crew.heard
    assert "Put to Marta, João" in texts(crew, "rui")


def test_exactly_one_takes_it(release):
    """Of twenty seniors who press at once, in any order, one has it and the others hear who."""
    seniors = tuple(Person(f"s{i}", f"Senior {i}", "senior") for i in range(20))
    crew = handed(Chat(release, Person("rui", "Rui"), FIRM, crew=seniors))
    order = list(seniors)
    random.Random(7).shuffle(order)
    for senior in order:
        crew.press(1, who=senior.id, after=0)
    assert crew.job.handed_to == order[0].id
    for senior in order[1:]:
        assert f"{order[0].name} has it already" in texts(crew, senior.id)
    assert texts(crew, "rui").count(f"{order[0].name} has it.") == 1


def test_a_number_takes_it_where_there_are_no_buttons(crew):
    """In a chat without buttons '1' or 'mine' is enough."""
    handed(crew)
    crew.send("mine", who="joao")
    assert crew.job.handed_to == "joao"


def test_while_a_senior_holds_it_the_bot_keeps_quiet(crew):
    """Words go both ways with names; the bot asks nothing."""
    handed(crew)
    crew.press(1, who="marta")
    before = len(crew.heard["rui"])
    crew.send("the basket is warm, is that bad", who="rui")
    assert len(crew.heard["rui"]) == before
    assert "Rui: the basket is warm, is that bad" in texts(crew, "marta")
    crew.send("how warm, can you keep your hand on it", who="marta")
    assert crew.heard["rui"][-1].text == "Marta: how warm, can you keep your hand on it"
    crew.edit("the tub is warm, is that bad", who="rui")
    assert "Rui (changed): the tub is warm" in texts(crew, "marta")


def test_a_check_the_senior_asks_for_is_a_proper_question(crew):
    """The junior gets it with its choices, the answer is evidence, and the senior hears it with where belief stands."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("ask belt grip", who="marta")
    question = crew.heard["rui"][-1]
    assert question.choices
    crew.send("1", who="rui")
    assert "belt_grip" in {f.subject for f in crew.job.standing("result")}
    assert "Now:" in texts(crew, "marta")
    assert crew.job.handoff.state is Handing.TAKEN


def test_a_named_fault_goes_on_with_its_repair(crew):
    """The senior's word is kept as a label, and the junior gets the finding with its choices."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("found worn drive belt", who="marta")
    assert crew.records("verdict")[-1].data["fault"] == "drive_belt.worn"
    assert crew.job.phase is Phase.FINDING
    assert "Marta says: Worn drive belt" in texts(crew, "rui") or "Marta says: worn drive belt" in texts(crew, "rui")
    assert "Got one" in crew.heard["rui"][-1].choices


def test_a_fault_nobody_knows_is_passed_on_as_written(crew):
    """What cannot be matched is never swallowed: the junior reads it, the senior hears what was near."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("found gremlins in the flux", who="marta")
    assert "gremlins in the flux" in texts(crew, "rui")
    assert "Nearest:" in texts(crew, "marta")


def test_carry_on_takes_up_where_the_bot_stood(crew):
    """Back to the bot: the junior hears it and gets the next question."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("carry on", who="marta")
    assert "Marta says carry on." in texts(crew, "rui")
    assert crew.job.phase is not Phase.HANDED_OFF
    assert crew.job.question is not None
    assert crew.job.handed_to is None


def test_back_after_it_was_taken_tells_the_senior(crew):
    """The junior takes it back himself: the senior is told, the bot goes on."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("back", who="rui")
    assert "Rui took the case back" in texts(crew, "marta")
    assert crew.job.handed_to is None
    assert crew.job.question is not None


def test_an_offer_nobody_took_is_withdrawn_when_the_junior_carries_on(crew):
    """Seniors see that there is nothing to do any more, and a late press gets a friendly word."""
    handed(crew)
    offers = [s.id for s in crew.heard["marta"] + crew.heard["joao"]]
    crew.send("carry on", who="rui")
    closed = {e.message for e in crew.effects if isinstance(e, Alter)}
    assert set(offers) <= closed
    crew.press(1, crew.heard["marta"][0].question, who="marta")
    assert crew.job.handed_to is None
    assert "settled" in texts(crew, "marta")


def test_passed_on_to_another_senior(crew):
    """`pass Ines` offers it to her alone."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("pass to ines", who="marta")
    assert crew.job.handoff.state is Handing.ASKED
    crew.press(1, who="ines")
    assert crew.job.handed_to == "ines"


def test_a_call_and_one_line_afterwards_counts(crew):
    """The number is given; the line written after the call is kept as the senior's words and heard as evidence."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("call", who="marta")
    assert "555-0101" in texts(crew, "marta")
    crew.send("told him, it does not agitate either", who="marta")
    assert crew.records("verdict")[-1].data["words"] == "told him, it does not agitate either"
    assert "no_agitate" in {f.subject for f in crew.job.standing("complaint")}


def test_the_senior_can_end_it(crew):
    """`end` closes the job as handed off; the junior hears by whom."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("end", who="marta")
    assert crew.job.outcome is Outcome.HANDED_OFF
    assert "Marta closed the case" in texts(crew, "rui")


def test_nobody_answers(crew):
    """After five minutes it is asked again and wider, after fifteen more the junior is told to ring."""
    handed(crew)
    crew.wait(6)
    assert "Still waiting" in texts(crew, "marta")
    assert "Nothing stands out yet: " in texts(crew, "ines")
    assert "Nobody has taken it yet" in texts(crew, "rui")
    crew.wait(20)
    assert "Ring the office" in texts(crew, "rui")
    crew.press(1, who="ines")
    assert crew.job.handed_to == "ines"


def test_off_duty_people_are_woken_for_hazards_only(release):
    """With everybody off duty the case is read out to the junior; gas wakes them all the same."""
    off = Person("marta", "Marta", "senior", on_duty=False)
    crew = handed(Chat(release, Person("rui", "Rui"), FIRM, crew=(off,)))
    assert "marta" not in crew.heard
    assert "Nobody is on duty" in texts(crew, "rui")
    gas = Chat(release, Person("rui", "Rui"), FIRM, crew=(off,))
    gas.send("dryer, i smell gas real strong")
    assert "Hazard: gas" in texts(gas, "marta")


def test_a_hazard_while_a_senior_holds_it_still_comes_first(crew):
    """The instruction is given by the bot at once; the senior is told."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("its on fire, flames out the back", who="rui")
    assert "Power off" in crew.heard["rui"][-1].text
    assert "names a hazard: fire" in texts(crew, "marta")


def test_a_fault_named_while_a_hazard_is_open_waits_for_it(crew):
    """The senior's words reach the junior, nothing is repaired yet, and the fault can be named again afterwards."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("its on fire, flames out the back", who="rui")
    crew.send("found worn drive belt", who="marta")
    assert crew.job.phase is Phase.HAZARD
    assert "worn drive belt" in texts(crew, "rui")
    assert "that it is made safe (fire or smoke): that first" in texts(crew, "marta")


def test_several_handoffs_at_once_do_not_mix(release):
    """Two jobs of one junior with two seniors: each line goes to the senior of its own job."""
    crew = Chat(release, Person("rui", "Rui"), FIRM, crew=(MARTA, JOAO))
    handed(crew)
    first = crew.job.id
    crew.press(1, who="marta")
    crew.send("new", who="rui")
    crew.send("dryer electric runs no heat", who="rui")
    crew.send("senior", who="rui")
    second = crew.job.id
    crew.press(1, who="joao")
    assert (crew.jobs[first].handed_to, crew.jobs[second].handed_to) == ("marta", "joao")
    crew.send("i am at the dryer now", who="rui")
    assert "i am at the dryer now" in texts(crew, "joao")
    assert "i am at the dryer now" not in texts(crew, "marta")


def test_a_senior_removed_while_holding_a_case(crew):
    """The next word of the junior brings it to the others; nothing is stuck."""
    handed(crew)
    crew.press(1, who="marta")
    crew.crew = (JOAO, INES)
    crew.send("hello, anybody there", who="rui")
    assert "no longer on it" in texts(crew, "rui")
    crew.press(1, who="joao")
    assert crew.job.handed_to == "joao"


def test_the_words_of_the_case_are_the_juniors(crew):
    """Whoever looks at the case, or is passed it, reads the junior's words, not what a senior wrote."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("it hums when i turn it", who="rui")
    for words, reader in (("where", "marta"), ("pass to joao", "joao")):
        crew.send(words, who="marta")
        assert f'In their words: "{OPENING}"' in crew.heard[reader][-1].text
        assert 'Last words: "it hums when i turn it"' in crew.heard[reader][-1].text


def test_the_same_repair_twice_is_enough(crew):
    """Done twice and still the same, it goes to a senior whatever the belief; the brief names the repair once."""
    handed(crew)
    for _ in range(2):
        crew.press(1, who="marta")
        crew.send("found worn drive belt", who="marta")
        for words in ("got one", "yes", "its in", "still the same"):
            crew.send(words)
        if crew.job.phase is not Phase.HANDED_OFF:
            crew.send("senior")
    assert crew.job.handoff.reason == "failed_twice"
    assert "The same repair twice" in texts(crew, "rui")
    assert crew.heard["marta"][-1].text.count("Replace the drive belt") == 1


def test_a_reply_and_a_change_say_what_they_belong_to(crew):
    """Whatever is passed on names the message that it answers or changes, for the other side to show."""
    handed(crew)
    crew.press(1, who="marta")
    crew.send("which pins", who="marta", reply_to="m7")
    crew.send("the outer two", who="rui", reply_to="m8")
    crew.edit("the inner two", "m9", who="rui")
    passed = [e for e in crew.effects if isinstance(e, Say) and e.texts[0].key.startswith("relay.")]
    assert [(say.to, say.reply_to) for say in passed] == [("rui", "m7"), ("marta", "m8"), ("marta", "m9")]


def test_a_bare_reading_after_words_of_the_seniors_own_is_for_the_senior(release):
    """Asked a listed check, then something in their own words: '5.2' answers the last, 'element 10.9' the check."""
    crew = Chat(release, Person("rui", "Rui"), FIRM, crew=(MARTA,))
    for text in ("electric dryer no heat drum turns", "senior"):
        crew.send(text)
    crew.press(1, who="marta")
    crew.send("ask element ohms", who="marta")
    crew.send("and what does the motor start winding read", who="marta")
    crew.send("5.2")
    assert not _numbers(crew) and crew.heard["marta"][-1].text == "Rui: 5.2"
    crew.send("element is 10.9")
    assert _numbers(crew) == [("element_ohms", 10.9)]


def _numbers(crew):
    return [(f.subject, f.number) for f in crew.job.standing("result") if f.number is not None]
