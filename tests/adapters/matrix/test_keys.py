"""Devices and keys: who may read, what is lost, and what is said about it."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing

import pytest

from adapters.matrix.devices import NEW_DEVICE
from adapters.matrix.session import KEYS, SESSION, sign_in
from adapters.shared.adapter import AdapterStoppedError
from bot.service.config import MatrixConfig
from tests.adapters.matrix.conftest import PhoneOf, Talk, TalkOf
from tests.adapters.matrix.house import PASSWORD, House
from tests.adapters.matrix.test_talk import until
from tests.peers.synapse.server import Synapse

COMPLAINT = "top loader belt drive, washes and drains ok but wont spin"


async def test_a_second_device_reads_along_and_is_on_record(server: Synapse, house: House, talk: TalkOf,
                                                            phone: PhoneOf):
    """Someone's new device gets the next answer, can ask itself, and stands in the audit log from its first day."""
    await house.start()
    rui = await talk(house)
    await rui.ask("hi")
    second = await phone(server, rui.account, "nio")
    await until(lambda: len(seen(house)) == 2)
    assert {each["device"] for each in seen(house)} == {rui.phone.device, second.device}
    question = await rui.last_question(COMPLAINT)
    assert (await second.wait(lambda each: each.id == question.id)).body == question.body
    before = len(second.heard)
    await second.say(rui.room, "1")
    assert (await second.answer(after=before)).encrypted
    assert house.result("watch_spin") == "silent"


async def test_verified_only_means_verified_only(server: Synapse, house_on: Callable[..., House], phone: PhoneOf):
    """With `devices = "verified"`, a device that is not in the settings is neither heard nor able to read."""
    account = server.register("ruiverified")
    good = await phone(server, account)
    house = house_on(server, devices="verified", verified_devices=[good.fingerprint])
    house.employ(account.user)
    await house.start()
    room = await good.open(house.account.user)
    await good.met(room, house.account.user)
    assert "Which machine" in (await good.ask(room, "hi")).body
    other = await phone(server, account, "nio")
    before = len(good.heard)
    await other.say(room, COMPLAINT)
    notice = await good.answer(after=before)
    assert "devices that the owner has verified" in notice.body
    assert house.rows("SELECT count(*) FROM jobs") == [(0,)]
    await until(lambda: any(each.id == notice.id and each.failed for each in other.heard))
    assert [each["verified"] for each in seen(house)] == [True, False]


async def test_a_lost_key_is_asked_for_and_the_message_heard(house: House, talk: TalkOf):
    """A room's key is gone from our file: the device that made it hands it out again, and the message counts."""
    await house.start()
    rui = await talk(house)
    await rui.last_question(COMPLAINT)
    await house.stop()
    forget_room_keys(house)
    await house.start()
    before = len(rui.phone.heard)
    await rui.phone.say(rui.room, "1")
    answer = await rui.question(before)
    assert "encryption key" not in answer.body
    assert house.result("watch_spin") == "silent"
    await until(lambda: waiting(house) == 0)


async def test_a_key_that_does_not_come_is_said(house: House, talk: TalkOf):
    """A device that does not hand its key out again: the sender is told, once, also over a restart; what they send
    with a new key is heard.
    """
    await house.start()
    rui = await talk(house, "nio")
    await rui.ask("hi")
    await house.stop()
    forget_room_keys(house)
    await rui.phone.say(rui.room, COMPLAINT)
    await house.start()
    assert "I can't read your last message" in (await rui.spoken("encryption key")).body
    await house.stop()
    await house.start()
    assert waiting(house) == 1
    rui.phone.client.invalidate_outbound_session(rui.room)  # type: ignore[attr-defined]
    await rui.last_question(COMPLAINT)
    assert sum("encryption key" in each for each in rui.phone.words()) == 1


async def test_lost_keys_are_a_clear_error_with_a_way_out(house: House, talk: TalkOf):
    """Without its keys the bot does not start, and says what to do. Done so, it is a new device; the talk goes on."""
    await house.start()
    rui = await talk(house)
    await rui.last_question(COMPLAINT)
    await house.stop()
    folder = house.data / "matrix"
    (folder / KEYS).unlink()
    with pytest.raises(AdapterStoppedError, match=r"keys of this session are gone.*move .*matrix aside"):
        await house.start()
    await house.stop_quietly()
    folder.rename(house.data / "matrix-old")
    await house.start()
    before = len(rui.phone.heard)
    await rui.phone.say(rui.room, "1")
    await rui.question(before)
    assert house.result("watch_spin") == "silent"


async def test_keys_that_cannot_be_opened_are_a_clear_error(house: House):
    """A session file that belongs to other keys, a damaged one, and one of somebody else."""
    await house.start()
    await house.stop()
    file = house.data / "matrix" / SESSION
    assert file.stat().st_mode & 0o077 == 0  # it holds the access token
    good = file.read_text()
    for bad, said in ((json.dumps({**json.loads(good), "pickle_key": "other"}), "cannot be opened"),
                      ("{", "cannot be read"),
                      (json.dumps({**json.loads(good), "user": "@x:test.local"}), "settings name")):
        file.write_text(bad)
        with pytest.raises(AdapterStoppedError, match=said):
            await house.start()
        await house.stop_quietly()
    file.write_text(good)
    await house.start()


async def test_an_old_copy_of_the_keys_is_noticed(house: House, talk: TalkOf):
    """Keys put back from before new ones were published no longer fit those that the server has: as soon as that shows
    it is said, with the way out, instead of trying for ever.
    """
    await house.start()
    await house.stop()
    folder = house.data / "matrix"
    shutil.copytree(folder, house.folder / "copy")
    await house.start()
    rui = await talk(house)
    await rui.ask("hi")  # uses one of the keys up, and the bot publishes another
    await house.stop()
    shutil.rmtree(folder)
    shutil.copytree(house.folder / "copy", folder)
    await house.start()
    with pytest.raises(AdapterStoppedError, match="old copy"):
        async with house.ended():
            dana = await talk(house, "nio", name="Dana")
            await dana.phone.say(dana.room, "hi")  # uses up one more


async def test_ended_while_publishing_its_keys_it_publishes_the_same_again(server: Synapse, house: House, talk: TalkOf):
    """The server has our first keys, we were ended before we knew: the next start goes well."""
    os.environ[PASSWORD] = house.account.password
    settings = MatrixConfig.model_validate(house.settings()["matrix"])
    client = await sign_in(settings, house.data / "matrix")
    server.call("POST", "/_matrix/client/v3/keys/upload", client.olm.share_keys(), client.access_token)
    await client.close()
    await house.start()
    rui = await talk(house)
    assert "Which machine" in (await rui.ask("hi")).body


async def test_a_token_from_the_environment_is_enough(server: Synapse, house_on: Callable[..., House], talk: TalkOf,
                                                      monkeypatch: pytest.MonkeyPatch):
    """It is never written down; one of another device, or none, is a clear error."""
    house = house_on(server, token_env="CHARGEHAND_TEST_TOKEN")
    with pytest.raises(AdapterStoppedError, match="CHARGEHAND_TEST_TOKEN"):
        await house.start()
    await house.stop_quietly()
    monkeypatch.setenv("CHARGEHAND_TEST_TOKEN", house.account.token)
    await house.start()
    rui: Talk = await talk(house)
    assert "Which machine" in (await rui.ask("hi")).body
    await house.stop()
    for file in house.data.rglob("*"):
        assert not file.is_file() or house.account.token.encode() not in file.read_bytes(), file
    monkeypatch.setenv("CHARGEHAND_TEST_TOKEN", rui.account.token)
    with pytest.raises(AdapterStoppedError, match="device"):
        await house.start()
    await house.stop_quietly()


async def test_a_wrong_password_is_a_clear_error(house: House):
    """`chargehand serve` ends with it: it names the variable, not the password."""
    house.password = "opensesame"
    with pytest.raises(RuntimeError, match="did not come up") as error:
        await house.start_child()
    assert house.child is not None
    assert house.child.returncode == 1
    assert f"chargehand: the homeserver does not let {house.account.user} in" in str(error.value)
    assert PASSWORD in str(error.value)
    assert "opensesame" not in str(error.value)


async def test_signed_out_elsewhere_it_stops_loudly(server: Synapse, house: House):
    """The session is ended on the server: serving ends with what to do, instead of trying on in silence."""
    await house.start()
    token = json.loads((house.data / "matrix" / SESSION).read_text())["token"]
    with pytest.raises(AdapterStoppedError, match="no longer takes this session"):
        async with house.ended():
            server.call("POST", "/_matrix/client/v3/logout", {}, token)


def seen(house: House) -> list[dict[str, object]]:
    """Devices in the audit log."""
    return [data for what, data in house.audit() if what == NEW_DEVICE]


def waiting(house: House) -> object:
    """Messages that wait for their keys."""
    assert house.adapter is not None
    return house.adapter.health().details["waiting_for_keys"]


def forget_room_keys(house: House) -> None:
    """Lose the keys of rooms, as a disk that goes bad does."""
    with closing(sqlite3.connect(house.data / "matrix" / KEYS)) as conn, conn:
        conn.execute("DELETE FROM megolminboundsessions")
