"""Every sentence of the talk by key, in each language we speak, and the ways people answer its choices."""

from bot.conversation.wording.answers import choice_words
from bot.conversation.wording.render import render, render_choice

__all__ = ["choice_words", "render", "render_choice"]
