"""Who lately lived with a male who could sire, as the groups were written down."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from django.db import models

from habitats.animals.models.animals import Animal, Weighing
from habitats.animals.models.groups import Membership
from habitats.animals.models.places import shared_days
from habitats.welfare import companion as pure
from habitats.welfare.contacts import LivedWith
from habitats.welfare.litters import GESTATION_DAYS
from habitats.welfare.maturity import WAIT_DAYS
from habitats.welfare.values import Sex, Species

# A contact that far back may still end in a litter.
CONTACT_DAYS = max(longest for _shortest, longest in GESTATION_DAYS.values()) + 1


def together_with_males(day: date) -> "models.Prefetch[str]":
    """For a query of animals: all that ``lived_with`` asks for, as it stood on that day.

    Most groups have no such male, and nothing is read of them.
    """
    spans = shared_spans(day, _last_contact(day), _long_castrated(day))
    return models.Prefetch("memberships", spans.prefetch_related(_males_of(day)), to_attr="shared")


def shared_spans(
    day: date, last_contact: date, long_castrated: date
) -> "models.QuerySet[Membership]":
    """Of those who are no males, their spans in groups with one; ``days_of_contact`` has the days.

    ``males`` of their groups are to be loaded, by ``load_males``.
    """
    with_one = _of_males(day, last_contact, long_castrated).filter(group=models.OuterRef("group"))
    with_another = with_one.exclude(animal=models.OuterRef("animal"))
    spans = _lately(day, last_contact).exclude(animal__sex=Animal.Sex.MALE)
    return spans.filter(models.Exists(with_another)).select_related("group")


def days_of_contact(day: date) -> dict[str, date]:
    return {"last_contact": _last_contact(day), "long_castrated": _long_castrated(day)}


def load_males(spans: Sequence[Membership], day: date) -> None:
    """Of the groups of ``shared_spans``."""
    if spans:
        models.prefetch_related_objects(spans, _males_of(day))


def _males_of(day: date) -> "models.Prefetch[str]":
    weighings = Weighing.objects.standing().filter(on__lte=day).in_time()
    males = _of_males(day, _last_contact(day), _long_castrated(day)).select_related("animal")
    told = models.Prefetch("animal__weighings", weighings, to_attr="weighings_in_time")
    return models.Prefetch("group__memberships", males.prefetch_related(told), to_attr="males")


def lived_with(animal: Animal) -> Iterator[LivedWith]:
    """Each male and the days he was there; of an animal loaded with ``together_with_males``."""
    spans: list[Membership] = vars(animal)["shared"]
    for span in spans:
        for other in vars(span.group)["males"]:
            days = shared_days(span, other)
            if days and other.animal_id != animal.pk:
                yield LivedWith(_male(other.animal), *days)


def _last_contact(day: date) -> date:
    return day - timedelta(days=CONTACT_DAYS)


def _long_castrated(day: date) -> date:
    return day - timedelta(days=CONTACT_DAYS + WAIT_DAYS)


def _lately(day: date, last_contact: date) -> "models.QuerySet[Membership]":
    until = models.Q(until__isnull=True) | models.Q(until__gte=last_contact)
    return Membership.objects.filter(until, since__lte=day).exclude(until=models.F("since"))


def _of_males(day: date, last_contact: date, long_castrated: date) -> "models.QuerySet[Membership]":
    """Of those who may have been able to sire then: the pure rules look closer.

    Whose sex is not recorded counts as whatever could breed.
    """
    return (
        _lately(day, last_contact)
        .exclude(animal__sex=Animal.Sex.FEMALE)
        .exclude(animal__is_castrated=True, animal__castrated_on__lt=long_castrated)
    )


def _male(animal: Animal) -> pure.Companion:
    """As much of him as tells from when on he could sire."""
    weighings: list[Weighing] = vars(animal)["weighings_in_time"]
    born = pure.BirthSpan.about(animal.born, animal.born_margin_days) if animal.born else None
    done = pure.Castration(animal.castrated_on, animal.castrated_before_maturity)
    return pure.Companion(
        animal.code,
        animal.name,
        Species(animal.species),
        sex=Sex(animal.sex) if animal.sex else None,
        born=born,
        weighings=tuple(pure.DatedWeight(one.on, one.grams) for one in weighings),
        castration=done if animal.is_castrated else None,
    )
