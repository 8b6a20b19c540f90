"""Whole visits with the real packs: from the first message to a closed job, and what can happen on the way."""

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.conversation.context import Context
from bot.conversation.effects import Say
from bot.conversation.events import PhotoSeen, Typed
from bot.conversation.facts import evidence_of
from bot.conversation.firm import Person
from bot.conversation.job import Outcome, Phase, dump_job, load_job
from bot.conversation.steering.words import Steer
from bot.diagnosis.belief import believe
from bot.simulation.chat import Chat
from bot.simulation.machine import Machine, World
from bot.simulation.phrases import Bank
from bot.simulation.tech import Tech
from bot.simulation.transcript import unsafe_order
from bot.step import open_job, step

OPENING = "toploader belt drive wont spin"
WORDS = {Steer.START: "/start", Steer.HELP: "/help"}


def tech_for(chat, fault, variant, complaints, seed=1):
    """A simulated junior with a machine that has `fault`; he sees straight."""
    pack = chat.release.knowledge.packs["top_load_washer"]
    machine = Machine(World(pack, 0.0, seed), fault, variant, complaints, str(seed))
    return Tech(machine, Bank({c: [e.label.lower()] for c, e in pack.complaints.items()}), misread=0.0)


BELT = {"drive": "belt", "lid": "switch", "control": "timer", "motor": "single_phase", "pump": "driven",
        "shifter": "absent"}


def walk(chat, until, fault="drive_belt.worn", opening=OPENING, most=40):
    """Talk truthfully about a machine with `fault` until `until(job)` holds."""
    tech = tech_for(chat, fault, BELT, ("no_spin",))
    said = chat.send(opening)
    for _ in range(most):
        if until(chat.job):
            return said
        said = chat.send(tech.reply(chat.job))
    raise AssertionError(f"never got there: {chat.job.phase} {chat.job.question}")


def test_a_worn_belt_is_found_repaired_and_proved(chat_of):
    """The whole job: complaint, checks, finding, consent, repair, proof, closing, fixed."""
    chat = chat_of()
    walk(chat, lambda job: job.phase is Phase.ENDED)
    assert chat.job.outcome is Outcome.FIXED
    assert chat.records("finding")[-1].data["fault"] == "drive_belt.worn"
    assert chat.records("proof")[-1].data["held"] is True
    assert len(chat.job.standing("result")) <= 8
    assert unsafe_order(chat) == []


def test_the_first_answer_says_back_what_was_told(chat_of):
    """Family, variant and complaint are visible at once, so that a misreading costs little."""
    said = chat_of().send(OPENING)
    assert "belt drive" in said[0].text
    assert "no spin" in said[0].text


def test_a_vague_complaint_gets_there_more_slowly(chat_of):
    """'Not working' leads through the machine and the nearest complaint to a first check."""
    chat = chat_of()
    chat.send("washer not working")
    assert chat.job.question.kind == "family"
    chat.send("top loader")
    assert chat.job.question.kind in {"menu", "variant"}
    for _ in range(6):
        if chat.job.question.kind == "check":
            break
        chat.send("1")
    assert chat.job.question.kind == "check"


PHASES = [Phase.INTAKE, Phase.CHECKS, Phase.FINDING, Phase.CONSENT, Phase.REPAIR, Phase.PROOF, Phase.CLOSING,
          Phase.ENDED]


def at_phase(chat, phase):
    """A visit brought to a phase."""
    if phase is Phase.INTAKE:
        chat.send("washer not working")
        return
    walk(chat, lambda job: job.phase is phase and (phase is not Phase.FINDING or job.question.kind == "finding"))


@pytest.mark.parametrize("phase", PHASES)
def test_every_steering_word_works_in_every_state(chat_of, phase):
    """Each word gets an answer in each state, and the talk goes on after it."""
    for word in Steer:
        chat = chat_of()
        at_phase(chat, phase)
        said = chat.send(WORDS.get(word, str(word)))
        assert said, f"no answer to '{word}' in {phase}"
        assert all(message.text for message in said)


HAZARDS = {"gas": "i smell gas real strong", "fire": "its on fire, flames out the back", "shock": "it just shocked me",
           "flood": "water everywhere its flooding the house"}


@pytest.mark.parametrize("phase", PHASES[:-1])
@pytest.mark.parametrize("hazard", HAZARDS)
def test_hazard_words_come_before_everything_else(chat_of, phase, hazard):
    """In any state the instruction is the first thing said."""
    chat = chat_of()
    at_phase(chat, phase)
    said = chat.send(HAZARDS[hazard])
    assert chat.job.phase is Phase.HAZARD
    assert chat.records("hazard")[-1].data["hazard"] == hazard
    first = next(e for e in reversed(chat.effects) if isinstance(e, Say) and e.id == said[0].id)
    assert first.texts[0].key == f"hazard.{hazard}"


def test_back_takes_back_the_last_answer_and_asks_again(chat_of):
    """After `back` the facts, the phase and the question are those from before the answer."""
    chat = chat_of()
    chat.send(OPENING)
    before = chat.job
    chat.send("1")
    assert chat.job.standing("result")
    chat.send("back")
    assert chat.job.standing() == before.standing()
    assert chat.job.phase is before.phase
    assert chat.job.question.checks == before.question.checks


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(answers=st.lists(st.integers(1, 3), min_size=1, max_size=5))
def test_answers_and_as_many_backs_restore_belief_exactly(release, answers):
    """Undo is exact: belief after n answers and n backs is the belief from before."""
    chat = Chat(release, Person("rui", "Rui"))
    chat.send(OPENING)
    before = believe(release.models["top_load_washer"], evidence_of(chat.job))
    done = 0
    for answer in answers:
        if chat.job.question.kind != "check":
            break
        marks = len(chat.job.marks)
        chat.send(str(answer))
        done += len(chat.job.marks) - marks
    for _ in range(done):
        chat.send("back")
    assert believe(release.models["top_load_washer"], evidence_of(chat.job)) == before


def test_an_edited_answer_replaces_what_it_had_told(chat_of):
    """The edit lands on the question the message answered, and what changed is said."""
    chat = chat_of()
    chat.send(OPENING)
    check = chat.job.question.checks[0]
    results = list(chat.release.knowledge.packs["top_load_washer"].checks[check].results)
    chat.send("1")
    target = chat.last_sent
    said = chat.edit("2", target)
    standing = [f for f in chat.job.standing("result") if f.subject == check]
    assert [f.value for f in standing] == [results[1]]
    assert "your change" in said[0].text


def test_a_message_taken_back_withdraws_its_evidence(chat_of):
    """A redacted answer no longer counts."""
    chat = chat_of()
    chat.send(OPENING)
    chat.send("1")
    chat.redact()
    assert chat.job.standing("result") == ()


def test_a_late_press_lands_on_its_own_question(chat_of):
    """A press on an earlier question revises that answer, not the open one."""
    chat = chat_of()
    chat.send(OPENING)
    first = chat.job.question
    chat.press(1)
    chat.press(2, first.id)
    results = list(chat.release.knowledge.packs["top_load_washer"].checks[first.checks[0]].results)
    standing = [f.value for f in chat.job.standing("result") if f.subject == first.checks[0]]
    assert standing == [results[1]]


def test_pressing_the_same_choice_twice_is_harmless(chat_of):
    """A second tap gets a word and changes nothing."""
    chat = chat_of()
    chat.send(OPENING)
    question = chat.job.question
    chat.press(1)
    before = chat.job.standing()
    said = chat.press(1, question.id)
    assert chat.job.standing() == before
    assert "settled" in said[0].text


def test_two_open_jobs_are_told_apart(chat_of):
    """With two machines open, every message says which is meant, and `jobs` moves between them."""
    chat = chat_of()
    chat.send(OPENING)
    washer = chat.job.id
    chat.send("new")
    said = chat.send("dryer electric runs but no heat")
    assert chat.job.id != washer
    assert said[0].paragraphs[0].startswith("dryer")
    chat.send("jobs")
    said = chat.send("1")
    assert chat.job.id == washer
    assert "top-load washer" in said[0].paragraphs[0].lower()


def test_words_about_another_machine_are_not_mixed_in(chat_of):
    """A message that names another appliance is held until the tech says which job it belongs to."""
    chat = chat_of()
    chat.send(OPENING)
    washer = chat.job.id
    said = chat.send("dryer here runs but no heat at all")
    assert said[0].choices == ("Another machine", "Same machine")
    chat.send("1")
    assert chat.job.id != washer
    assert chat.job.family == "dryer"
    assert "no_heat" in {f.subject for f in chat.job.standing("complaint")}


def test_still_the_same_after_a_repair_is_evidence(chat_of):
    """'Still the same' never ends a visit: the repair counts as tried and the search goes on."""
    chat = chat_of()
    walk(chat, lambda job: job.question is not None and job.question.kind == "proof")
    repair = chat.job.position.repair
    chat.send("still the same")
    assert [f.subject for f in chat.job.standing("repaired")] == [repair]
    assert chat.job.phase in {Phase.CHECKS, Phase.FINDING, Phase.HANDED_OFF}


def test_a_senior_gets_the_case_laid_out(chat_of):
    """`senior` brings the brief: who, the machine, what was said and found, what it may be."""
    chat = chat_of()
    chat.send(OPENING)
    chat.send("1")
    said = chat.send("senior")
    brief = said[-1].text
    assert chat.job.phase is Phase.HANDED_OFF
    assert chat.offers()[-1].reason == "asked"
    for piece in ("Rui", "belt drive", "no spin", "Complaint:", "Nothing stands out yet: "):
        assert piece in brief


def test_three_messages_in_a_row_that_make_no_sense_bring_a_person(chat_of):
    """A miss is asked differently, then with choices, then a senior comes."""
    chat = chat_of()
    chat.send(OPENING)
    for text in ("xqzt vrrp", "blorf snib", "gnurl plox"):
        chat.send(text)
    assert chat.job.phase is Phase.HANDED_OFF
    assert chat.offers()[-1].reason == "not_understood"


@pytest.mark.parametrize("text", ["", "   ", "🔧🔧", "\x00", "\x00\x01 spin", "العربية فقط", "a" * 10_000, "1" * 10_000,
                                  "spin " * 2000, "\u202ewont spin", "፩ spin",
                                  "½ ² ① ٣ ohm", "<b>&\"'</b> {x} **y** `z`"])
def test_any_input_gets_an_answer(chat_of, text):
    """Whatever is typed, before a job and within one, something sensible comes back."""
    chat = chat_of()
    assert chat.send(text)
    chat.send(OPENING)
    assert chat.send(text)


def test_a_flood_of_messages_is_kept_and_answered_once(chat_of):
    """A thousand messages in a minute: the limit is said once, nothing breaks."""
    chat = chat_of()
    chat.send(OPENING)
    answers = [chat.send("1 2 3 xx", after=0.05) for _ in range(1000)]
    told = [s for said in answers for s in said if "a lot at once" in s.text]
    assert len(told) == 1
    assert chat.send("where", after=61)


def test_a_dark_photo_is_said_at_once_and_a_good_one_is_kept(chat_of):
    """Photos are judged when they come in."""
    chat = chat_of()
    chat.send(OPENING)
    dark = PhotoSeen("d" * 64, "image/jpeg", 90_000, 1600, 1200, 10.0, 100.0)
    good = PhotoSeen("e" * 64, "image/jpeg", 90_000, 1600, 1200, 120.0, 300.0)
    assert "Too dark" in chat.photo(dark)[0].text
    assert "kept" in chat.photo(good)[0].text
    assert {f.subject for f in chat.job.standing("photo")} == {"d" * 64, "e" * 64}


def test_what_cannot_be_read_is_answered_with_what_to_send(chat_of):
    """A voice note gets a word on what works instead, and the question stays."""
    chat = chat_of()
    chat.send(OPENING)
    said = chat.other("voice")
    assert "voice notes" in said[0].text
    assert said[0].choices


def test_the_step_is_pure_and_a_job_survives_the_store(chat_of, release):
    """The same job, event and context give the same result, and a stored job is the job."""
    chat = chat_of()
    chat.send(OPENING)
    context = Context(chat.now, release, chat.firm, {"rui": chat.tech})
    event = Typed(id="e1", at=chat.now, person="rui", conversation="chat", message="m1", text="2")
    once, again = step(chat.job, event, context), step(chat.job, event, context)
    assert once == again
    assert load_job(dump_job(once[0])) == once[0]
    assert json.loads(dump_job(once[0]))["family"] == "top_load_washer"


def test_a_new_job_is_on_the_release_of_its_day(chat_of, release):
    """A job pins the knowledge it began with."""
    chat = chat_of()
    event = Typed(id="e1", at=chat.now, person="rui", conversation="chat", text="hi")
    assert open_job("j", event, Context(chat.now, release, chat.firm, {"rui": chat.tech})).release == release.id


def test_no_junior_is_asked_for_a_live_measurement(chat_of):
    """Across many visits, live checks come only to people signed off for them, and covers open on dead machines."""
    faults = ["lid_switch.open", "inlet_valve.coil_open", "timer.contacts_failed", "drain_pump.blocked",
              "supply.no_power", "drive_motor.start_circuit"]
    for seed, fault in enumerate(faults):
        chat = chat_of()
        tech = tech_for(chat, fault, BELT, ("no_spin",), seed)
        chat.send("top loader wont spin")
        for _ in range(12):
            if chat.job.phase in {Phase.ENDED, Phase.HANDED_OFF}:
                break
            chat.send("1" if chat.job.question and chat.job.question.kind == "hazard" else tech.reply(chat.job))
        assert unsafe_order(chat) == []


def test_who_is_not_convinced_is_promised_a_check_only_where_there_is_one(chat_of):
    """With everything asked that shows the stuck valve, a senior comes at once; nothing is promised before."""
    chat = chat_of()
    for line in ("toploader wont stop filling, timer knob model", "runs on"):
        chat.send(line)
    assert "Inlet valve stuck open" in chat.heard["rui"][-1].text
    chat.send("not convinced")
    said = chat.heard["rui"][-1].text
    assert ("Let me look for something" in said) == (chat.job.question.kind == "check")
