"""The word lists that come with the program."""

from __future__ import annotations

from bot.language import Index
from bot.language.complaints.frames import frames, works
from bot.language.words.lexicon import lexicon


def test_frames_name_complaints_that_exist(index: Index) -> None:
    """A frame for a complaint that no pack has would do nothing."""
    for read in (frames(), works()):
        for family, complaints in read.items():
            known = {c for p in index.knowledge.packs.values() for c in p.complaints}
            assert set(complaints) <= known, family


def test_words_of_frames_mean_something() -> None:
    """Every word of a frame is a concept or a word that stands for something."""
    words = lexicon()
    used = {k.removesuffix("=ok").rstrip("-") for read in (frames(), works()) for complaints in read.values()
            for lines in complaints.values() for frame in lines for k in frame}
    unknown = {w for w in used if w not in words.kinds and w != "ok" and words.sense(w) is None}
    assert not unknown


def test_a_word_is_not_two_machines() -> None:
    """Names of machines stand for one thing."""
    words = lexicon()
    assert words.words["toploader"].concept == "family:top_load_washer"
    assert words.words["dryer"].concept == "family:dryer"
