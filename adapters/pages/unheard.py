"""Messages that were not understood, and adding wording to the firm's own pack."""

from __future__ import annotations

from collections.abc import Mapping

from adapters.pages.web import Answer, Asked, Page, Redirect
from bot.conversation.effects import Audit
from bot.review import wordings
from bot.review.groups import groups
from bot.store.errors import RefusedError

READ = 2000
SHOWN = 60


def show(asked: Asked) -> Answer:
    """The groups, and the wordings that were added."""
    store = asked.house.store
    found = groups(store.unheard(READ))
    return Page("unheard.html", {
        "groups": found[:SHOWN], "more": max(0, len(found) - SHOWN), "people": store.names(),
        "names": asked.house.today(), "wordings": store.wordings(), "notes": store.firm_notes()})


def retire(asked: Asked) -> Answer:
    """Show a note of the firm no more."""
    number = asked.form.get("number", "")
    if not number.isdecimal() or not asked.house.store.retire_note(
            int(number), Audit(what="note_retired", data={"number": int(number)}), asked.visitor.person,
            asked.house.clock()):
        raise RefusedError("that note is no longer shown")
    return Redirect("/unheard", "retired")


def wording(asked: Asked) -> Answer:
    """Choose what a wording means; with a meaning chosen, what it would change among the stored messages."""
    return _wording(asked, asked.query)


def preview(asked: Asked) -> Answer:
    """The same, sent as a form."""
    return _wording(asked, asked.form)


def _wording(asked: Asked, given: Mapping[str, str]) -> Answer:
    names = asked.house.today()
    packs = names.knowledge.packs
    phrase, family, meaning = given.get("phrase", "")[:400], given.get("family", ""), given.get("meaning", "")
    pack = packs.get(family)
    wanted = given.get("find", "")[:100].strip()
    shown = None
    problem = ""
    if meaning and not given.get("finding"):
        try:
            phrase = wordings.checked(pack, family, meaning, phrase)
            shown = wordings.preview(asked.house.store, names.knowledge, family, meaning, phrase)
        except RefusedError as error:
            problem = str(error)
    choices = wordings.choices(pack) if pack is not None else ()
    found = wordings.found_by(choices, wanted)
    return Page("wording.html", {
        "names": names, "packs": packs, "phrase": phrase, "family": family if pack is not None else "",
        "meaning": meaning, "choices": found or choices, "all": len(choices), "wanted": wanted,
        "found": len(found), "shown": shown, "problem": problem, "most": wordings.LONGEST,
        "chosen": next((choice for choice in choices if choice.meaning == meaning), None)})


def add(asked: Asked) -> Answer:
    """Write it to the firm's pack."""
    house, form = asked.house, asked.form
    wordings.add(house.store, house.today().knowledge, form.get("family", ""), form.get("meaning", ""),
                 form.get("phrase", ""), asked.visitor.person, house.clock(), check=house.problems,
                 sure=form.get("sure") == "yes")
    house.learned()
    return Redirect("/unheard", "wording")


def undo(asked: Asked) -> Answer:
    """Take a wording back."""
    wordings.undo(asked.house.store, asked.form.get("wording", ""), asked.visitor.person, asked.house.clock())
    asked.house.learned()
    return Redirect("/unheard", "undone")
