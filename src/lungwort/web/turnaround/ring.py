"""The ring of a part's journey as a picture of numbers: where each step stands, and how many parts stand there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, radians, sin, sqrt

from lungwort.language import _

ROUND = ("in use", "soiled", "washed", "treated", "drying", "ready")
"""The statuses on the ring, in order; what is held stands in its middle."""

MIDDLE_X, MIDDLE_Y, RADIUS, LEAST, MOST = 230.0, 190.0, 122.0, 26.0, 38.0


@dataclass(frozen=True)
class Stop:
    """A step on the ring: its middle and size, how many parts stand there, and whether the page shows just these."""

    status: str
    slug: str
    word: str
    count: int
    x: float
    y: float
    size: float
    chosen: bool

    @property
    def icon_x(self) -> float:
        """Where its picture begins, from the left."""
        return self.x - 9

    @property
    def icon_y(self) -> float:
        """Where its picture begins, from above."""
        return self.y - 21

    @property
    def count_y(self) -> float:
        """The line on which its number stands."""
        return self.y + 15

    @property
    def side(self) -> str:
        """On which side of it its word stands: outside the ring, where no arc runs."""
        if self.x == MIDDLE_X:
            return "above" if self.y < MIDDLE_Y - RADIUS / 2 else "below"
        return "right" if self.x > MIDDLE_X else "left"

    @property
    def word_x(self) -> float:
        """Where its word begins, ends or has its middle."""
        return self.x + {"right": self.size + 8, "left": -self.size - 8}.get(self.side, 0.0)

    @property
    def word_y(self) -> float:
        """The line on which its word stands."""
        return self.y + {"above": -self.size - 8, "below": self.size + 19}.get(self.side, 6.0)


@dataclass(frozen=True)
class Ring:
    """The steps, what is held, and the arcs between the steps as paths."""

    stops: tuple[Stop, ...]
    held: Stop
    arcs: tuple[str, ...]

    @property
    def all(self) -> tuple[Stop, ...]:
        """Every stop, what is held last."""
        return (*self.stops, self.held)


def ring_of(counts: Mapping[str, int], chosen: str = "") -> Ring:
    """Return the ring for so many parts of each status; a stop's area grows with its share.

    >>> ring_of({"soiled": 3}).stops[1].count
    3
    """
    most = max([1, *counts.values()])
    stops = tuple(_stop(status, n, counts, most, chosen) for n, status in enumerate(ROUND))
    held = _at("quarantined", MIDDLE_X, MIDDLE_Y - 8, counts, most, chosen)
    return Ring(stops, held, tuple(_arc(n, stops) for n in range(len(ROUND))))


def _stop(status: str, place: int, counts: Mapping[str, int], most: int, chosen: str) -> Stop:
    x, y = _point(60.0 * place)
    return _at(status, x, y, counts, most, chosen)


def _at(status: str, x: float, y: float, counts: Mapping[str, int], most: int, chosen: str) -> Stop:
    count = counts.get(status, 0)
    size = sqrt(LEAST**2 + (MOST**2 - LEAST**2) * count / most)
    word, slug = short_words(status), status.replace(" ", "-")
    return Stop(status, slug, word, count, round(x, 1), round(y, 1), round(size, 1), status == chosen)


def _point(degrees: float) -> tuple[float, float]:
    """Return a point of the ring, clockwise from above."""
    angle = radians(degrees - 90)
    return MIDDLE_X + RADIUS * cos(angle), MIDDLE_Y + RADIUS * sin(angle)


def _arc(place: int, stops: tuple[Stop, ...]) -> str:
    """Return the arc from one stop to the next, clear of both."""
    here, there = stops[place], stops[(place + 1) % len(stops)]
    begin = _point(60.0 * place + _share(here.size + 5))
    end = _point(60.0 * (place + 1) - _share(there.size + 11))
    numbers = [round(n, 1) for n in (*begin, *end)]
    return "M{} {} A{r} {r} 0 0 1 {} {}".format(*numbers, r=RADIUS)


def _share(length: float) -> float:
    """Return a length along the ring in degrees."""
    return length / RADIUS * 57.296


def short_words(status: str) -> str:
    """Return a status in a word that fits beneath its stop."""
    names = {
        "in use": _("in use"),
        "soiled": _("soiled"),
        "washed": _("washed"),
        "treated": _("treated"),
        "drying": _("drying"),
        "ready": _("ready"),
        "quarantined": _("held"),
    }
    return names[status]
