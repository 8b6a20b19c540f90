"""What the settings file may say about Telegram, and the clear words when it says something else."""

from __future__ import annotations

from typing import Any

import pytest

from adapters.telegram.account import check
from bot.service.config import ConfigError, TelegramConfig, read_config

TOKEN = "123456:AAbbccddeeffgghhiijj"
HOOK = {"webhook_url": "https://example.org/hook", "webhook_secret_env": "HOOK_SECRET"}


@pytest.mark.parametrize(("settings", "secret", "words"), [
    ({"webhook_listen": "8443"}, "s", "write host and port"),
    ({**HOOK, "webhook_listen": "127.0.0.1:99999"}, "s", "write host and port"),
    (HOOK, "", "set the environment variable HOOK_SECRET"),
    (HOOK, "two words", "letters, digits"),
])
def test_what_is_wrong_is_said(settings: dict[str, Any], secret: str, words: str,
                               monkeypatch: pytest.MonkeyPatch) -> None:
    """Each with what to write instead, and without the secret."""
    monkeypatch.setenv("CHARGEHAND_TELEGRAM_TOKEN", TOKEN)
    monkeypatch.setenv("HOOK_SECRET", secret)
    with pytest.raises(ConfigError, match=words) as caught:
        check(TelegramConfig(**settings))
    assert TOKEN not in str(caught.value) and (len(secret) < 2 or secret not in str(caught.value))


@pytest.mark.parametrize("group", ["seniors", "12", "-12/x"])
def test_a_group_is_an_address(group: str) -> None:
    """A name would lead nowhere."""
    with pytest.raises(ConfigError, match="seniors_group"):
        read_config({"telegram": {"seniors_group": group}})
