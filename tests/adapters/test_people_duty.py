"""`chargehand people link`, `duty` and `phone`: what the chat does, from the owner's shell."""

from __future__ import annotations

import re
from pathlib import Path

from tests.adapters.command import chargehand, refused
from tests.adapters.test_people_command import crew


def test_duty_phone_and_a_second_account(tmp_path: Path) -> None:
    """Hours are shown in the list, a wrong one says what to write; a code for another account of Marta's."""
    data = str(tmp_path)
    chargehand("try", "--data", data)
    marta = str(crew(tmp_path)["Marta"]["id"])
    done = chargehand("people", "duty", marta, "--hours", "mon-fri 7-17", "--timezone", "Europe/Lisbon", "--data", data)
    assert done.stdout == "Marta: on duty, hours mon-fri 07:00-17:00.\n"
    assert "; on duty, hours mon-fri 07:00-17:00" in chargehand("people", "list", "--data", data).stdout
    assert crew(tmp_path)["Marta"]["timezone"] == "Europe/Lisbon"
    assert "off until" in chargehand("people", "duty", marta, "--until", "in 3 days", "--data", data).stdout
    assert "off duty" in chargehand("people", "duty", marta, "--off", "--data", data).stdout
    assert "on duty" in chargehand("people", "duty", marta, "--on", "--data", data).stdout
    assert "write them such as" in refused(chargehand("people", "duty", marta, "--hours", "late", "--data", data))
    assert "no day to come" in refused(chargehand("people", "duty", marta, "--until", "soon", "--data", data))
    assert "no time zone" in refused(chargehand("people", "duty", marta, "--timezone", "Mars", "--data", data))
    assert chargehand("people", "phone", marta, "555-0100", "--data", data).stdout == "Marta: 555-0100.\n"
    code = chargehand("people", "link", marta, "--data", data).stdout
    assert re.search(r"another account of Marta's.*[A-Z2-9]{4}-[A-Z2-9]{4}-[A-Z2-9]{4}", code)
    assert "another account of Marta" in chargehand("people", "list", "--data", data).stdout
    assert "no person" in refused(chargehand("people", "link", "nobody", "--data", data))
