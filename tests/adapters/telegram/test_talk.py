"""A tech's talk on Telegram: text, buttons, photos, albums, corrections, replies, everything else."""

from __future__ import annotations

import asyncio
import time

from adapters.telegram.delivery import TelegramDelivery
from bot.conversation.events import Other, PhotoSent
from bot.conversation.events import load_event as load
from bot.conversation.markup import Span
from bot.service.clock import utc_now
from bot.service.delivery import Delivered
from bot.store.rows import Outgoing
from tests.adapters.telegram.stage import DANA, RUI, Stage, picture
from tests.peers.botapi.phone import Phone


def photos_in(stage: Stage) -> list[PhotoSent]:
    """The photo events as stored."""
    assert stage.bot is not None
    rows = stage.bot.store._read(lambda conn: conn.execute("SELECT event FROM inbox ORDER BY seq").fetchall())
    return [event for (row,) in rows if isinstance(event := load(row), PhotoSent)]


async def test_words_are_answered(rui: Phone) -> None:
    """What Rui types is heard, in order, and answered in his chat."""
    for number in range(5):
        await rui.say(f"m{number}")
    await rui.reads("5: m4")
    assert rui.lines == [f"{n + 1}: m{n}" for n in range(5)]


async def test_what_is_typed_never_becomes_markup(rui: Phone) -> None:
    """Tags, entities and stars come back as they were typed."""
    nasty = "<b>x</b> & <i>y &lt; <script> **z** `q` </code>"
    await rui.say(nasty)
    assert (await rui.reads("<script>")).words == f"1: {nasty}"


async def test_a_pressed_question_is_closed_and_shows_the_answer(rui: Phone, stage: Stage) -> None:
    """The buttons go, the answer stands under the question, and the waiting sign on the button is taken off."""
    await rui.say("ask")
    question = await rui.reads("1: ask")
    assert question.labels == ["Yes", "No"]
    query = await rui.press("No")
    await rui.reads("2: pressed 2")
    await rui.until(lambda: not question.labels)
    assert question.words == "1: ask\n\n→ 2"
    assert "<b>2</b>" in (question.html or "")
    await rui.until(lambda: query in stage.server.world.toasts)


async def test_a_finger_that_slips_presses_once(rui: Phone) -> None:
    """Two taps on the same button are one answer."""
    await rui.say("ask")
    question = await rui.reads("1: ask")
    data = question.buttons[0][0]["callback_data"]
    await rui.press_data(data, question)
    await rui.press_data(data, question)
    await rui.say("done")
    await rui.reads("done")
    assert [line for line in rui.lines if "pressed" in line] == ["2: pressed 1"]


async def test_a_correction_reaches_the_message_it_corrects(rui: Phone) -> None:
    """An edit is an event of its own about the old message; one that changes no words is nothing."""
    typed = await rui.say("52 ohm")
    await rui.reads("1: 52 ohm")
    await rui.edit(typed, "52 ohm")
    await rui.edit(typed, "5.2 ohm")
    await rui.reads("2: edited 5.2 ohm")
    assert len(rui.lines) == 2


async def test_a_reply_names_the_message_it_answers(rui: Phone, stage: Stage) -> None:
    """Replying to an older question of another job leads to that job."""
    await rui.say("first")
    old = await rui.reads("1: first")
    await rui.say("new one")
    await rui.reads("1: new one")
    await rui.say("about the first", reply_to=old)
    await rui.reads("2: about the first")


async def test_a_photo_is_kept_with_its_caption(rui: Phone, stage: Stage) -> None:
    """The largest size is fetched, measured and kept."""
    content = picture()
    await rui.photo(content, caption="the plate")
    await rui.reads("1: photo 1")
    (event,) = photos_in(stage)
    (seen,) = event.photos
    assert event.caption == "the plate"
    assert (seen.width, seen.height, seen.mime, seen.bytes) == (640, 480, "image/jpeg", len(content))
    assert seen.sha256 is not None and stage.bot is not None
    assert stage.bot.store.photo_file(seen.sha256).read_bytes() == content


async def test_an_image_sent_as_a_file_is_a_photo(rui: Phone, stage: Stage) -> None:
    """Also when the phone does not say that it is one."""
    await rui.document(picture(kind="PNG"), "plate.png", "image/png")
    await rui.document(picture("b"), "plate.JPG", "application/octet-stream")
    await rui.reads("2: photo 1")
    assert [event.photos[0].mime for event in photos_in(stage)] == ["image/png", "image/jpeg"]


async def test_photos_that_are_no_use_are_refused(rui: Phone, stage: Stage) -> None:
    """Too large by what the platform says, of another type, broken: each with its reason, and nothing is kept."""
    await rui.photo(b"x", size=21 * 1024 * 1024)
    await rui.document(b"GIF89a" + b"\0" * 50, "x.gif", "image/gif")
    await rui.document(picture()[:300], "x.jpg", "image/jpeg")
    await rui.reads("3: photo 1")
    assert [event.photos[0].refused for event in photos_in(stage)] == ["size", "type", "broken"]


async def test_a_file_whose_size_was_not_told_is_refused_by_telegram(rui: Phone, stage: Stage) -> None:
    """Over 20 MB Telegram hands nothing out: refused by size, at once."""
    file_id = stage.server.world.keep_file(picture(), 25 * 1024 * 1024)
    await rui.other(document={"file_id": file_id, "file_unique_id": "u", "file_name": "x.jpg",
                              "mime_type": "image/jpeg"})
    await rui.reads("1: photo 1")
    assert photos_in(stage)[0].photos[0].refused == "size"


async def test_an_album_is_one_answer(rui: Phone, stage: Stage) -> None:
    """Three photos sent together, one with the caption, are one event; what follows comes after them."""
    for number in range(3):
        await rui.photo(picture(str(number)), caption="both ends" if number == 0 else None, album="a1")
    await rui.say("that is it")
    await rui.reads("2: that is it")
    (event,) = photos_in(stage)
    assert len(event.photos) == 3 and event.caption == "both ends"
    assert rui.lines == ["1: photo 3", "2: that is it"]


async def test_a_part_that_comes_late_belongs_to_the_same_message(rui: Phone, stage: Stage) -> None:
    """Bad signal delays the third photo of an album: it is not lost, and counts for the same message."""
    await rui.photo(picture("0"), album="a1")
    await rui.photo(picture("1"), album="a1")
    await rui.reads("1: photo 2")
    await rui.photo(picture("2"), album="a1")
    await rui.reads("2: photo 1")
    first, late = photos_in(stage)
    assert first.message == late.message


async def test_photos_do_not_hold_up_other_chats(rui: Phone, stage: Stage) -> None:
    """While Rui's photo hangs, Dana is answered; Rui's next message waits for the photo before it."""
    dana = stage.join(DANA, "Dana")
    stage.server.faults.plan("file", "hang")
    await rui.photo(picture())
    await rui.say("after the photo")
    begun = time.monotonic()
    await dana.say("hello")
    await dana.reads("1: hello")
    assert time.monotonic() - begun < 0.9
    assert rui.lines == []
    await rui.reads("2: after the photo")
    assert rui.lines == ["1: photo 1", "2: after the photo"]


async def test_everything_else_is_told_apart(rui: Phone, stage: Stage) -> None:
    """Voice, video, place, contact, sticker and files reach the core as what they are."""
    file = {"file_id": "f", "file_unique_id": "u"}
    await rui.say("hello")
    await rui.voice(b"a voice")
    film = stage.server.world.keep_file(b"a film")
    await rui.other(video={"file_id": film, "file_unique_id": "u", "duration": 3, "width": 1, "height": 1})
    await rui.other(location={"latitude": 1.0, "longitude": 2.0})
    await rui.other(contact={"phone_number": "1", "first_name": "X"})
    await rui.other(sticker={**file, "type": "regular", "width": 1, "height": 1, "is_animated": False,
                             "is_video": False})
    await rui.document(b"%PDF-1.4", "manual.pdf", "application/pdf")
    await rui.other(pinned_message={"message_id": 1, "date": 1, "chat": {"id": RUI, "type": "private"}})
    await rui.reads("7: other")
    assert stage.bot is not None
    rows = stage.bot.store._read(lambda conn: conn.execute(
        "SELECT json_extract(event, '$.what') FROM inbox WHERE kind = 'other' ORDER BY seq").fetchall())
    assert [what for (what,) in rows] == ["voice", "video", "place", "contact", "sticker", "file"]
    await asyncio.sleep(0.1)
    assert len(rui.lines) == 7, "a notice that something was pinned is not talk"


async def test_a_place_that_moves_on_is_not_a_correction(rui: Phone, stage: Stage) -> None:
    """A shared live place reports every few seconds: only the first is heard."""
    place = await rui.other(location={"latitude": 1.0, "longitude": 2.0})
    await rui.reads("1: other")
    await stage.server.world.update(edited_message={**stage.server.world.as_json(place), "edit_date": place.date + 5})
    await rui.say("there")
    await rui.reads("2: there")


async def test_commands_are_words(rui: Phone) -> None:
    """A command from the menu loses the bot's name behind it; a start loses its code."""
    await rui.say("/how@lead_hand_bot")
    await rui.reads("1: /how")
    await rui.say("/start ABCD-EFGH-JKLM")
    await rui.reads("2: /start")


async def test_the_typing_sign_comes_after_a_second(rui: Phone, stage: Stage) -> None:
    """A photo that takes its time shows that somebody is at it; a quick answer shows nothing."""
    await rui.say("quick")
    await rui.reads("1: quick")
    stage.server.faults.plan("file", "hang")
    await rui.photo(picture())
    await rui.reads("2: photo")
    actions = [action for _, action in rui.chat.actions]
    assert actions == ["typing"]


async def test_long_answers_end_where_a_reader_pauses(rui: Phone) -> None:
    """Two messages of whole sentences instead of one that Telegram refuses; the buttons are under the last."""
    story = " ".join(f"Sentence number {n} about the belt." for n in range(125))
    await rui.say("ask " + story)
    await rui.until(lambda: len(rui.screen) == 2)
    first, last = rui.screen
    assert first.words.endswith("about the belt.") and last.words.startswith("Sentence number")
    assert f"{first.words} {last.words}" == f"1: ask {story}"
    assert not first.labels and last.labels == ["Yes", "No"]
    await rui.press("Yes")
    await rui.until(lambda: not last.labels)
    assert last.words.endswith("→ 1") and "→" not in first.words


async def test_a_voice_note_is_kept_and_can_be_passed_on(rui: Phone, stage: Stage) -> None:
    """It waits beside the photos, counted by its message; sent to a senior it is a voice note again."""
    note = b"OggS\x00\x02" + bytes(22) + b"\x01\x13OpusHead" + bytes(100)
    await rui.voice(note)
    await rui.reads("1: other")
    assert stage.bot is not None
    store, adapter = stage.bot.store, stage.bot.adapter
    (event,) = [load(row) for (row,) in store._read(lambda conn: conn.execute("SELECT event FROM inbox").fetchall())]
    assert isinstance(event, Other) and event.kept is not None
    assert store.photo_file(event.kept).read_bytes() == note
    assert store.forget_unused_photos(utc_now()) == 0
    row = Outgoing(row=1, key="k", kind="send", message="m", conversation="c", platform="telegram",
                   account=adapter.account, address=str(RUI), person="p",
                   paragraphs=((Span("Rui sent this."),),), photos=(event.kept,))
    assert isinstance(await TelegramDelivery(adapter.bot, adapter.account, store).deliver(row), Delivered)
    passed = rui.screen[-1]
    assert (passed.caption, passed.contents, "voice" in passed.media) == ("Rui sent this.", note, True)


async def test_a_recording_that_is_none_is_still_answered(rui: Phone, stage: Stage) -> None:
    """Bytes that are neither sound nor picture are not kept; the tech is answered all the same."""
    await rui.voice(b"nothing of the sort")
    await rui.reads("1: other")
    assert stage.bot is not None
    assert stage.bot.store._read(lambda conn: conn.execute("SELECT count(*) FROM photos").fetchone()) == (0,)
