"""What can go wrong with the store.

    StoreError
        StoreUnusableError  the data folder or file cannot be used: says what to do
        StoreBusyError      another process held the write lock for too long: try again later
        StoreFailedError    the disk refused a write or read: try again later
        ConflictError       someone else changed what this commit was based on: run the step again
        LeaseLostError      someone else took the work over: drop it
        MalformedError      what was handed in contradicts what is stored: a mistake of ours
        RefusedError        a request that cannot be done as asked: says why
"""

from __future__ import annotations


class StoreError(Exception):
    """Base of all errors of the store."""


class StoreUnusableError(StoreError):
    """The data folder or its file cannot be used; the message says what to do."""


class StoreBusyError(StoreError):
    """Another process held the write lock for longer than we wait."""


class StoreFailedError(StoreError):
    """The disk refused a write or a read (full, read-only, damaged)."""


class ConflictError(StoreError):
    """A version moved on between reading and committing: run the step again on what is there now."""


class LeaseLostError(StoreError):
    """The claim lapsed and someone else has the work, or has done it."""


class RefusedError(StoreError):
    """A request that cannot be done as asked; the message says why and what to do instead."""


class MalformedError(StoreError):
    """What was handed in contradicts what is stored, such as an id used twice: a mistake of ours, not the disk's."""
