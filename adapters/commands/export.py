"""`chargehand export` and `chargehand erase`: the log out of the house, and customers out of the log."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from adapters.commands.asking import agreed

if TYPE_CHECKING:
    from bot.review.naming import Names
    from bot.store.review import ReviewStore

FOLDER = click.Path(exists=True, file_okay=False, path_type=Path)
MOST_CUSTOMERS = 5000
"""Customers among whom one with a slip of the finger is looked for."""


@click.command(name="export")
@click.option("--data", required=True, type=FOLDER, metavar="DIR", help="The data folder.")
@click.option("--format", "what", required=True, type=click.Choice(["csv", "jsonl", "transcripts"]),
              help="A table of visits, everything of each visit, or written conversations.")
@click.option("--out", type=click.Path(path_type=Path), metavar="PATH",
              help="The file to write (transcripts: a folder). Without: standard output, for csv and jsonl.")
@click.option("--since", type=click.DateTime(["%Y-%m-%d"]), help="Visits opened from this day on.")
@click.option("--until", type=click.DateTime(["%Y-%m-%d"]), help="Visits opened before this day.")
@click.option("--with-names", is_flag=True, help="Do not take names, phones, addresses and plates out.")
def export(data: Path, what: str, out: Path | None, since: datetime | None, until: datetime | None,
           with_names: bool) -> None:
    """Write the log to files. Names, phone numbers, addresses and plates are taken out unless --with-names is given."""
    from bot.review import export as exports  # noqa: PLC0415
    from bot.store.review_rows import Filter  # noqa: PLC0415

    if what == "transcripts" and out is None:
        raise click.UsageError("give the folder for the conversations by --out.")
    chosen = Filter(since=since and since.replace(tzinfo=UTC), until=until and until.replace(tzinfo=UTC))
    with _store(data) as store:
        names = _names()
        try:
            if what == "transcripts" and out is not None:
                out.mkdir(parents=True, exist_ok=True)
                count = 0
                for name, text in exports.as_transcripts(store, chosen, lambda _: names, redacted=not with_names):
                    (out / name).write_text(text, encoding="utf-8")
                    count += 1
                click.echo(f"{count} conversations in {out}", err=True)
                return
            chunks = (exports.as_csv(store, chosen, names, redacted=not with_names) if what == "csv"
                      else exports.as_json_lines(store, chosen, redacted=not with_names))
            _write(chunks, out)
        except BrokenPipeError:
            raise  # whoever reads has enough
        except OSError as error:
            raise click.ClickException(f"{out or 'standard output'} cannot be written: {error.strerror}") from error


@click.command(name="erase")
@click.option("--data", required=True, type=FOLDER, metavar="DIR", help="The data folder.")
@click.option("--customer", metavar="NAME", help="The address or work order, as it was typed.")
@click.option("--older-than", "months", type=click.IntRange(1, 240), metavar="MONTHS", help="Visits older than this.")
@click.option("--scour", is_flag=True, help="Only clean the files after an earlier removal.")
@click.option("--yes", is_flag=True, help="Do it without asking.")
def erase(data: Path, customer: str | None, months: int | None, scour: bool, yes: bool) -> None:
    """Remove one customer, or what is old, so that nothing of it is left in the folder."""
    from bot.review import erasure  # noqa: PLC0415

    if [customer is not None, months is not None, scour].count(True) != 1:
        raise click.UsageError("give one of --customer, --older-than, --scour.")
    now = datetime.now(UTC)
    with _store(data) as store:
        if scour:
            _say_clean(store.scour())
            return
        if customer is not None:
            wanted = customer.casefold().split()
            found = [c for c in store.customers(customer, 20) if c.name.casefold().split() == wanted]
            if not found:
                near = ", ".join(_alike(store, customer))
                raise click.ClickException(f"no customer '{customer}'{f': there are {near}' if near else ''}")
            one = found[0]
            if not agreed(f"Remove {one.name}: {len(one.jobs)} visits, {one.messages} messages?", yes=yes):
                return
            removal = erasure.erase_customer(store, one.site, None, now)
        else:
            before = erasure.months_before(now, months or 0)
            if not agreed(f"Remove all visits last touched before {before:%Y-%m-%d}?", yes=yes):
                return
            removal = erasure.erase_older(store, before, None, now)
        click.echo(f"Removed {removal.erased.jobs} visits, {removal.erased.messages} messages, "
                   f"{len(removal.erased.photos)} photos.")
        _say_clean(removal.clean)


def _alike(store: ReviewStore, customer: str) -> list[str]:
    """The customers whose names hold these words, else those that look most like them."""
    from rapidfuzz import fuzz, process  # noqa: PLC0415

    within = [c.name for c in store.customers(customer, 5)]
    everybody = [] if within else [c.name for c in store.customers("", MOST_CUSTOMERS)]
    near = process.extract(customer, everybody, scorer=fuzz.ratio, processor=str.casefold, score_cutoff=75, limit=3)
    return within or [name for name, _, _ in near]


def _say_clean(clean: bool) -> None:
    if not clean:
        click.echo("Another program keeps the database's log open: stop it, then run `chargehand erase --scour`.",
                   err=True)


def _write(chunks: Iterator[bytes], out: Path | None) -> None:
    if out is None:
        for chunk in chunks:
            sys.stdout.buffer.write(chunk)
        sys.stdout.buffer.flush()
        return
    with out.open("wb") as handle:
        handle.writelines(chunks)


def _names() -> Names:
    from adapters.commands.packs import packs  # noqa: PLC0415
    from bot.review.naming import Names  # noqa: PLC0415

    return Names(packs())


@contextmanager
def _store(data: Path) -> Iterator[ReviewStore]:
    from bot.store.errors import StoreError  # noqa: PLC0415
    from bot.store.review import ReviewStore  # noqa: PLC0415

    try:
        store = ReviewStore(data)
        try:
            yield store
        finally:
            store.close()
    except StoreError as error:
        raise click.ClickException(str(error)) from error
