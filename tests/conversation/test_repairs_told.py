"""Repairs that the tech reports himself: heard whatever is asked, counted as done, proved or gone on from."""

from __future__ import annotations

import pytest

from bot.conversation.effects import Record
from bot.conversation.job import Outcome, Phase

SLIPS = ("top loader belt drive wont spin washes ok", "knob", "motor runs basket just sits",
         "belt is shiny and slips when i pull it", "heavy but ok")
"""A worn belt is likely after these; what spoils belts is asked."""
NAMED = (*SLIPS, "dry")
"""And named after this one."""
AT_WORK = (*NAMED, "got one", "yes")
PUMP = ("dishwasher leaves water in the bottom", "hums", "jammed with glass", "clean")
"""A blocked drain pump, that is cleared without a part, is named after these."""


def after(chat_of, *texts):
    """A visit with these words typed one after the other."""
    chat = chat_of()
    for text in texts:
        chat.send(text)
    return chat


def failed(chat):
    """The repairs that were made and did not cure."""
    return [fact.subject for fact in chat.job.standing("repaired")]


def labels(chat, what):
    return [effect.data for effect in chat.effects if isinstance(effect, Record) and effect.what == what]


@pytest.mark.parametrize("said", ["replaced the belt still wont spin", "new belt didnt help",
                                  "swapped the belt, no change", "tried a new belt, same thing"])
def test_a_new_belt_that_did_not_help_counts_while_a_check_is_open(chat_of, said):
    """It was tried: the talk goes on from there."""
    chat = after(chat_of, *SLIPS, said)
    assert failed(chat) == ["replace_belt"]
    assert "follow" not in chat.latest[0].text


@pytest.mark.parametrize("said", ["put a new belt on", "changed the belt works now", "fixed it", "it works now"])
def test_a_belt_that_is_in_is_proved(chat_of, said):
    """In the state that failed, whoever says that it works."""
    chat = after(chat_of, *SLIPS, said)
    assert chat.job.phase is Phase.PROOF and chat.job.position.repair == "replace_belt"
    assert "Wet towels" in chat.latest[0].text


@pytest.mark.parametrize("at", [(), ("got one",)])
@pytest.mark.parametrize(("said", "cured"), [("belts on already, still sits there", False),
                                             ("put new belt on still dont spin", False),
                                             ("put a belt on it spins now", True), ("already put one on", True)])
def test_the_part_on_the_table_is_in_before_its_price_was_asked(chat_of, at, said, cured):
    """It counts as done; what it costs is to be said."""
    chat = after(chat_of, *NAMED, *at, said)
    assert failed(chat) == ([] if cured else ["replace_belt"])
    assert (chat.job.phase is Phase.PROOF) is cured
    assert ("Tell them now" in chat.latest[0].text) is cured


@pytest.mark.parametrize("said", ["customer put a new belt on last year", "last guy replaced the belt",
                                  "i'll put a new belt on", "should i put a new belt on?",
                                  "havent put the belt on yet"])
def test_work_of_others_and_work_to_come_is_no_repair_of_today(chat_of, said):
    """Nothing was done here yet."""
    chat = after(chat_of, *NAMED, said)
    assert chat.job.phase in {Phase.FINDING, Phase.CONSENT} and not failed(chat)


def test_covers_that_are_back_on_are_no_part_that_is_in(chat_of):
    """The repair on the table needs its part, or no thing, named."""
    assert after(chat_of, *NAMED, "put the covers back on").job.phase is Phase.FINDING


def test_what_it_was_is_kept_in_the_techs_words(chat_of):
    """A cause that no repair of ours mends: proved, closed as fixed, no fault of ours learned from it."""
    chat = after(chat_of, "front load washer wont drain", "fixed it, it was a loose plug", "works", "all done", "skip")
    assert chat.job.outcome is Outcome.FIXED
    assert labels(chat, "proof") == [{"held": True, "fault": None, "repair": None, "words": "loose plug"}]


def test_what_it_was_is_asked_once_where_nobody_said(chat_of):
    """Then the proof, whatever the answer is."""
    chat = after(chat_of, "top loader wont spin", "it works now")
    assert "What was it?" in chat.latest[0].text
    chat.send("no idea")
    assert chat.job.phase is Phase.PROOF and chat.job.position.fault is None


def test_a_gas_part_that_a_junior_put_in_goes_to_a_senior(chat_of):
    """That it works proves nothing of its joints."""
    chat = after(chat_of, "gas dryer no heat", "replaced the gas valve coils works now")
    assert chat.job.phase is Phase.HANDED_OFF and chat.offers()


def test_an_answer_that_sounds_like_a_repair_stays_an_answer(chat_of):
    """'New belt grips' is what the look at it shows."""
    chat = after(chat_of, *AT_WORK, "done", "still same", "runs no spin", "new belt grips fine")
    assert failed(chat) == ["replace_belt"] and chat.job.phase is Phase.CHECKS
    assert ("belt_grip", "grips") in {(f.subject, f.value) for f in chat.job.standing("result")}


@pytest.mark.parametrize("said", ["did that already. still hums no water moves", "already did that, no change"])
def test_what_was_done_without_success_is_not_offered_again(chat_of, said):
    """The pump is clear by now, and it hums all the same."""
    chat = after(chat_of, *PUMP, said)
    assert failed(chat) == ["clear_drain_pump"]
    assert "Clear the drain pump" not in chat.latest[0].text


def test_a_burner_that_lit_needs_no_seating(chat_of):
    """What it was and that it works, in one line: the proof."""
    chat = after(chat_of, "gas range burner wont light clicks ok", "it lit now cap was crooked")
    assert chat.job.phase is Phase.PROOF and chat.job.position.fault == "burner_cap.misplaced"


@pytest.mark.parametrize("said", ["its on but still no spin", "belt is in still no spin", "done still sits there"])
def test_done_and_not_cured_in_one_line(chat_of, said):
    """Nobody is asked how it went who just said so."""
    chat = after(chat_of, *AT_WORK, said)
    assert failed(chat) == ["replace_belt"] and chat.job.phase is Phase.CHECKS


@pytest.mark.parametrize("told", [("no still sits. motor runs",), ("done", "still sits there motor runs")])
def test_what_the_run_showed_is_not_asked_again(chat_of, told):
    """And it was run: whoever goes back in pulls the plug first."""
    chat = after(chat_of, *AT_WORK, *told)
    assert "what do the motor and the basket do" not in chat.latest[0].text
    assert "Plug out again" in "\n".join(said.text for said in chat.latest)


def test_a_new_trouble_waits_for_the_repair_and_its_proof(chat_of):
    """The price stays agreed; the second trouble comes once the first is cured."""
    chat = after(chat_of, *AT_WORK, "she says the fill is slow too")
    assert chat.job.phase is Phase.REPAIR and chat.job.position.agreed
    chat.send("done")
    chat.send("works")
    assert [fact.subject for fact in chat.job.standing("complaint")] == ["slow_fill"]
    assert chat.job.phase is Phase.CHECKS and chat.job.question.kind == "check"


@pytest.mark.parametrize("said", ["works, but now its leaking from under", "works now its leaking underneath",
                                  "spins now but leaks from underneath"])
def test_cured_with_another_trouble_closes_the_first_and_looks_at_the_second(chat_of, said):
    """The belt's proof held; where it leaks is asked."""
    chat = after(chat_of, *AT_WORK, "done", said)
    assert labels(chat, "proof")[-1]["held"] is True and not failed(chat)
    assert "no_spin" not in {fact.subject for fact in chat.job.standing("complaint")}
    assert "drop come from" in chat.latest[-1].text


@pytest.mark.parametrize("said", ["wrong belt too short", "the belt they sent is too long", "not the right belt",
                                  "this belt doesnt match the old one"])
def test_a_wrong_part_by_its_name_is_ordered_anew(chat_of, said):
    """No senior is needed for that."""
    chat = after(chat_of, *AT_WORK, said)
    assert chat.job.phase is Phase.WAITING and not chat.offers()


def test_a_fault_that_was_repaired_is_named_with_that(chat_of):
    """What is left of the belief in it is that the new part is no better; nobody is told it as news."""
    chat = after(chat_of, *AT_WORK, "done", "still same", "runs no spin", "grips now", "dust ring", "slips with drag",
                 "got one", "yes", "done", "still the same", "runs no spin", "where")
    assert failed(chat) == ["replace_belt", "replace_clutch"]
    assert "worn clutch despite its repair" in chat.latest[0].text
