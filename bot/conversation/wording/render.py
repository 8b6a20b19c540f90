"""From message keys and parameters to paragraphs of neutral markup, in a person's language and a firm's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from bot.conversation.effects import Text
from bot.conversation.firm import Firm
from bot.conversation.markup import Paragraph, fill, localised, plain
from bot.conversation.wording import en
from bot.conversation.wording.amounts import amounts

LANGUAGES: Final[Mapping[str, Mapping[str, str]]] = {"en": en.TEXTS}


class NoSuchTextError(KeyError):
    """A message key that no language has: a mistake in the program."""


def render(text: Text, firm: Firm, language: str = "en") -> Paragraph:
    """One paragraph. A key that the language lacks is said in English.

    The parameters are plain text: numbers, words, lists of them, or Texts of their own.
    """
    return localised(_render(text, firm, language), firm.words)


def render_choice(text: Text, firm: Firm, language: str = "en") -> str:
    """The label of a choice, plain."""
    return plain(render(text, firm, language))


def _render(text: Text, firm: Firm, language: str) -> Paragraph:
    if text.key == "raw":
        return fill("{text}", lambda _: str(text.params["text"]))
    own = amounts(text, firm)
    if own is not None:
        return fill("{text}", lambda _: own)
    template = LANGUAGES.get(language, {}).get(text.key) or en.TEXTS.get(text.key)
    if template is None:
        raise NoSuchTextError(text.key)
    return fill(template, _parameter(text.params, firm, language))


def _parameter(params: Mapping[str, Any], firm: Firm, language: str) -> Callable[[str], str]:
    def param(name: str) -> str:
        if name == "emergency_number":
            return firm.emergency_number
        if name == "gas_number":
            return firm.gas_number
        if name == "firm":
            return firm.name
        return _said(params[name], firm, language)

    return param


def _said(value: Any, firm: Firm, language: str) -> str:
    if isinstance(value, Text):
        return plain(_render(value, firm, language))
    if isinstance(value, dict) and "key" in value:
        return plain(_render(Text(value["key"], value.get("params", {})), firm, language))
    if isinstance(value, (list, tuple)):
        return ", ".join(_said(item, firm, language) for item in value)
    return str(value)
