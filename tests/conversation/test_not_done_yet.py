"""What is not done yet has not failed, what was done without a part has no price, and what is done is heard at once."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.wording.mended import not_made
from bot.conversation.wording.over import only_quiet
from bot.diagnosis.evidence import Decision, Option
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM


def found(release, family, fault, opening, *texts):
    """A visit at which this fault was found, and these words typed after that."""
    key = release.knowledge.packs[family].repair_of(fault)[0]

    def decided(model, evidence, belief, situation, keep):
        option = Option("repair", key, 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    chat.send(opening)
    while chat.job.question.kind in {"check", "variant"}:
        chat.send("skip")
    for text in texts:
        chat.send(text)
    return chat


def element(release, *texts):
    return found(release, "dryer", "heating_element.open", "electric dryer runs, no heat", *texts)


def spark(release, *texts):
    return found(release, "range", "spark_switch.wet_or_failed", "gas range keeps clicking with all knobs off", *texts)


AT_WORK = ("got one", "yes")


@pytest.mark.parametrize("said", ["no i did not put it in yet", "not done yet, still need to fit it",
                                  "i didnt fix anything yet",
                                  "its still dead, nothing was reset yet", "haven't swapped it yet", "its not in yet",
                                  "todavia no lo cambie"])
def test_a_repair_that_was_not_made_is_known_as_such(said):
    """In whatever tense."""
    assert not_made(said)


@pytest.mark.parametrize("said", ["not fixed", "still the same, didnt change anything", "havent run it yet",
                                  "didn't help",
                                  "havent put it back together yet", "done", "not yet", "didnt fix it",
                                  "rinse aint done yet", "i didnt touch start"])
def test_how_it_went_is_no_word_on_whether_it_was_made(said):
    """'Not fixed' tells that it was tried."""
    assert not not_made(said)


@pytest.mark.parametrize("said", ["not done yet!! still need to fit it", "no i did not put it in yet"])
def test_a_done_too_soon_is_taken_back(release, said):
    """The repair is open again, and the part is not counted as tried."""
    chat = element(release, *AT_WORK, "done")
    assert chat.job.phase is Phase.PROOF
    chat.send(said)
    assert chat.job.phase is Phase.REPAIR
    assert chat.job.question.kind == "repair"
    assert not chat.job.standing("repaired")


def test_not_done_yet_at_the_proof_is_said_of_the_run(release):
    """It is waited for, and nothing is taken back."""
    chat = element(release, *AT_WORK, "done")
    chat.send("not done yet")
    assert chat.job.phase is Phase.PROOF
    assert "follow" not in chat.latest[0].text


def test_works_but_is_not_all(release):
    """What follows the 'but' is asked for, though it names no trouble that is known."""
    chat = element(release, *AT_WORK, "done", "works but goes on and off")
    assert chat.job.phase is not Phase.CLOSING


def test_a_repair_that_was_heard_as_failed_is_taken_back(release):
    """One line later, too."""
    chat = element(release, *AT_WORK, "done", "still cold")
    assert chat.job.standing("repaired")
    chat.send("i didnt put it in yet")
    assert not chat.job.standing("repaired")
    assert chat.job.phase is Phase.REPAIR


@pytest.mark.parametrize("said", ["not done yet", "i still have to fit it"])
def test_not_done_while_at_it_waits(release, said):
    """Nothing is proved yet."""
    chat = element(release, *AT_WORK, said)
    assert chat.job.phase is Phase.REPAIR
    assert "follow" not in chat.latest[0].text


@pytest.mark.parametrize("said", ["done, same", "done. still blows cold", "did it, no change"])
def test_done_and_the_same_is_both(release, said):
    """How it went is not asked once more."""
    chat = element(release, *AT_WORK, said)
    assert [fact.subject for fact in chat.job.standing("repaired")] == [
        release.knowledge.packs["dryer"].repair_of("heating_element.open")[0]]


@pytest.mark.parametrize("said", ["dried it, no more clicking", "works, dried it", "let it dry out, works now",
                                  "ok dried it with a fan, no more ticking, good?"])
def test_what_went_without_a_part_has_no_price(release, said):
    """It is proved, and nobody is told of money."""
    chat = spark(release, said)
    assert chat.job.phase is Phase.PROOF
    assert "before they said yes" not in chat.latest[0].text


def test_a_repair_that_may_need_no_part_is_offered_so(release):
    """'Dry or replace': dry first, nothing to pay."""
    chat = spark(release)
    assert "no_part" in chat.job.question.values
    chat.send("just dry it")
    assert chat.job.phase is Phase.REPAIR


@pytest.mark.parametrize("said", ["it is quiet now", "quiet now, she says it was at the back",
                                  "not making any noise now"])
def test_a_noise_that_is_away_just_now_is_no_repair(chat_of, said):
    """Nothing was done: it comes and goes, and nothing is proved."""
    chat = chat_of()
    chat.send("dryer noisy")
    chat.send(said)
    assert chat.job.phase is Phase.CHECKS
    assert chat.job.question.kind == "check"
    assert not [f for f in chat.job.standing("result") if f.value in {"nowhere", "silent"}]


def test_quiet_is_told_from_works():
    """The one may be luck."""
    assert only_quiet("its quiet now")
    assert not only_quiet("spins now, quiet")


def test_stuck_without_a_word_is_asked_on_what(release):
    """Then a senior has something to go by."""
    chat = element(release, *AT_WORK, "stuck")
    assert chat.job.phase is Phase.REPAIR
    assert "On what?" in chat.latest[0].text
    chat.send("the clips on the housing")
    assert chat.job.phase is Phase.HANDED_OFF


@pytest.mark.parametrize("said", ["stuck, the bolt is rounded", "screw is seized"])
def test_stuck_on_something_brings_a_senior(release, said):
    """It is said already."""
    assert element(release, *AT_WORK, said).job.phase is Phase.HANDED_OFF


def test_another_trouble_after_the_repair_comes_next(release):
    """The element heats; that it squeals now is kept, and no part of the repair failed."""
    chat = element(release, *AT_WORK, "done, heats fine, but now it squeals at startup")
    assert "noisy" in chat.job.position.later or "noisy" in {f.subject for f in chat.job.standing("complaint")}
    assert not chat.job.standing("repaired")
