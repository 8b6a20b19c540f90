"""The prompt that people type at. It is there before the rest is loaded; what is typed meanwhile waits in a queue."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Final

from prompt_toolkit import PromptSession, print_formatted_text
from prompt_toolkit.formatted_text import FormattedText
from prompt_toolkit.history import FileHistory, History, InMemoryHistory
from prompt_toolkit.patch_stdout import patch_stdout

from adapters.terminal.example import CREW, FIRM_NAME

WORDS: Final = "help  how  why  back  skip  where  sheet  senior  new  stop"
PROMPT: Final = FormattedText([("bold ansiyellow", "you "), ("", "")])
Lines = asyncio.Queue[str | None]
"""What was typed; None at the end."""


async def by_hand(folder: Path, role: str | None, name: str | None, seed: int | None, history: Path | None,
                  packs: Sequence[Path] = ()) -> None:
    """One sitting, until Ctrl-D, or Ctrl-C on an empty line. Raises StoreError."""
    kept: History = InMemoryHistory() if history is None else FileHistory(str(history))
    session: PromptSession[str] = PromptSession(history=kept)
    ready = asyncio.Event()
    session.app.after_render += lambda _: ready.set()
    lines: Lines = asyncio.Queue()
    who = name or next(f"{each}, {as_role}" for each, as_role, _ in CREW if as_role == (role or "junior"))
    with patch_stdout(raw=True):
        _greet(f"{FIRM_NAME}. You are {who}. Type what the machine does.", f"{WORDS}   Ctrl-D ends")
        prompt = asyncio.create_task(_read(session, lines))
        await ready.wait()
        work = asyncio.create_task(_work(folder, role, name, seed, lines, packs))
        await asyncio.wait({prompt, work}, return_when=asyncio.FIRST_COMPLETED)
        prompt.cancel()
        lines.put_nowait(None)
        await work


def _greet(*lines: str) -> None:
    for line in (*lines, ""):
        print_formatted_text(FormattedText([("ansibrightblack", line)]))


async def _read(session: PromptSession[str], lines: Lines) -> None:
    while True:
        try:
            line = await session.prompt_async(PROMPT)
        except EOFError:
            return
        except KeyboardInterrupt:
            if not session.default_buffer.text:
                return
            continue
        if line.strip():
            lines.put_nowait(line)


async def _work(folder: Path, role: str | None, name: str | None, seed: int | None, lines: Lines,
                packs: Sequence[Path]) -> None:
    """The chat itself. Its imports take longer than the prompt does: they come after it, in a thread."""
    chat = await asyncio.to_thread(import_module, "adapters.terminal.chat")
    await chat.sit(folder, role, name, seed, lines, packs)
