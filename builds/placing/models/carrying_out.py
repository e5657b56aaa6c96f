"""The moves of a proposal, carried out in their order."""

from collections.abc import Sequence
from datetime import date

from builds.placing.models.case_today import RescueToday
from habitats.animals.models.groups import Group
from habitats.animals.models.home_limits import judged_at_the_door
from habitats.animals.models.stays import Stay, leave, move_in
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.models.people import Person
from habitats.placement.moves import ProposedMove


class MovedSince(Exception):
    """A group is no longer where its first move begins, or is no longer the same animals."""


def carry_out(moves: Sequence[ProposedMove], rescue: RescueToday, *, by: Person, on: date) -> None:
    """All of them or none. Raises ``Elsewhere`` with a sentence where one cannot be done or a home
    would pass its limits, and ``MovedSince`` where another request was quicker."""
    with judged_at_the_door():
        _refuse_what_moved(moves)
        for move in moves:
            group = rescue.groups[move.group]
            if move.to is None:
                leave(group, on, by=by)
            else:
                move_in(group, Enclosure.objects.get(code=move.to.enclosure), on, by=by)


def _refuse_what_moved(moves: Sequence[ProposedMove]) -> None:
    """Locks the groups until the end of the transaction."""
    groups = Group.objects.filter(code__in={one.group for one in moves})
    list(groups.select_for_update(no_key=True).order_by("pk"))
    stays = Stay.objects.open().filter(group__in=groups)
    lives_in = dict(stays.values_list("group__code", "enclosure__code"))
    # Backwards, so that the first move of each is what counts.
    starts = {one.group: one.start.enclosure if one.start else None for one in reversed(moves)}
    if any(lives_in.get(group) != start for group, start in starts.items()):
        raise MovedSince
