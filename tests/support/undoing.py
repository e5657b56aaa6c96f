"""What stands, and what is left of it once acts are undone."""

import uuid

from habitats.animals.models.acts import Act
from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group, Membership, Override
from habitats.animals.models.stays import Stay
from habitats.animals.models.undoing import undo
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.readings.models.due_rows import DueRow
from habitats.readings.models.readings import Reading


def last_act() -> Act:
    return Act.objects.latest_first().first()


def undone(act, by, why="wrong one"):
    return undo(act, why, by=by, idempotency_key=uuid.uuid4())


def days_told(rows, *names):
    """Spans that cover a day, as plain values: what everything else is derived from."""
    told = rows.values_list(*names, "since", "until")
    return sorted((one for one in told if one[-1] != one[-2]), key=str)


def as_it_stands(day):
    """All that hangs on acts, worked out by plain queries and by the rules of company."""
    groups = [one.pk for one in Group.objects.all()]
    animals = animals_by_group(groups, day(0))
    readings = Reading.objects.fresh(day(0)).order_by("enclosure")
    return {
        "memberships": days_told(Membership.objects.all(), "animal", "group"),
        "stays": days_told(Stay.objects.all(), "group", "enclosure"),
        "standings": days_told(Standing.objects.all(), "enclosure", "home"),
        "states": [(one.pk, one.state_now(), one.ready_since()) for one in every_enclosure()],
        "gone": sorted(Animal.objects.exclude(left_on=None).values_list("code", "left_on")),
        "companions": [
            companions_of(sorted(animals[group], key=lambda one: one.pk))
            for group in groups
            if animals.get(group)
        ],
        "overrides": [one.pk for one in Override.objects.holding(groups)],
        "readings": list(
            readings.values_list("enclosure", "home", "group", "state", "residents", "blocks")
        ),
        "dues": sorted(
            DueRow.objects.filter(animal=None).values_list("enclosure", "kind", "day", "animals"),
            key=str,
        ),
    }


def every_enclosure():
    return Enclosure.objects.order_by("pk")
