"""Animals that lived together before they came: apart from others, but not from each other."""

from collections.abc import Iterable, Sequence
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.quarantines import Quarantine
from habitats.common.days import in_short
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.welfare.objection import Objection

OF_QUARANTINE = ("quarantine", "quarantine_short")


def new_in_quarantine(day: date) -> AnimalQuerySet:
    """Those in care that are apart on that day because they are new."""
    apart = Quarantine.objects.on(day, limits_of(Rescue.ours())).filter(why=Quarantine.Why.INTAKE)
    return Animal.objects.all().here().filter(pk__in=apart.values("animal"))


def parted_newcomers(
    animals: Sequence[Animal], objections: Iterable[Objection], day: date
) -> list[Animal]:
    """Those of ``animals`` whom nothing but a quarantine of their own keeps from each other.

    Two at least, or none. Whether they lived together before nobody has recorded, so a page asks.
    """
    pairs = [set(one.animals) for one in objections if one.code in OF_QUARANTINE]
    if not pairs:
        return []
    new = set(
        new_in_quarantine(day)
        .filter(pk__in=[one.pk for one in animals])
        .values_list("code", flat=True)
    )
    parted = {code for pair in pairs if pair <= new for code in pair}
    return [one for one in animals if one.code in parted]


def share_quarantine(animals: Iterable[Animal], day: date, *, by: Person) -> list[Animal]:
    """From now on they are apart together, with all who are apart with one of them.

    All of them. Days and reasons stay. Asked once more, nothing changes.
    """
    rows = Quarantine.objects.on(day, limits_of(Rescue.ours())).filter(why=Quarantine.Why.INTAKE)
    rows = rows.select_related("animal").order_by("pk")
    with transaction.atomic():
        asked = list(rows.filter(animal__in=[one.pk for one in animals]))
        words = {one.together for one in asked} - {""}
        found = {one.pk: one for one in [*asked, *rows.filter(together__in=words)]}.values()
        word = next((one.together for one in asked if one.together), "") or _word(asked)
        for row in found:
            if row.together != word:
                _again(row, word, by)
    return [one.animal for one in found]


def sharing_quarantine(row: Quarantine, day: date) -> list[Animal]:
    """The others in care that are apart together with this one's animal on that day."""
    if not row.together:
        return []
    rows = Quarantine.objects.on(day, limits_of(Rescue.ours())).filter(
        together=row.together, animal__left_on__isnull=True
    )
    others = rows.exclude(animal=row.animal_id).select_related("animal")
    return [one.animal for one in others.order_by("animal__name", "animal")]


def _again(row: Quarantine, word: str, by: Person) -> None:
    """The last row of an animal counts, so the same is appended with another word."""
    kept = {name: getattr(row, name) for name in ("animal", "since", "until", "why", "note")}
    Quarantine.objects.create(together=word, made_by=by, **kept)


def _word(asked: Sequence[Quarantine]) -> str:
    if not asked:
        return ""
    values = {"day": in_short(asked[0].since), "code": asked[0].animal.code}
    return _("intake of %(day)s, %(code)s") % values
