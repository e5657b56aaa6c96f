"""The moves of a proposal, carried out in their order."""

from collections.abc import Iterable
from datetime import date

from django.db import transaction

from builds.placing.models.case_today import RescueToday
from habitats.animals.models.stays import leave, move_in
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.models.people import Person
from habitats.placement.moves import ProposedMove


def carry_out(moves: Iterable[ProposedMove], rescue: RescueToday, *, by: Person, on: date) -> None:
    """All of them or none. Raises ``Elsewhere`` with a sentence where one cannot be done."""
    with transaction.atomic():
        for move in moves:
            group = rescue.groups[move.group]
            if move.to is None:
                leave(group, on, by=by)
            else:
                move_in(group, Enclosure.objects.get(code=move.to.enclosure), on, by=by)
