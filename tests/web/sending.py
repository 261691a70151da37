"""Forms of a lesson sent as its page has them, with what they were made of."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

FORM = re.compile(r'<form method="post" action="(/lessons/[^"]+)".*?</form>', re.DOTALL)
HIDDEN = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)">')


def carried(page: str, action: str, maneuver: str | None = None) -> dict[str, str]:
    """Return the hidden fields of a form of a page; of own verdicts, on which maneuver."""
    for form in FORM.finditer(page):
        fields = {name: unescape(value) for name, value in HIDDEN.findall(form[0])}
        if form[1] == action and maneuver in (None, fields.get("maneuver")):
            return fields
    raise AssertionError(f"the page has no form {action}")


def send(client: Any, number: int, part: str, fields: dict[str, str], *, json: bool = False, **how: Any):
    """Open a lesson's page, fill a form of it in, and send it."""
    action = f"/lessons/{number}/{part}"
    hidden = carried(client.get(f"/lessons/{number}").text, action, fields.get("maneuver"))
    hidden.pop("back", None)
    headers = {"accept": "application/json"} if json else {}
    return client.post(action, data={**hidden, **fields}, headers=headers, **how)
