"""The written conversations: replayed word for word, with every statement of their front matter."""

from pathlib import Path

import pytest

from bot.simulation.transcript import (
    BadTranscriptError,
    broken_statements,
    front_keys,
    read_transcript,
    record,
    replay,
    written,
)

FOLDER = Path(__file__).parents[2] / "transcripts_synthetic"
FILES = sorted(f for f in FOLDER.glob("*.md") if f.name != "README.md")
HEAD = "---\ntitle: t\nfamily: null\nfault: null\nscenario: s\nmust: {}\n---\n"


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_a_written_conversation_is_what_the_bot_says_today(file, release):
    """Word for word, and all that has to hold holds. To record anew: see transcripts_synthetic/README.md."""
    transcript = read_transcript(file.read_text(encoding="utf-8"))
    chat, steps = replay(transcript, release)
    assert broken_statements(transcript, chat, steps) == []
    assert written(transcript, steps) == file.read_text(encoding="utf-8")


def test_the_readme_names_every_key_of_the_front_matter():
    """The format is documented in full."""
    readme = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert [key for key in front_keys()["properties"] if f"{key}:" not in readme] == []


def test_a_bad_line_is_named():
    """A conversation that follows no format says which line."""
    with pytest.raises(BadTranscriptError, match="line 9"):
        read_transcript(HEAD + "\nhello there\n")


def test_recording_refuses_what_no_longer_holds(tmp_path, release):
    """A file whose statement is false is left as it was, and named."""
    file = tmp_path / "a.md"
    text = HEAD.replace("must: {}", "must: {outcome: fixed, jobs: 0}") + "\n**Rui:** hello\n"
    file.write_text(text, encoding="utf-8")
    refused = record(tmp_path, release)
    assert len(refused) == 1
    assert "outcome" in refused[0]
    assert file.read_text(encoding="utf-8") == text


def test_recording_writes_the_words(tmp_path, release):
    """A file whose statements hold gets the bot's words, and replays then."""
    file = tmp_path / "a.md"
    file.write_text(HEAD.replace("must: {}", "must: {jobs: 0}") + "\n**Rui:** hello\n", encoding="utf-8")
    assert record(tmp_path, release) == []
    assert "> " in file.read_text(encoding="utf-8")
