"""What people do in a chat beside typing: reactions, edits, replies, threads, withdrawals, photos."""

from __future__ import annotations

import asyncio
import io
import random
from collections.abc import Callable
from hashlib import sha256

from PIL import Image

from adapters.matrix.delivery import PLATFORM
from bot.conversation.markup import Span
from bot.service.delivery import Delivered
from bot.store.rows import Outgoing
from tests.adapters.matrix.conftest import Talk, TalkOf
from tests.adapters.matrix.house import House

COMPLAINT = "top loader belt drive, washes and drains ok but wont spin"
CHECK = "watch_spin"


async def until(true: Callable[[], bool], seconds: float = 15.0) -> None:
    """Wait until something holds."""
    async with asyncio.timeout(seconds):
        while not await asyncio.to_thread(true):
            await asyncio.sleep(0.1)


async def test_every_way_to_answer_lands_on_its_question(house: House, talk: TalkOf):
    """A number, a late reaction, an edit, a reply and a thread on an older question each replace its answer; taking
    the message back takes its answer back.
    """
    await house.start()
    rui = await talk(house)
    first = await rui.last_question(COMPLAINT)
    assert "Motor silent" in first.body
    before = len(rui.phone.heard)
    number = await rui.phone.say(rui.room, "1")
    await rui.question(before)
    assert house.result(CHECK) == "silent"
    closed = await rui.closed(first)
    assert "→ Motor silent" in closed.content["m.new_content"]["body"]
    assert "1. " not in closed.content["m.new_content"]["body"]

    await rui.phone.react(rui.room, first.id, "2\N{VARIATION SELECTOR-16}\N{COMBINING ENCLOSING KEYCAP}")
    await until(lambda: house.result(CHECK) == "hums")
    await rui.phone.edit(rui.room, number, "3")
    await until(lambda: house.result(CHECK) == "runs_no_spin")
    await rui.phone.say(rui.room, "it just hums, no start", reply_to=first.id)
    await until(lambda: house.result(CHECK) == "hums")
    threaded = await rui.phone.say(rui.room, "motor silent", thread=first.id)
    await until(lambda: house.result(CHECK) == "silent")
    await rui.phone.redact(rui.room, threaded)
    await until(lambda: house.result(CHECK) != "silent")


async def test_a_reaction_that_means_no_choice_is_left_alone(house: House, talk: TalkOf):
    """A heart is no answer, and neither is anything under a message that asked nothing."""
    await house.start()
    rui = await talk(house)
    hi = await rui.phone.say(rui.room, "hi")
    greeting = await rui.phone.answer(after=0)
    before = len(rui.phone.words())
    await rui.phone.redact(rui.room, hi)  # it had told nothing: nothing to say about it either
    assert await rui.quiet(0.5) <= 1  # the redaction itself
    assert len(rui.phone.words()) == before
    question = await rui.last_question(COMPLAINT)
    await rui.phone.react(rui.room, question.id, "\N{HEAVY BLACK HEART}")
    await rui.phone.react(rui.room, greeting.id, "1")
    assert await rui.quiet() == 0
    assert house.result(CHECK) is None


async def test_photos_come_and_go_encrypted(house: House, talk: TalkOf):
    """A photo from the phone is in the store byte by byte; one of the store's reaches the phone byte by byte."""
    await house.start()
    rui = await talk(house)
    await rui.last_question(COMPLAINT)
    photo = picture()
    before = len(rui.phone.heard)
    await rui.phone.photo(rui.room, photo, "image/jpeg", caption="1")
    await rui.question(before)
    digest = sha256(photo).hexdigest()
    assert house.rows("SELECT sha256, width, height FROM photos") == [(digest, 800, 600)]
    assert house.result(CHECK) == "silent"  # its words are heard as well

    assert house.adapter is not None
    out = passed_on(house, rui, digest)
    done = await house.adapter.delivery.deliver(out)
    assert isinstance(done, Delivered)
    assert len(done.platform_ids) == 2
    image = await rui.phone.wait(lambda each: each.content.get("msgtype") == "m.image")
    assert image.encrypted
    assert await rui.phone.fetch(image.content) == photo
    assert await house.adapter.delivery.deliver(out) == done  # handed over again: the same events, nothing twice
    assert await rui.quiet() == 0


async def test_a_voice_note_is_kept_and_can_be_passed_on(house: House, talk: TalkOf):
    """It waits beside the photos; passed on, it is a recording again. The bot says what to send instead."""
    await house.start()
    rui = await talk(house)
    await rui.last_question(COMPLAINT)
    note = b"OggS\x00\x02" + bytes(22) + b"\x01\x13OpusHead" + bytes(100)
    before = len(rui.phone.heard)
    await rui.phone.photo(rui.room, note, "audio/ogg", kind="m.audio")
    assert "voice" in (await rui.phone.answer(after=before)).body
    digest = sha256(note).hexdigest()
    assert house.rows("SELECT json_extract(event, '$.kept') FROM inbox WHERE kind = 'other'") == [(digest,)]
    assert house.adapter is not None
    await house.adapter.delivery.deliver(passed_on(house, rui, digest))
    audio = await rui.phone.wait(lambda each: each.content.get("msgtype") == "m.audio")
    assert await rui.phone.fetch(audio.content) == note


async def test_a_photo_that_was_changed_on_the_way_is_refused(house: House, talk: TalkOf):
    """What does not fit its digest is not opened; the sender is asked for another."""
    await house.start()
    rui = await talk(house)
    await rui.last_question(COMPLAINT)
    before = len(rui.phone.heard)
    await rui.phone.photo(rui.room, picture(), "image/jpeg", tampered=True)
    answer = await rui.phone.answer(after=before)
    assert answer.encrypted
    assert house.rows("SELECT count(*) FROM photos") == [(0,)]


async def test_it_is_seen_that_a_message_was_kept(house: House, talk: TalkOf):
    """A read receipt as soon as it is on disk; the typing sign while an answer is on its way."""
    await house.start()
    rui = await talk(house)
    sent = await rui.phone.say(rui.room, COMPLAINT)
    await until(lambda: sent in rui.phone.read)
    await rui.question(0)
    assert house.adapter is not None
    await house.adapter._line.typing(rui.room)
    await until(lambda: house.account.user in rui.phone.typed)


def passed_on(house: House, rui: Talk, digest: str) -> Outgoing:
    """A row of the outbox that brings a file of the store."""
    [(conversation, person)] = house.rows("SELECT id, person FROM conversations")
    return Outgoing(row=0, key="with a file", kind="send", message="m", conversation=conversation, platform=PLATFORM,
                    account=house.account.user, address=rui.room, person=person,
                    paragraphs=((Span("From Dana:", "bold"),),), photos=(digest,))


def picture() -> bytes:
    """A sharp, bright enough JPEG."""
    chance = random.Random(7)
    small = Image.new("RGB", (80, 60))
    small.putdata([(chance.randrange(60, 255),) * 3 for _ in range(80 * 60)])
    out = io.BytesIO()
    small.resize((800, 600), Image.Resampling.NEAREST).save(out, "JPEG")
    return out.getvalue()
