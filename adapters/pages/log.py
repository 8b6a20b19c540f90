"""The log: visits by filters, and everything that was said by its words."""

from __future__ import annotations

from adapters.pages.filters import chosen, kept
from adapters.pages.web import Answer, Asked, Page
from bot.review import naming
from bot.review.naming import Names
from bot.review.search import search

A_PAGE = 40


def log(asked: Asked) -> Answer:
    """The list, or with words to look for the hits, each where it was said."""
    store, names = asked.house.store, asked.house.today()
    words = asked.query.get("q", "").strip()
    filters = kept(asked.query)
    values = {"names": names, "people": store.names(), "filters": filters, "fields": _fields(asked, names),
              "q": words, "narrowed": bool(set(filters) - {"q", "all"})}
    if words:
        place = asked.query.get("before", "")
        found = search(store, asked.house.vocabulary, words[:300], chosen(asked), A_PAGE,
                       int(place) if place.isdecimal() and len(place) < 19 else None,
                       everything=asked.query.get("all") == "1")
        return Page("hits.html", {**values, "found": found})
    before = asked.query.get("before")
    visits = store.visits(chosen(asked), A_PAGE + 1, before if before and len(before) > 32 else None)
    more = visits[A_PAGE - 1].place if len(visits) > A_PAGE else None
    return Page("log.html", {**values, "visits": visits[:A_PAGE], "more": more})


def _fields(asked: Asked, names: Names) -> list[tuple[str, str, list[tuple[str, str]]]]:
    """The choices of the filters: name, label, (value, words)."""
    family = asked.query.get("family")
    packs = names.knowledge.packs
    faults = [(key, f"{pack.family.name}: {fault.name}" if family not in packs else fault.name)
              for known, pack in packs.items() if family in (None, "", known) for key, fault in pack.faults.items()]
    crew = asked.house.store.crew().values()
    return [
        ("tech", "Person", [(p.id, p.name) for p in crew if p.role != "owner"]),
        ("family", "Machine", [(key, pack.family.name) for key, pack in packs.items()]),
        ("fault", "Fault", sorted(faults, key=lambda each: each[1])),
        ("outcome", "Outcome", [("open", "still open"), *naming.OUTCOMES.items()]),
        ("handed_off", "Handed off", [("any", "for any reason"), *naming.REASONS.items()]),
        ("mark", "Marked", list(naming.MARKS.items())),
    ]
