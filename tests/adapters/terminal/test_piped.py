"""`chargehand try` in plain lines, as a script or another program uses it."""

from __future__ import annotations

import os
import subprocess
from functools import cache
from pathlib import Path

import pytest
from PIL import Image

from tests.adapters.command import COMMAND, chargehand, refused

FIRST = "top loader, belt drive, washes ok but wont spin"


def replies(*lines: str, options: tuple[str, ...] = (), **more: str) -> list[str]:
    """What the bot says to these lines, without its prefix. Fails if anything else is printed."""
    done = chargehand("try", *options, given="".join(f"{line}\n" for line in lines), env=more)
    assert done.returncode == 0 and done.stderr == "", done
    return unprefixed(done.stdout)


def unprefixed(output: str) -> list[str]:
    """The lines of the bot without its prefix. Fails if there are others."""
    said = output.splitlines()
    assert all(line.startswith("bot> ") or line == "bot>" for line in said)
    return [line.removeprefix("bot>").removeprefix(" ") for line in said]


@cache
def plainly() -> tuple[str, ...]:
    """What it says to the first message alone."""
    return tuple(replies(FIRST))


def choices(said: list[str]) -> list[str]:
    """The numbered choices among what was said."""
    return [line for line in said if line.startswith("  ")]


def test_a_message_is_said_back_and_asked_about() -> None:
    """Prefixed lines; the choices are numbered from 1."""
    said = replies(FIRST)
    assert "spin" in said[0]
    numbered = choices(said)
    assert [line.split(")")[0] for line in numbered] == [f"  {n}" for n in range(1, len(numbered) + 1)]
    assert len(numbered) >= 2


def test_a_number_answers_a_choice() -> None:
    """After it comes something new."""
    first, both = plainly(), replies(FIRST, "1")
    assert tuple(both[: len(first)]) == first and len(both) > len(first)


def test_no_input_no_output() -> None:
    """The end of input ends it, with 0."""
    assert replies() == []


@pytest.mark.parametrize("line", [
    b"", b"   ", b"\xf0\x9f\x94\xa7\xf0\x9f\x94\xa7", "הכביסה לא מסתובבת".encode(), b"wont\x00spin", b"\xff\xfe\xfd",
    b"a" * 10_000, b"[bold]{text}**`x`", b"'; DROP TABLE events; --", b"\x1b[31mred\x1b[0m",
], ids=str)
def test_odd_input_gets_an_answer(line: bytes) -> None:
    """Something is said, the next message is understood as ever, and nothing falls over."""
    done = chargehand("try", given=line + b"\n" + FIRST.encode() + b"\n")
    assert done.returncode == 0 and done.stderr == ""
    said = done.stdout.splitlines()
    assert len(said) > len(plainly()) - 1 and any("spin" in text for text in said)
    assert "\x1b" not in done.stdout


def test_a_last_line_without_its_end_counts() -> None:
    """`printf` without a newline, and Windows line ends."""
    for text in (FIRST, f"{FIRST}\r\n"):
        assert tuple(unprefixed(chargehand("try", given=text).stdout)) == plainly() != ()


def test_the_same_seed_says_the_same() -> None:
    """Word for word, on two throw-away folders."""
    lines = (FIRST, "1", "why", "back", "how")
    assert replies(*lines, options=("--seed", "7")) == replies(*lines, options=("--seed", "7"))


def test_a_seed_on_a_used_folder_loses_nothing(tmp_path: Path) -> None:
    """Ids that the seed gave before are passed over: the message is not taken for a repeat."""
    options = ("--data", str(tmp_path), "--seed", "7")
    assert replies(FIRST, options=options)
    said = replies("where", options=options)
    assert len(said) > len(choices(said))


def test_restart_shows_the_open_question_again(tmp_path: Path) -> None:
    """Marked as still open, with its choices; a number answers it."""
    options = ("--data", str(tmp_path))
    asked = choices(replies(FIRST, options=options))
    again = replies(options=options)
    assert again[0] == "Still open:" and choices(again) == asked
    assert len(replies("1", options=options)) > len(again)


def test_a_throw_away_folder_is_thrown_away(tmp_path: Path) -> None:
    """Nothing of the talk is left where temporary files go, and the next talk knows nothing of it."""
    said = replies(FIRST, TMPDIR=str(tmp_path))
    assert said and list(tmp_path.iterdir()) == []
    assert replies() == []


def picture(file: Path, brightness: int) -> Path:
    """A photo of that mean brightness, with edges to be sharp."""
    image = Image.new("L", (800, 600), brightness)
    for x in range(0, 800, 8):
        image.paste(min(255, brightness * 2), (x, 0, x + 4, 600))
    image.save(file)
    return file


def test_a_photo_is_sent_by_its_path(tmp_path: Path) -> None:
    """A dark one is told from a good one; quotes and blanks in the path are fine; what is no photo is told."""
    dark, good = picture(tmp_path / "dark.png", 4), picture(tmp_path / "the plate.png", 110)
    assert any("dark" in line for line in replies(FIRST, str(dark)))
    kept = tmp_path / "data"
    plain = replies(FIRST, f"'{good}'", options=("--data", str(kept)))
    assert not any("dark" in line for line in plain) and len(plain) > len(plainly())
    assert [file.suffix for file in (kept / "photos").rglob("*") if file.is_file()] == [".png"], "any viewer opens it"
    (tmp_path / "fake.jpg").write_text("not a photo")
    for path in (tmp_path / "fake.jpg", tmp_path / "nowhere.jpg"):
        assert len(replies(FIRST, str(path))) > len(plainly())


def test_edit_changes_the_last_message() -> None:
    """What follows is about the new words."""
    said = replies("top loader wont spin", "edit top loader wont drain")
    assert any("drain" in line for line in said)


def test_edit_of_nothing_is_told() -> None:
    """On standard error, and the talk goes on."""
    done = chargehand("try", given=f"edit wont drain\n{FIRST}\n")
    assert done.returncode == 0 and done.stderr == "chargehand: there is no message to change yet\n"
    assert "spin" in done.stdout


def test_each_seat_gets_its_own(tmp_path: Path) -> None:
    """Marta and Dana see nothing of Rui's talk; Rui's question waits for Rui."""
    data = ("--data", str(tmp_path))
    asked = replies(FIRST, options=data)
    assert replies(options=(*data, "--as", "senior", "--wait", "0.5")) == []
    assert replies(options=(*data, "--name", "Dana")) == []
    assert choices(replies(options=(*data, "--name", "rui"))) == choices(asked)


def test_two_seats_at_once(tmp_path: Path) -> None:
    """Both write to one folder at the same time: each gets all of its own answers, and no other."""
    pipes = {name: subprocess.Popen([COMMAND, "try", "--data", tmp_path, "--name", name, "--wait", "2"],
                                    stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
             for name in ("Rui", "Dana")}
    texts = {"Rui": "top loader wont spin\n", "Dana": "top loader wont drain\n"}
    for name, pipe in pipes.items():
        assert pipe.stdin is not None
        pipe.stdin.write(texts[name])
        pipe.stdin.close()
        pipe.stdin = None
    said = {name: pipe.communicate(timeout=60) for name, pipe in pipes.items()}
    assert all(pipe.returncode == 0 for pipe in pipes.values()), said
    assert "no spin" in said["Rui"][0] and "no drain" not in said["Rui"][0]
    assert "drain" in said["Dana"][0] and "no spin" not in said["Dana"][0]
    assert len(said["Rui"][0].split("Top-load washer: ")) == len(said["Dana"][0].split("Top-load washer: ")) == 2


def test_a_name_has_one_role(tmp_path: Path) -> None:
    """Marta is no junior; a stranger gets a seat of the example firm only."""
    data = ("--data", str(tmp_path))
    assert "Marta is a senior here" in refused(chargehand("try", *data, "--name", "Marta", "--as", "junior"))
    assert replies(FIRST, options=(*data, "--name", "Nils"))
    firm = ("--data", str(tmp_path / "firm"))
    chargehand("people", "invite", "--role", "owner", *firm)
    assert replies(options=firm) == []  # nobody is in yet: the example crew moves in


def test_a_folder_that_cannot_be_used_is_one_line(tmp_path: Path) -> None:
    """A file where the folder should be, a file that is no database."""
    (tmp_path / "file").write_text("x")
    assert "file" in refused(chargehand("try", "--data", str(tmp_path / "file")))
    assert "cannot be made" in refused(chargehand("try", "--data", str(tmp_path / "file" / "data")))
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "chargehand.db").write_text("this is no database, and that can be seen" * 9)
    assert "cannot be used" in refused(chargehand("try", "--data", str(tmp_path / "data")))


def test_a_reader_that_goes_away_loses_nothing(tmp_path: Path) -> None:
    """What was not read waits in the outbox; the next sitting shows it."""
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run([COMMAND, "try", "--data", tmp_path], input=f"{FIRST}\n".encode(), stdout=writing,
                          stderr=subprocess.PIPE, timeout=60, check=False)
    os.close(writing)
    assert b"Traceback" not in done.stderr
    assert any("spin" in line for line in replies(options=("--data", str(tmp_path), "--wait", "2")))


def test_knowledge_of_ones_own_with_a_mistake_is_named(tmp_path: Path) -> None:
    """The machine would be gone without a word: file, line, what to write, and nothing is begun."""
    (tmp_path / "top_load_washer").mkdir()
    (tmp_path / "top_load_washer" / "ours.yaml").write_text(
        "faults:\n  drive_belt.worn:\n    shows: {no_spinn: always}\n")
    said = refused(chargehand("try", "--pack", str(tmp_path)))
    assert "ours.yaml:3: no complaint 'no_spinn': nearest is 'no_spin'" in said
    assert f"chargehand knowledge check --pack {tmp_path}" in said
