"""Now and then beside each other: the same rule set, floors drawn to one scale."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import rules_of, verdict_for
from habitats.rescue.pages.floor_pictures import picture_of, residence_by, scale_for
from habitats.rescue.pages.verdicts import VerdictCard, card_of
from habitats.structure.structure import Structure
from habitats.welfare.companion import Companion


class Reader(NamedTuple):
    """What a verdict hangs on besides the place and its animals."""

    day: date
    rescue: Rescue
    units: str


class Seat(NamedTuple):
    """Animals in a place. ``structure`` None: they are nowhere, or it cannot be raised."""

    label: str
    structure: Structure | None
    companions: Sequence[Companion]


class Shown(NamedTuple):
    """A seat made ready for a page: ``card`` None where nothing can be judged."""

    label: str
    card: VerdictCard | None
    picture: str
    numbered: str


def verdict_card(seat: Seat, reader: Reader) -> VerdictCard | None:
    """What the chosen rule set says; None where nothing can be judged."""
    if seat.structure is None or not seat.companions:
        return None
    rules = rules_of(reader.rescue, seat.companions[0].species)
    verdict = verdict_for(seat.structure, seat.companions, reader.day, rules)
    return card_of(rules, verdict, reader.units) if rules and verdict else None


def shown(seats: Sequence[Seat], reader: Reader) -> list[Shown]:
    """Each seat with its verdict and its floor, all floors to one scale."""
    cards = [verdict_card(seat, reader) for seat in seats]
    floors = [
        residence_by(seat.structure, card.verdict if card else None) if seat.structure else None
        for seat, card in zip(seats, cards, strict=True)
    ]
    scale = scale_for([floor for floor in floors if floor])
    return [
        Shown(
            seat.label,
            card,
            picture_of(floor, seat.label, _names(seat), reader.units, scale) if floor else "",
            _numbered(seat) if card else "",
        )
        for seat, card, floor in zip(seats, cards, floors, strict=True)
    ]


def _names(seat: Seat) -> list[str]:
    return [one.name for one in seat.companions]


def _numbered(seat: Seat) -> str:
    """Whose the numbers on the floor are."""
    return ", ".join(f"{number} {name}" for number, name in enumerate(_names(seat), 1))
