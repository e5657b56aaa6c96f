"""What belongs to a home besides its enclosures, for when its people leave.

Higher features answer ``left_at_asked`` with what they have there, and how each goes to another
home.
"""

from collections.abc import Callable
from typing import NamedTuple

from django.dispatch import Signal

from habitats.homes.models.homes import Home

# Gives ``home``; a receiver returns a list of ``LeftThing``.
left_at_asked = Signal()


class LeftThing(NamedTuple):
    """``key``: of letters and digits, the same each time. ``kind``: what it is, as a label;
    ``address``: its page. ``hand_on`` gives it to another home."""

    key: str
    kind: str
    name: str
    address: str
    hand_on: Callable[[Home], None]


def left_at(home: Home) -> list[LeftThing]:
    answers = left_at_asked.send(Home, home=home)
    return [thing for _receiver, things in answers for thing in things or ()]  # type: ignore[misc]
