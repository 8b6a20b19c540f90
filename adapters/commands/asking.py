"""Asking once more before something is changed for good."""

from __future__ import annotations

import click


def agreed(question: str, *, yes: bool) -> bool:
    """Whether to do it: `yes` was given, or is typed now. A no is said to have changed nothing."""
    if yes or click.confirm(question, err=True):
        return True
    click.echo("Nothing was changed.", err=True)
    return False
