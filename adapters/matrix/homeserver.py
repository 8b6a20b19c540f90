"""One way to ask the homeserver for something: bounded in time, with its errors as exceptions.

    MatrixError
        UnreachableError    no answer, or the server is in trouble itself: try again later
        LimitedError        too many requests: try again after so many seconds
        SignedOutError      the session is no longer accepted: trying again would not help
        KeysOutOfStepError  our keys are not those that the server has of us: trying again would not help
        RefusedError        this request is not allowed or makes no sense: do without
"""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from typing import Any, Final, TypeVar

import aiohttp
from nio import ErrorResponse

T = TypeVar("T")
PATIENCE: Final = 30.0
"""Seconds that an ordinary request may take."""
LIMITED: Final = 5.0
"""Seconds to wait after a 429 that names none."""
_SIGNED_OUT: Final = {"M_UNKNOWN_TOKEN", "M_MISSING_TOKEN", "M_USER_DEACTIVATED", "M_USER_LOCKED", "M_USER_SUSPENDED"}


class MatrixError(Exception):
    """Base of what can go wrong between us and the homeserver."""


class UnreachableError(MatrixError):
    """No answer in time, or one that says that the server is in trouble."""


class LimitedError(MatrixError):
    """Too many requests. `seconds`: how long the server wants to be left alone."""

    def __init__(self, seconds: float) -> None:
        super().__init__(f"asked to wait for {seconds:.0f} s")
        self.seconds = seconds


class SignedOutError(MatrixError):
    """The session is no longer accepted."""


class KeysOutOfStepError(MatrixError):
    """The server has other keys of our device than we do."""


class RefusedError(MatrixError):
    """The server does not do this. `code`: its own word for why."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(f"{message} ({code})" if code else message)
        self.code = code


async def ask(request: Coroutine[Any, Any, T | ErrorResponse], seconds: float = PATIENCE) -> T:
    """The homeserver's answer. Raises UnreachableError, LimitedError, SignedOutError or RefusedError."""
    try:
        async with asyncio.timeout(seconds):
            answer = await request
    except TimeoutError as error:
        raise UnreachableError(f"no answer within {seconds:.0f} s") from error
    except (aiohttp.ClientError, OSError) as error:
        raise UnreachableError(f"no connection ({type(error).__name__} {error})".replace(" )", ")")) from error
    if isinstance(answer, ErrorResponse):
        raise _translated(answer)
    return answer


def _translated(answer: ErrorResponse) -> MatrixError:
    code = str(answer.status_code or "")
    message = answer.message or "unknown error"
    status = getattr(getattr(answer, "transport_response", None), "status", 0)
    if code == "M_LIMIT_EXCEEDED" or status == 429:
        return LimitedError((answer.retry_after_ms or LIMITED * 1000) / 1000)
    if code in _SIGNED_OUT:
        return SignedOutError(f"{message} ({code})")
    if status >= 500 or not code:
        return UnreachableError(f"the server answered {status}: {message}")
    return RefusedError(code, message)
