"""Understanding what a technician types: normalising, clauses and negation, matching, readings. Pure."""

from bot.language.answers.answer import answer
from bot.language.contract import as_json, explain_text, heard_json, read_json, understand_json
from bot.language.index import Index, build_index
from bot.language.readings.read import read
from bot.language.understand import understand

__all__ = ["Index", "answer", "as_json", "build_index", "explain_text", "heard_json", "read", "read_json", "understand",
           "understand_json"]
