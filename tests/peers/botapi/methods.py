"""The methods of the Bot API that the server knows: each takes the call's values and gives the result."""

from __future__ import annotations

import json
import time
from collections.abc import Awaitable, Callable
from typing import Any

from tests.peers.botapi import markup
from tests.peers.botapi.world import Chat, Message, RefusedError, World, checked

Call = dict[str, Any]
TOO_BIG = 20 * 1024 * 1024
PHOTO_TOO_BIG = 10 * 1024 * 1024


async def get_me(world: World, call: Call) -> Any:
    """Who the bot is."""
    return world.bot


async def set_my_commands(world: World, call: Call) -> Any:
    """The menu."""
    world.commands = json.loads(call["commands"])
    return True


async def send_message(world: World, call: Call) -> Any:
    """A text."""
    chat = world.chat(int(call["chat_id"]))
    text, html = _words(call, "text", 4096, "message")
    return await _posted(world, chat, call, text=text, html=html)


async def send_photo(world: World, call: Call) -> Any:
    """A picture."""
    content = call["photo"]
    if len(content) > PHOTO_TOO_BIG:
        raise RefusedError(400, "Bad Request: file is too big for a photo")
    return await _posted_media(world, call, content, _photo(world, content))


async def send_document(world: World, call: Call) -> Any:
    """A file."""
    file_id = world.keep_file(call["document"])
    return await _posted_media(world, call, call["document"], {
        "document": {"file_id": file_id, "file_unique_id": f"u{file_id}", "file_size": len(call["document"])}})


async def send_voice(world: World, call: Call) -> Any:
    """A voice note."""
    file_id = world.keep_file(call["voice"])
    return await _posted_media(world, call, call["voice"], {
        "voice": {"file_id": file_id, "file_unique_id": f"u{file_id}", "duration": 1}})


async def send_video(world: World, call: Call) -> Any:
    """A video."""
    file_id = world.keep_file(call["video"])
    return await _posted_media(world, call, call["video"], {
        "video": {"file_id": file_id, "file_unique_id": f"u{file_id}", "duration": 1, "width": 1, "height": 1}})


async def send_media_group(world: World, call: Call) -> Any:
    """An album."""
    chat = world.chat(int(call["chat_id"]))
    items = json.loads(call["media"])
    if not 2 <= len(items) <= 10:
        raise RefusedError(400, "Bad Request: there must be from 2 to 10 media in an album")
    album = world.next_id("album")
    sent = []
    for item in items:
        content = call[item["media"].removeprefix("attach://")]
        message = Message(world.next_number(chat.number), chat.number, world.bot_id, album=album,
                          contents=content, media=_photo(world, content), caption=item.get("caption"))
        sent.append(world.as_json(await world.post(chat, message)))
    return sent


async def edit_message_text(world: World, call: Call) -> Any:
    """Change a text, and its buttons."""
    message = _to_edit(world, call)
    if message.text is None:
        raise RefusedError(400, "Bad Request: there is no text in the message to edit")
    text, html = _words(call, "text", 4096, "message")
    return await _edited(world, message, call, text=text, html=html)


async def edit_message_caption(world: World, call: Call) -> Any:
    """Change a caption, and the buttons."""
    message = _to_edit(world, call)
    if message.text is not None:
        raise RefusedError(400, "Bad Request: there is no caption in the message to edit")
    caption, html = _words(call, "caption", 1024, "caption")
    return await _edited(world, message, call, caption=caption, html=html)


async def edit_message_reply_markup(world: World, call: Call) -> Any:
    """Change the buttons alone."""
    return await _edited(world, _to_edit(world, call), call)


async def answer_callback_query(world: World, call: Call) -> Any:
    """Take the waiting sign off a button."""
    pressed = world.presses.get(call["callback_query_id"])
    if pressed is None or time.monotonic() - pressed > world.stale_after:
        raise RefusedError(400, "Bad Request: query is too old and response timeout expired or query ID is invalid")
    world.toasts[call["callback_query_id"]] = call.get("text", "")
    return True


async def send_chat_action(world: World, call: Call) -> Any:
    """The typing sign."""
    world.chat(int(call["chat_id"])).actions.append((time.monotonic(), call["action"]))
    return True


async def set_message_reaction(world: World, call: Call) -> Any:
    """A reaction."""
    _to_edit(world, call)
    return True


async def get_file(world: World, call: Call) -> Any:
    """Where a file is to be fetched."""
    if call["file_id"] not in world.files:
        raise RefusedError(400, "Bad Request: wrong file_id or the file is temporarily unavailable")
    size = world.files[call["file_id"]][1]
    if size > TOO_BIG:
        raise RefusedError(400, "Bad Request: file is too big")
    return {"file_id": call["file_id"], "file_unique_id": f"u{call['file_id']}", "file_size": size,
            "file_path": f"photos/{call['file_id']}.jpg"}


METHODS: dict[str, Callable[[World, Call], Awaitable[Any]]] = {
    "getMe": get_me, "setMyCommands": set_my_commands, "sendMessage": send_message, "sendPhoto": send_photo,
    "sendDocument": send_document, "sendVoice": send_voice, "sendVideo": send_video,
    "sendMediaGroup": send_media_group,
    "editMessageText": edit_message_text, "editMessageCaption": edit_message_caption,
    "editMessageReplyMarkup": edit_message_reply_markup, "answerCallbackQuery": answer_callback_query,
    "sendChatAction": send_chat_action, "setMessageReaction": set_message_reaction, "getFile": get_file,
}


def _photo(world: World, content: bytes) -> dict[str, Any]:
    file_id = world.keep_file(content)
    return {"photo": [{"file_id": file_id, "file_unique_id": f"u{file_id}", "width": 640, "height": 480,
                       "file_size": len(content)}]}


async def _posted_media(world: World, call: Call, content: bytes, media: dict[str, Any]) -> Any:
    chat = world.chat(int(call["chat_id"]))
    caption, html = _words(call, "caption", 1024, "caption")
    return await _posted(world, chat, call, caption=caption, html=html, media=media, contents=content)


async def _posted(world: World, chat: Chat, call: Call, **content: Any) -> Any:
    reply = json.loads(call.get("reply_parameters", "{}"))
    if reply and reply["message_id"] not in chat.messages:
        if not reply.get("allow_sending_without_reply"):
            raise RefusedError(400, "Bad Request: message to be replied not found")
        reply = {}
    topic = int(call["message_thread_id"]) if call.get("message_thread_id") else None
    message = Message(world.next_number(chat.number), chat.number, world.bot_id, buttons=_buttons(call),
                      reply_to=reply.get("message_id"), topic=topic, **content)
    return world.as_json(await world.post(chat, message))


async def _edited(world: World, message: Message, call: Call, **content: Any) -> Any:
    before = message.content()
    after = {"text": message.text, "caption": message.caption, "html": message.html, **content,
             "buttons": _buttons(call)}
    if before == tuple(after[key] for key in ("text", "caption", "html", "buttons")):
        raise RefusedError(400, "Bad Request: message is not modified: specified new message content and reply"
                                " markup are exactly the same as a current content and reply markup of the message")
    for key, value in after.items():
        setattr(message, key, value)
    message.edits += 1
    await world.tell()
    return world.as_json(message)


def _to_edit(world: World, call: Call) -> Message:
    message = world.chat(int(call["chat_id"])).messages.get(int(call["message_id"]))
    if message is None or message.sender != world.bot_id:
        raise RefusedError(400, "Bad Request: message to edit not found")
    return message


def _words(call: Call, key: str, limit: int, what: str) -> tuple[str, str | None]:
    raw = call.get(key, "")
    if call.get("parse_mode") != "HTML":
        return checked(raw, limit, what), None
    try:
        text = markup.read(raw)
    except markup.BadMarkupError as error:
        raise RefusedError(400, f"Bad Request: can't parse entities: {error}") from error
    return checked(text, limit, what), raw


def _buttons(call: Call) -> list[list[dict[str, str]]]:
    rows: list[list[dict[str, str]]] = json.loads(call.get("reply_markup", "{}")).get("inline_keyboard", [])
    for button in (button for row in rows for button in row):
        if not 1 <= len(button.get("callback_data", "").encode()) <= 64:
            raise RefusedError(400, "Bad Request: BUTTON_DATA_INVALID")
        if not button["text"].strip():
            raise RefusedError(400, "Bad Request: text buttons are unallowed in the inline keyboard")
    return rows
