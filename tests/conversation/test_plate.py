"""What a message tells of the plate: watts that a heating element can have, model and serial."""

import pytest

from bot.conversation.told.plate import is_model, volts_in, watts_in


@pytest.mark.parametrize(("text", "watts"), [
    ("9 ohm across the 5400w element", 5400), ("2.1 kW", 2100), ("element says 5400 watts", 5400), ("2,6kw", 2600),
    ("its 240 v", None), ("50000w", None), ("wont spin", None), ("20w lamp", None)])
def test_watts_are_found(text, watts):
    """Numbers with watts behind them, in the range of household elements."""
    assert watts_in(text) == watts


@pytest.mark.parametrize(("text", "volts"), [
    ("28 ohm, its a 240 volt 2000 watt one", 240), ("stamped 1800W 208V, reads 24", 208), ("120v, 1000w", 120),
    ("240 v at the block, element is the 5400w kind", None), ("its 240 v", None), ("5400 watt", None)])
def test_volts_count_where_they_stand_beside_the_watts(text, volts):
    """One stamp gives both; volts alone, or at another place of the sentence, were measured."""
    assert volts_in(text) == volts


@pytest.mark.parametrize("line", ["model GX-20 serial 4455", "model no. GX20, serial no. 4455", "serial 4455A",
                                  "its model 110.4455", "plate says mod GX20 ser 4455"])
def test_model_and_serial_told_early_are_kept(chat_of, line):
    """At a check they answer nothing, and they are not asked for again when the part is ordered."""
    chat = chat_of()
    chat.send("front loader leaks from the door gasket")
    asked = chat.job.question.checks
    assert chat.send(line)[0].paragraphs[0] == "Kept with the job." and chat.job.question.checks == asked
    for words in ("torn", "order it", "yes"):
        chat.send(words)
    assert chat.job.question.kind == "due" and chat.job.standing("plate")[0].value == line


@pytest.mark.parametrize("line", ["model is old", "serial killer noise", "model GX20 and it hums", "motor 4455"])
def test_what_is_more_than_a_plate_is_heard_as_ever(line):
    """Only a line that is nothing else."""
    assert not is_model(line)


@pytest.mark.parametrize(("lines", "result"), [
    (("electric oven wont bake, bake element 28 ohms", "element is stamped 2000w 240v"), "good"),
    (("electric oven wont bake, bake element 28 ohms", "looks whole", "its 2.6 kw"), "high"),
    (("electric dryer no heat, element 14 ohm", "rated 3600w"), "good"),
    (("electric dryer no heat, element 14 ohm", "plate says 5400w"), "high")])
def test_watts_told_later_decide_what_a_reading_was(chat_of, lines, result):
    """A reading that its watts leave open is not called bad; told, they answer nothing else that is asked."""
    chat = chat_of()
    said = "\n".join(say.text for say in chat.send(lines[0]))
    assert "too high" not in said and "its watts decide" in said
    for line in lines[1:]:
        said = "\n".join(say.text for say in chat.send(line))
    assert {f.subject: f.value for f in chat.job.standing("result")}["element_ohms"] == result
    assert ("reads right" if result == "good" else "too high") in said and "don't follow" not in said


@pytest.mark.parametrize("line", ["electric dryer no heat, element 10 ohm",
                                  "electric oven wont bake, bake element 90 ohms"])
def test_a_reading_that_is_plain_asks_for_no_watts(chat_of, line):
    """Near the usual or far from any: the watts would change nothing."""
    assert "watts decide" not in "\n".join(say.text for say in chat_of().send(line))
