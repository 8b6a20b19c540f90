"""After a senior named the fault or let go: the junior knows whose finding it is, and the senior hears how it ended."""

import pytest


@pytest.fixture
def found(rui_and_marta):
    """Marta named the fault of Rui's oven."""
    crew = rui_and_marta()
    crew.send("electric oven no heat, 14 hazel lane")
    crew.send("senior")
    crew.press(1, who="marta")
    crew.send("found failed relay on the oven board", who="marta")
    return crew


def test_where_says_whose_finding_it_is(found):
    """Not that nothing stands out."""
    said = found.send("where")[-1].text
    assert "Marta's finding: failed relay on the oven board." in said
    assert "in 10" not in said


def test_the_note_is_for_the_junior_of_this_visit_too(found, told):
    """Whoever the next one is, Rui stands in front of it now."""
    found.send("this board fails at the solder, look there first", who="marta")
    assert found.heard["rui"][-1].text == "Note from Marta: this board fails at the solder, look there first"


def test_a_note_after_the_end_is_for_the_next_one_only(found):
    """A closed visit is left in peace."""
    for words in ("stop", "not fixed"):
        found.send(words)
    before = len(found.heard["rui"])
    found.send("this board fails at the solder", who="marta")
    assert len(found.heard["rui"]) == before


def test_the_senior_hears_how_it_ended(found):
    """Who, where, what it was, and how."""
    for words in ("got one", "yes", "done", "works", "all done"):
        found.send(words)
    assert found.heard["marta"][-1].text == (
        "Rui, 14 Hazel Lane, range, electric. Your finding: failed relay on the oven board. Closed as fixed.")


def test_who_had_the_case_hears_how_it_ended_too(rui_and_marta):
    """Also without a finding of theirs."""
    crew = rui_and_marta()
    crew.send("dishwasher wont drain")
    crew.send("senior")
    crew.press(1, who="marta")
    crew.send("carry on", who="marta")
    crew.send("stop")
    crew.send("not fixed")
    assert crew.heard["marta"][-1].text == "Rui, no address, dishwasher, the case you had. Closed: not fixed."


def test_words_after_the_case_was_taken_back_still_reach_the_junior(rui_and_marta):
    """For some hours; later they are about something else."""
    crew = rui_and_marta()
    crew.send("dishwasher wont drain")
    crew.send("senior")
    crew.press(1, who="marta")
    crew.send("back")
    for words in ("gas co there? dont go back in", "and keep the tap shut"):
        crew.send(words, who="marta")
        assert crew.heard["rui"][-1].text == f"Marta: {words}"
    crew.wait(4 * 60)
    crew.send("hello, how are you", who="marta")
    assert crew.heard["rui"][-1].text != "Marta: hello, how are you"


def test_a_senior_with_another_machine_is_not_passed_on(rui_and_marta):
    """`new` is a job of their own."""
    crew = rui_and_marta()
    crew.send("dishwasher wont drain")
    crew.send("senior")
    crew.press(1, who="marta")
    crew.send("back")
    crew.send("new", who="marta")
    crew.send("electric dryer no heat", who="marta")
    assert "electric dryer no heat" not in crew.heard["rui"][-1].text
    assert any("Dryer, electric" in said.text for said in crew.heard["marta"])


def test_an_address_beside_a_name_is_noted(chat_of):
    """The tech hears that it was, and the question comes again."""
    chat = chat_of()
    chat.send("gas dryer no heat igniter glows then clicks off")
    said = chat.send("hazel 14 old mill road")[-1].text
    assert "Address noted." in said and "follow" not in said
    assert chat.job.standing("site")[-1].value == "14 Old Mill Road"
