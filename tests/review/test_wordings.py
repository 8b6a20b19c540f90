"""Adding wording: a preview on stored messages, the overlay's file, and no trace of it once it is taken back."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.language.index import build_index
from bot.language.understand import understand
from bot.review import wordings
from bot.review.access import form_token, log_in, log_out, new_login, visitor
from bot.store.errors import RefusedError
from bot.store.folder import OVERLAY
from bot.store.review import ReviewStore
from knowledge.loader import load
from tests.review.folder import NOON, Told

PHRASE = "the flappy bit is wobblyquux"


def problems(overlay: Path) -> list[str]:
    """What the loader says of the packs with it."""
    return [str(finding) for finding in load([overlay], families=["top_load_washer"]).errors]


@pytest.fixture(scope="module")
def known() -> object:
    """Our packs of one family."""
    return load(families=["top_load_washer"]).knowledge


def test_a_wording_is_previewed_added_understood_and_taken_back(store: ReviewStore, told: tuple[Path, Told],
                                                                known: object) -> None:
    """The stored message is the one that changes; the packs load with it; after undo nothing is left of it."""
    packs = known.packs["top_load_washer"]  # type: ignore[attr-defined]
    choices = [choice.meaning for choice in wordings.choices(packs)]
    meaning = next(each for each in choices if each.startswith("complaint:") and "fill" in each)
    preview = wordings.preview(store, known, "top_load_washer", meaning, PHRASE)  # type: ignore[arg-type]
    assert [change.message.job for change in preview.changes] == [told[1].belt]
    added = wordings.add(store, known, "top_load_washer", meaning, f"  {PHRASE.upper()} ", None, NOON,  # type: ignore[arg-type]
                         check=problems)
    assert added.phrase == PHRASE
    file = store.folder / OVERLAY / "top_load_washer" / wordings.FILE
    assert PHRASE in file.read_text()
    ours, ownn = (load(folders, families=["top_load_washer"]).knowledge for folders in ([], [store.folder / OVERLAY]))
    key = meaning.partition(":")[2]
    before = ours.packs["top_load_washer"].complaints[key].phrases["en"]
    assert ownn.packs["top_load_washer"].complaints[key].phrases["en"] == (*before, PHRASE)
    heard = understand(build_index(ownn), PHRASE, family="top_load_washer")
    assert key in {guess.id for guess in heard.complaints}
    with pytest.raises(RefusedError, match="already"):
        wordings.add(store, known, "top_load_washer", meaning, PHRASE, None, NOON,  # type: ignore[arg-type]
                     check=problems)
    assert wordings.undo(store, added.id, None, NOON)
    assert not wordings.undo(store, added.id, None, NOON)
    assert not file.exists() and store.wordings() == ()


def test_words_that_lose_their_meaning_need_a_second_word(store: ReviewStore, known: object) -> None:
    """Words that say a belt slips dry, taken for a lid that locks: what is lost is named, and nothing is kept unless it
    is wanted all the same."""
    meaning = next(choice.meaning for choice in wordings.choices(known.packs["top_load_washer"])  # type: ignore[attr-defined]
                   if choice.meaning.startswith("result:l") and choice.name == "lid locks")
    phrase = "belt slips, dry"
    found = wordings.preview(store, known, "top_load_washer", meaning, phrase)  # type: ignore[arg-type]
    assert found.doubtful and any("belt" in each for each in found.effect.lost)
    with pytest.raises(RefusedError, match="confirm"):
        wordings.add(store, known, "top_load_washer", meaning, phrase, None, NOON, check=problems)  # type: ignore[arg-type]
    assert store.wordings() == ()
    wordings.add(store, known, "top_load_washer", meaning, phrase, None, NOON, check=problems, sure=True)  # type: ignore[arg-type]
    assert [each.phrase for each in store.wordings()] == [phrase]


def test_new_words_need_no_second_word(store: ReviewStore, known: object) -> None:
    """Nothing is lost, and they come out as what they are to mean."""
    found = wordings.preview(store, known, "top_load_washer", "complaint:no_fill", PHRASE)  # type: ignore[arg-type]
    assert found.effect == wordings.Effect((), True, None) and not found.doubtful


def test_a_meaning_is_found_by_its_words(known: object) -> None:
    """What it does and what works stand before the answers; any beginnings of words narrow the list."""
    every = wordings.choices(known.packs["top_load_washer"])  # type: ignore[attr-defined]
    headings = list(dict.fromkeys(choice.heading for choice in every))
    assert headings[:2] == ["What it does", "What works"] and headings[2:] == sorted(headings[2:], key=str.casefold)
    found = wordings.found_by(every, "BELT slip")
    assert found and all("belt" in f"{each.heading} {each.name}".lower() for each in found)
    assert wordings.found_by(every, "belt, slip") == found
    assert len(found) < 10 and wordings.found_by(every, "") == every and not wordings.found_by(every, "quuxed")


@pytest.mark.parametrize(("phrase", "meaning"), [("", "complaint:no_spin"), ("12", "complaint:no_spin"),
                                                 ("x" * 200, "complaint:no_spin"), ("fine words", "complaint:nothing"),
                                                 ("fine words", "")])
def test_what_will_not_do_is_refused(known: object, phrase: str, meaning: str) -> None:
    """Too short, too long, or no such meaning: a word on what to do, and nothing is kept."""
    with pytest.raises(RefusedError):
        wordings.checked(known.packs["top_load_washer"], "top_load_washer", meaning, phrase)  # type: ignore[attr-defined]


def test_packs_that_would_not_load_are_refused(store: ReviewStore, known: object) -> None:
    """Then the overlay is as it was."""
    with pytest.raises(RefusedError, match="would not load"):
        wordings.add(store, known, "top_load_washer", "complaint:no_spin", PHRASE, None, NOON,  # type: ignore[arg-type]
                     check=lambda _: ["broken"])
    assert store.wordings() == () and not list((store.folder / OVERLAY).glob("*/*"))


def test_a_login_is_good_once_and_not_for_long(store: ReviewStore) -> None:
    """Used once, for ten minutes, by owners and seniors; a session ends by itself, or at logging out."""
    people = {person.name: person.id for person in store.crew().values()}
    key = new_login(store, people["Marta"], NOON)
    session = log_in(store, key, NOON)
    assert session is not None and log_in(store, key, NOON) is None
    marta = visitor(store, session, NOON)
    assert marta is not None and (marta.role, marta.seen_by) == ("senior", people["Marta"])
    assert visitor(store, session, NOON.replace(day=8)) is None
    assert visitor(store, "made up", NOON) is None
    assert log_in(store, new_login(store, None, NOON), NOON.replace(minute=11)) is None
    with pytest.raises(RefusedError):
        new_login(store, people["Rui"], NOON)
    assert form_token(session) != form_token(session + "x")
    log_out(store, session)
    assert visitor(store, session, NOON) is None
