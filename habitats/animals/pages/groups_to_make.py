"""Groups that animals in no group would make: those that came together, of one sex."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.db.models import OuterRef, Subquery
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.quarantines import Quarantine
from habitats.wording import by_number, listed

LATELY = timedelta(days=21)  # who has been here longer came together with nobody in particular


class GroupToMake(NamedTuple):
    """``words`` are those of its button; two animals at least."""

    words: str
    names: str
    animals: list[Animal]


def groups_to_make(animals: Iterable[Animal]) -> list[GroupToMake]:
    """By species and sex: mixed they would be refused, or would breed."""
    found: dict[tuple[str, str], list[Animal]] = defaultdict(list)
    for one in sorted(animals, key=lambda one: by_number(one.name)):
        found[one.species, one.sex].append(one)
    is_one = len(found) == 1
    return [_to_make(some, is_one) for _kind, some in sorted(found.items()) if len(some) > 1]


def groups_to_make_today(today: date) -> list[GroupToMake]:
    """Of newcomers who are in no group: those of one intake, the newest first."""
    came: dict[tuple[object, ...], list[Animal]] = defaultdict(list)
    for one in _loose(today).annotate(word=_LAST_WORD).order_by("-came_on", "pk"):
        came[one.came_on, one.came_from, one.word].append(one)
    return [made for some in came.values() for made in groups_to_make(some)]


def others_of_intake(animals: Sequence[Animal], today: date) -> list[Animal]:
    """Those that came with them and are in no group yet."""
    first = animals[0]
    return list(_loose(today).filter(came_on=first.came_on, came_from=first.came_from))


def _loose(today: date) -> AnimalQuerySet:
    lately = Animal.objects.all().here().filter(came_on__gt=today - LATELY)
    return lately.without_group(today)


# Of its last quarantine: those who share one came together.
_LAST_WORD = Subquery(
    Quarantine.objects.filter(animal=OuterRef("pk")).order_by("-pk").values("together")[:1]
)


def _to_make(animals: list[Animal], is_one: bool) -> GroupToMake:
    count, sex = len(animals), animals[0].sex
    if is_one or sex not in Animal.Sex.values:
        words = _("Make group")
    elif sex == Animal.Sex.FEMALE:
        words = ngettext("Make group of %(count)d female", "Make group of %(count)d females", count)
    else:
        words = ngettext("Make group of %(count)d male", "Make group of %(count)d males", count)
    return GroupToMake(words % {"count": count}, listed([one.name for one in animals]), animals)
