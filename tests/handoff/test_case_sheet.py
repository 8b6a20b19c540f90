"""The case as a senior reads it: the danger first, the junior's words, what was not followed, the photo."""

from bot.conversation.events import PhotoSeen
from bot.conversation.firm import Person
from bot.diagnosis.evidence import Decision, Option
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

GOOD = PhotoSeen("0" * 64, "image/jpeg", 200_000, 1600, 1200, 120.0, 300.0)


def test_a_hazard_comes_first_and_without_odds(rui_and_marta):
    """What was named, what he was told, whether he confirmed it; no fault's odds and no question."""
    crew = rui_and_marta()
    crew.send("gas dryer no heat")
    crew.send("3")
    crew.send("co alarm went off")
    sheet = crew.heard["marta"][-1].paragraphs
    assert sheet[1].startswith("Carbon monoxide. Told: everyone out")
    assert sheet[1].endswith("Not confirmed yet.")
    assert not any(word in "\n".join(sheet) for word in ("in 10", "in 20", "One question", "lean to"))


def test_the_complaint_and_the_last_sentence_in_his_words(rui_and_marta):
    """Commands, numbers and nods are no last words."""
    crew = rui_and_marta()
    for words in ("toploader belt drive, wont spin since they moved", "1", "smells a bit hot by the motor i guess",
                  "ok", "senior"):
        crew.send(words)
    sheet = crew.heard["marta"][-1].text
    assert 'In their words: "toploader belt drive, wont spin since they moved"' in sheet
    assert 'Last words: "smells a bit hot by the motor i guess"' in sheet


def test_what_was_not_followed_is_there_to_read(rui_and_marta):
    """The senior may make more of it than the bot did."""
    crew = rui_and_marta()
    for words in ("dishwasher wont drain", "blargh fnord zorp", "senior"):
        crew.send(words)
    assert 'Not followed: "blargh fnord zorp"' in crew.heard["marta"][-1].text


def test_words_changed_or_taken_back_do_not_stand_there(rui_and_marta):
    """The sheet has the last version."""
    crew = rui_and_marta()
    crew.send("dishwasher wont drain")
    crew.send("the lady next door shouts at me")
    crew.redact()
    crew.send("senior")
    assert "lady" not in crew.heard["marta"][-1].text


def test_a_photo_is_announced(rui_and_marta):
    """It comes with the offer, and the words say so."""
    crew = rui_and_marta()
    crew.send("dishwasher wont drain")
    crew.photo(GOOD)
    crew.send("senior")
    assert "Photo kept with the job." in crew.heard["marta"][-1].paragraphs


def test_the_question_that_helps_most_is_in_the_later_sheet_too(rui_and_marta):
    """`where` tells what the offer told."""
    crew = rui_and_marta()
    crew.send("dishwasher wont drain")
    crew.send("senior")
    crew.press(1, who="marta")
    crew.send("where", who="marta")
    assert "One question would help most:" in crew.heard["marta"][-1].text


def bearing_case(release, *lines: str) -> str:
    """All that is said in a visit whose finding is a tub bearing, to a tech who is not signed off for lifting."""
    repair = release.knowledge.packs["top_load_washer"].repair_of("tub_bearing.worn")[0]

    def decided(*_: object) -> Decision:
        option = Option("repair", repair, 0.0, 0.0)
        return Decision(option, (option,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=decided)
    said = chat.send("top load washer roars in spin")
    while chat.job.question.kind == "check":  # what may have caused it
        said += chat.send("skip")
    return "\n".join(message.text for message in [*said, *(more for line in lines for more in chat.send(line))])


def test_the_sign_off_that_is_lacking_is_named(release):
    """To the junior and on the sheet: 'lifting', not 'a licence or a sign-off'."""
    said = bearing_case(release)
    assert "takes a sign-off for lifting, which you don't have with us" in said
    assert "The work takes a sign-off they don't have: lifting." in said


def test_given_back_the_fault_and_what_it_takes_are_named(release):
    """'How do we leave it?' comes with what it is."""
    said = bearing_case(release, "carry on")
    assert "It points at" in said.split("Back to it.")[1]
    assert "takes a sign-off for lifting" in said.split("Back to it.")[1]


def test_who_will_not_run_it_is_on_the_sheet(rui_and_marta):
    """The senior does not send the junior to start it."""
    crew = rui_and_marta()
    for words in ("front load washer wont drain", "im not running that again", "senior"):
        crew.send(words)
    assert "They won't run it." in crew.heard["marta"][-1].text
