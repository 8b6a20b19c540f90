"""Who belongs to the crew: codes that work once, sign-offs, removal, and a log of it all."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from bot.service import people
from bot.store.errors import RefusedError
from bot.store.sqlite import SqliteStore
from tests.service.small import NOON


@pytest.fixture
def store(tmp_path: Path) -> SqliteStore:
    return SqliteStore(tmp_path)


def audit(store: SqliteStore) -> list[str]:
    """What the audit log says was done."""
    rows = store._read(lambda conn: conn.execute("SELECT what FROM audit ORDER BY seq").fetchall())
    return [what for (what,) in rows]


def test_a_code_makes_a_stranger_one_of_the_crew(store: SqliteStore) -> None:
    """Ines invites Rui; he types the code in his own way and is a junior from then on, on that account."""
    code = people.invite(store, "junior", "Rui", NOON)
    assert people.looks_like_code(f" {code.lower().replace('-', ' ')} ")
    assert [invite.name for invite in store.open_invites(NOON)] == ["Rui"]
    assert store.meet("telegram", "bot", "77", "77", NOON) is None
    rui = people.redeem(store, code.lower().replace("-", " "), "telegram", "bot", "77", "rui1998", NOON)
    assert (rui.name, rui.role, rui.signoffs) == ("Rui", "junior", frozenset())
    met = store.meet("telegram", "bot", "77", "77", NOON)
    assert met is not None
    assert met.person == rui.id
    assert store.meet("telegram", "bot", "77", "77", NOON) == met
    (member,) = store.members()
    assert member.identities == (("telegram", "bot", "77"),)
    assert store.open_invites(NOON) == ()
    assert audit(store) == ["invited", "invite_redeemed"]


def test_a_code_works_once_and_for_a_week(store: SqliteStore) -> None:
    """A second use, a late one and a guess are refused with the reason, and change nothing."""
    code = people.invite(store, "senior", "", NOON)
    marta = people.redeem(store, code, "matrix", "bot", "@marta:example.org", "Marta", NOON)
    assert marta.name == "Marta"
    with pytest.raises(RefusedError, match="used already"):
        people.redeem(store, code, "matrix", "bot", "@other:example.org", "Other", NOON)
    late = people.invite(store, "junior", "Dana", NOON)
    with pytest.raises(RefusedError, match="run out"):
        people.redeem(store, late, "matrix", "bot", "@dana:example.org", "Dana", NOON + timedelta(days=8))
    with pytest.raises(RefusedError, match="no such code"):
        people.redeem(store, "AAAA-BBBB-CCCC", "matrix", "bot", "@x:example.org", "X", NOON)
    assert list(store.crew()) == [marta.id]


def test_codes_are_not_kept(tmp_path: Path, store: SqliteStore) -> None:
    """The data folder does not hold a code in any form that could be typed."""
    code = people.invite(store, "owner", "Ines", NOON)
    store.close()
    kept = b"".join(file.read_bytes() for file in tmp_path.rglob("*") if file.is_file())
    assert code.encode() not in kept
    assert code.replace("-", "").encode() not in kept
    assert b"Ines" in kept


def test_sign_offs_come_and_go(store: SqliteStore) -> None:
    """Granted twice is granted; revoked is gone; each act is in the log."""
    rui = people.seat(store, "terminal", "local", "rui", "junior", "Rui", NOON).person
    assert people.sign_off(store, rui, "live", NOON).signoffs == {"live"}
    people.sign_off(store, rui, "live", NOON)
    assert people.sign_off(store, rui, "lifting", NOON).signoffs == {"live", "lifting"}
    assert people.sign_off(store, rui, "live", NOON, revoke=True).signoffs == {"lifting"}
    assert audit(store) == ["seated", "signed_off", "signed_off", "signed_off", "signoff_revoked"]


def test_what_cannot_be_done_says_what_to_write(store: SqliteStore) -> None:
    """Unknown roles, sign-offs and people name what there is."""
    with pytest.raises(RefusedError, match="no role 'boss': write junior, senior or owner"):
        people.invite(store, "boss", "X", NOON)
    rui = people.seat(store, "terminal", "local", "rui", "junior", "Rui", NOON).person
    with pytest.raises(RefusedError, match="no sign-off 'fire': write live, gas, refrigerant or lifting"):
        people.sign_off(store, rui, "fire", NOON)
    with pytest.raises(RefusedError, match="no person 'nobody': `chargehand people list`"):
        people.remove(store, "nobody", NOON)
    with pytest.raises(RefusedError, match="a name needs"):
        people.seat(store, "terminal", "local", "x", "junior", " \x1b ", NOON)


def test_someone_removed_is_a_stranger(store: SqliteStore) -> None:
    """Their accounts, sign-offs and place in the list are gone; a new invitation makes them a new person."""
    dana = people.seat(store, "terminal", "local", "dana", "junior", "Dana", NOON).person
    people.sign_off(store, dana, "live", NOON)
    assert people.remove(store, dana, NOON).name == "Dana"
    assert store.meet("terminal", "local", "dana", "dana", NOON) is None
    assert dict(store.crew()) == {}
    with pytest.raises(RefusedError):
        people.remove(store, dana, NOON)
    code = people.invite(store, "junior", "Dana", NOON)
    again = people.redeem(store, code, "terminal", "local", "dana", "dana", NOON)
    assert again.id != dana
    assert again.signoffs == frozenset()


def test_another_process_sees_changes_at_once(tmp_path: Path, store: SqliteStore) -> None:
    """The crew is kept in memory, and read again when anyone changed it."""
    other = SqliteStore(tmp_path)
    assert dict(other.crew()) == {}
    rui = people.seat(store, "terminal", "local", "rui", "junior", "Rui", NOON).person
    assert other.crew()[rui].name == "Rui"
    assert other.crew() is other.crew()
    people.set_duty(store, rui, NOON, on_duty=False)
    assert not other.crew()[rui].on_duty


def test_two_in_one_room(store: SqliteStore) -> None:
    """Two people at one address have a conversation each, so that neither speaks for the other."""
    for name in ("rui", "dana"):
        code = people.invite(store, "junior", name.title(), NOON)
        people.redeem(store, code, "matrix", "bot", f"@{name}:example.org", name, NOON)
    rui = store.meet("matrix", "bot", "@rui:example.org", "!room", NOON)
    dana = store.meet("matrix", "bot", "@dana:example.org", "!room", NOON)
    assert rui is not None
    assert dana is not None
    assert rui.conversation != dana.conversation
