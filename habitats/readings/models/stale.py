"""What makes a reading stale, and what is due for an animal that lives in no enclosure."""

from datetime import date, timedelta
from typing import Any

from django.db import connections, models
from django.db.models.signals import post_delete, post_save

from habitats.adoptions.models.adoptions import AdoptionEvent
from habitats.animals.models.animals import Animal, Weighing, WeighingStrike
from habitats.animals.models.births import Birth
from habitats.animals.models.bonding import BondingAttempt
from habitats.animals.models.groups import Group, Membership, Override
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import Stay
from habitats.common.happened import span_ended
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent
from habitats.enclosures.models.standing import Standing
from habitats.faults.models.faults import Fault, FaultMended
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.readings.models.due_rows import DueRow
from habitats.readings.models.readings import Reading
from habitats.readings.models.unhoused import Unhoused, UnhousedSearch
from habitats.rescue.models.rescue import Rescue
from habitats.welfare.maturity import LEAVES_DAYS
from habitats.welfare.values import Species

_BY_ANIMAL = "stays__group__memberships__animal"
_LOOKUPS: dict[type[models.Model], tuple[str, str]] = {
    Animal: (_BY_ANIMAL, "pk"),
    Weighing: (_BY_ANIMAL, "animal_id"),
    Birth: (_BY_ANIMAL, "mother_id"),
    Quarantine: (_BY_ANIMAL, "animal_id"),
    Membership: (_BY_ANIMAL, "animal_id"),
    Override: ("stays__group", "group_id"),
    Group: ("stays__group", "pk"),
    Stay: ("stays__group", "group_id"),
    Standing: ("pk", "enclosure_id"),
    Enclosure: ("pk", "pk"),
    EnclosureEvent: ("pk", "enclosure_id"),
    Fault: ("pk", "enclosure_id"),
    SafetyCheck: ("pk", "enclosure_id"),
}


# Where the animal stands that each of them is about, and the group.
_ANIMALS = {
    Animal: "pk",
    Weighing: "animal_id",
    Birth: "mother_id",
    Quarantine: "animal_id",
    Membership: "animal_id",
}
_GROUPS = {Group: "pk", Membership: "group_id", Stay: "group_id"}
_SENDERS: tuple[type[models.Model], ...] = (
    *_LOOKUPS,
    Rescue,
    WeighingStrike,
    FaultMended,
    AdoptionEvent,
    BondingAttempt,
)


def forget_what_it_touches(
    sender: type[models.Model], instance: models.Model, created: bool = False, **_: Any
) -> None:
    """For ``post_save``, ``post_delete`` and ``span_ended``."""
    if created and isinstance(instance, Animal | Group):
        # It lives nowhere yet, so that no reading tells of it.
        UnhousedSearch.objects.forget()
    elif not (created and isinstance(instance, Enclosure)):
        _forget_readings(sender, instance, created)
        _forget_unhoused(sender, instance)


def _forget_readings(
    sender: type[models.Model], instance: models.Model, created: bool = False
) -> None:
    if isinstance(instance, Rescue):
        Reading.objects.forget()
    elif isinstance(instance, WeighingStrike):
        _forget_animal(instance.weighing.animal_id)
    elif isinstance(instance, FaultMended):
        Reading.objects.forget_keys([instance.fault.enclosure_id])
    elif isinstance(instance, BondingAttempt):
        for animal in instance.pair:
            Reading.objects.forget(**{_BY_ANIMAL: animal})
            Unhoused.objects.forget_animal(animal)
    elif isinstance(instance, AdoptionEvent):
        # On trial they live at the adopter's, and lack no enclosure.
        Unhoused.objects.forget_animals(instance.adoption.animals.values("animal"))
    elif sender in _LOOKUPS:
        lookup, attribute = _LOOKUPS[sender]
        key = getattr(instance, attribute)
        if lookup == "pk":
            Reading.objects.forget_keys([key])
        else:
            Reading.objects.forget(**{lookup: key})
        if isinstance(instance, Stay):
            Reading.objects.forget_keys([instance.enclosure_id])
        if isinstance(instance, Membership) and not created:
            # A new one's group is among those of its animal.
            Reading.objects.forget(stays__group=instance.group_id)


def _forget_unhoused(sender: type[models.Model], instance: models.Model) -> None:
    sire = _possible_sire(instance)
    if sire is not None:
        _forget_who_lived_with(sire)
    touched = None
    if sender in _ANIMALS:
        touched = Unhoused.with_animal(getattr(instance, _ANIMALS[sender]))
    if sender in _GROUPS:
        group = Unhoused.with_group(getattr(instance, _GROUPS[sender]))
        touched = group if touched is None else touched | group
    if touched is not None:
        Unhoused.objects.forget_those(touched)


def begin_with_it(instance: Enclosure, created: bool, **_: Any) -> None:
    """For ``post_save``: whoever sees the enclosure finds its reading, and whether it changed."""
    if created:
        Reading.objects.begin(Enclosure.objects.filter(pk=instance.pk))


def forget_all(using: str, **_: Any) -> None:
    """For ``post_migrate``: a new version may read otherwise what the one before has kept."""
    tables = {model._meta.db_table for model in (Reading, DueRow, Unhoused, UnhousedSearch)}
    if tables <= set(connections[using].introspection.table_names()):
        # By what every version has: this is also heard when an older one is migrated back to.
        Reading.objects.using(using).update(day=date.min)
        DueRow.objects.using(using).delete()
        Unhoused.objects.using(using).update(day=date.min)
        UnhousedSearch.objects.using(using).update(day=date.min)


def _forget_animal(animal: int) -> None:
    Reading.objects.forget(**{_BY_ANIMAL: animal})
    Unhoused.objects.forget_animal(animal)
    _forget_who_lived_with(animal)


def _possible_sire(instance: models.Model) -> int | None:
    """The key of the animal that this tells something of as a sire; None if it tells nothing."""
    match instance:
        case Animal():
            return instance.pk
        case Membership() if instance.animal.sex != Animal.Sex.FEMALE:
            return instance.animal_id
        case Weighing() if _tells_when_he_was_grown(instance):
            return instance.animal_id
    return None


def _tells_when_he_was_grown(weighing: Weighing) -> bool:
    """Males are weighed every week or two: once one is grown by his age, no weight says more."""
    animal = weighing.animal
    if animal.sex == Animal.Sex.FEMALE or animal.born is None:
        return False
    age = weighing.on - animal.born + timedelta(days=animal.born_margin_days)
    return age.days < LEAVES_DAYS[Species(animal.species)]


def _forget_who_lived_with(animal: int) -> None:
    """Wherever they live now: whether he could sire tells whether they may have a litter."""
    shared = Membership.objects.filter(animal=animal).values("group")
    others = Membership.objects.filter(group__in=shared).exclude(animal=animal).values("animal")
    Reading.objects.forget(**{f"{_BY_ANIMAL}__in": others})
    Unhoused.objects.forget_animals(others)


def listen() -> None:
    """To these senders only: what nobody listens to is deleted in one go."""
    post_save.connect(begin_with_it, sender=Enclosure, dispatch_uid="begin_with_it")
    for signal in (post_save, post_delete, span_ended):
        for sender in _SENDERS:
            name = f"forget_what_it_touches/{sender.__name__}"
            signal.connect(forget_what_it_touches, sender=sender, dispatch_uid=name)
