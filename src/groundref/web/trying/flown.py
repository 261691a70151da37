"""One try as it is flown: what the page orders, step by step; no clock and no connection."""

from __future__ import annotations

from typing import Any, Final

from groundref.simulation.by_hand import Flying, start, step
from groundref.units import degree
from groundref.web.trying import told
from groundref.web.trying.asked import Asked
from groundref.web.trying.orders import Order

STEP: Final = 1.0 / told.RATE  # [s]
LONGEST: Final = 20 * 60.0  # [s]
_KEEP_EVERY: Final = 3  # steps between the moments kept for the debrief
_SAY_EVERY: Final = 8.0  # [s] between lines for who does not see the picture


class Flown:
    """A try.

    Parameters
    ----------
    asked
        What it is flown with.

    Attributes
    ----------
    moments
        Flown so far, ten a second, for the debrief.
    over
        Whether it is at its end.
    paused
        Whether time stands still; so it begins.
    """

    def __init__(self, asked: Asked) -> None:
        self.asked = asked
        self.paused = True
        self.over = False
        self._task = asked.task
        self._most = asked.aircraft.max_bank
        self._now = start(self._task)
        self._bank = 0.0
        self._steps = 0
        self._held: Flying | None = None
        self._laps = 0
        self._said = 0.0
        self.moments: list[Flying] = [self._now]

    def begin(self) -> list[dict[str, Any]]:
        """Return what is told before the first step."""
        return [told.begun(self.asked), told.moment(self._now, self._task), self._line()]

    def order(self, order: Order) -> list[dict[str, Any]]:
        """Do what the page says; return what it is told of it."""
        stopped = bool(order.paused) and not self.paused
        if order.paused is not None:
            self.paused = order.paused
        if order.done:
            self.over = True
        if order.bank_deg is not None:
            self._held = None
            self._bank = min(max(order.bank_deg * degree, -self._most), self._most)
        if order.hold is not None:
            return self._hold() if order.hold else self._let_go()
        return [self._line()] if stopped else []

    def step(self) -> list[dict[str, Any]]:
        """Fly one step; return what is told after it."""
        self._now = step(self._now, self._bank, STEP, self._task)
        self._steps += 1
        if self._steps % _KEEP_EVERY == 0:
            self.moments.append(self._now)
        self.over = self.over or self._now.time >= LONGEST
        return [told.moment(self._now, self._task), *self._events()]

    def _events(self) -> list[dict[str, Any]]:
        if self._held is not None and told.laps_held(self._held, self._now) > self._laps:
            self._laps += 1
            return [told.drifted(self._held, self._laps, self.asked)]
        if self._now.time - self._said >= _SAY_EVERY:
            self._said = self._now.time
            return [self._line()]
        return []

    def _hold(self) -> list[dict[str, Any]]:
        """Hold the bank as it is now, if it is one."""
        if abs(self._now.bank) < told.LEVEL:
            return [
                {"told": "says", "says": "The wings are level: roll into a turn first, then hold its bank."}
            ]
        self._bank, self._held, self._laps = self._now.bank, self._now, 0
        return [told.held(self._now, self.asked)]

    def _let_go(self) -> list[dict[str, Any]]:
        self._held = None
        return [{"told": "let-go"}]

    def _line(self) -> dict[str, Any]:
        return {"told": "says", "says": told.says(self._now, self.asked)}
