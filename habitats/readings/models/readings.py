"""How each enclosure stands today, kept at hand for the page of space.

Nothing here is remembered for its own sake: a reading is worked out from what has happened, is
forgotten at every change that touches it and on the next day, and made anew when it is asked for.
What is written in bulk, past ``save``, has to say ``Reading.objects.forget()`` itself.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum
from typing import NamedTuple, Self

from django.db import models, transaction
from django.dispatch import Signal

from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group, Override
from habitats.animals.models.stays import Stay
from habitats.drawing.residence import Residence, floors_of
from habitats.enclosures.models.enclosures import TAKES_A_GROUP, Enclosure, EnclosureState
from habitats.enclosures.models.standing import Standing
from habitats.faults.models.faults import STANDS, Fault
from habitats.faults.models.safety_checks import next_checks
from habitats.homes.models.homes import Home
from habitats.readings.models.due_rows import CAN_WAIT, SAFETY_CHECK, DueRow, row_of
from habitats.readings.models.unhoused import Unhoused
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import (
    dues_of,
    limits_of,
    objections_to,
    rules_of,
    verdict_for,
)
from habitats.structure.structure import Structure
from habitats.upkeep.urgency import FaultUrgency
from habitats.welfare.ahead import Due, residents_on
from habitats.welfare.companion import Companion
from habitats.welfare.objection import Objection, Severity
from habitats.welfare.quarantine import in_quarantine
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.space import judged
from habitats.welfare.values import Resident, Verdict

SOON_DAYS = 14
AT_ONCE = 300  # enclosures read in one go

# Sent when readings were made, inside the transaction that keeps them: a receiver adds what else
# is due in these enclosures. Gives ``readings`` and ``today``.
readings_kept = Signal()


class Urgency(IntEnum):
    """What needs doing first comes first when sorted from the greatest."""

    FINE = 0
    UNTOLD = 1  # a value is missing, or no rule set is chosen
    SOON = 2
    DUE = 3
    WRONG = 4  # too little space, animals together that must not be, or an unsafe fault


def ready_for_more(prefix: str = "") -> models.Q:
    """It stands, needs no repair and is safe, so that it may take an animal more."""
    return models.Q(**{f"{prefix}state__in": TAKES_A_GROUP, f"{prefix}unsafe_faults": 0})


def free_floor(prefix: str = "") -> models.Case:
    """``Reading.free_mm2`` for a query."""
    names = {name: f"{prefix}{name}" for name in ("required_mm2", "counted_mm2", "animals")}
    left = models.F(names["counted_mm2"]) - models.F(names["required_mm2"])
    return models.Case(
        models.When(~ready_for_more(prefix), then=0),
        models.When(
            **{f"{names['required_mm2']}__isnull": True},
            then=models.Case(
                models.When(**{names["animals"]: 0}, then=models.F(f"{prefix}ground_mm2")),
                default=0,
            ),
        ),
        models.When(**{f"{names['counted_mm2']}__gt": models.F(names["required_mm2"])}, then=left),
        default=0,
        output_field=models.BigIntegerField(),
    )


class ReadingQuerySet(models.QuerySet["Reading"]):
    def fresh(self, today: date, **of_enclosure: object) -> Self:
        """Enclosures that are not retired, as they stand today; what is missing is made.

        A condition says which are made, where not all are asked for: ``pk__in=…``.
        """
        live = Enclosure.objects.live().with_shape().filter(**of_enclosure)
        missing = live.exclude(reading__day=today).order_by("revision", "pk")
        enclosures = list(missing)
        if enclosures and self._free_as_before(today).update(day=today):
            enclosures = list(missing.all())
        # In portions: neither database takes any number of keys in one question.
        for start in range(0, len(enclosures), AT_ONCE):
            _keep(list(_read(enclosures[start : start + AT_ONCE], today)), today)
        return self.filter(day=today)

    def _free_as_before(self, today: date) -> "ReadingQuerySet":
        """Of an earlier day, not forgotten since, where nobody lives: nothing there ages.

        But what was said of a day to come may begin: a group that moves in, another home.
        """
        of_it = {"enclosure": models.OuterRef("enclosure")}
        moved = Standing.objects.filter(
            models.Q(since__gt=models.OuterRef("day"), since__lte=today)
            | models.Q(until__gt=models.OuterRef("day"), until__lte=today),
            **of_it,
        )
        known = Reading.objects.filter(day__gt=date.min, day__lt=today)
        return known.filter(group=None, animals=0).exclude(
            models.Exists(Stay.objects.on(today).filter(**of_it)) | models.Exists(moved)
        )

    def totals(self) -> dict[str, int]:
        """What the readings come to, areas in mm²; zeros where there are none."""
        counted = self.aggregate(
            enclosures=models.Count("pk"),
            living=models.Sum("animals"),
            vacant=models.Count("pk", filter=ready_for_more() & models.Q(group__isnull=True)),
            short=models.Count("pk", filter=models.Q(passes=False)),
            apart=models.Count("pk", filter=models.Q(in_quarantine=True)),
            lacking=models.Sum("lacking_mm2"),
            free=models.Sum(free_floor()),
            unsafe=models.Count("pk", filter=models.Q(unsafe_faults__gt=0)),
        )
        return {name: value or 0 for name, value in counted.items()}

    def forget(self, **of_enclosure: object) -> None:
        """Forget the readings of these enclosures, with what is due there.

        Without a condition all of them, and what is due for animals that live in none.
        """
        found = Enclosure.objects.filter(**of_enclosure).values("pk")
        stale = self.filter(enclosure__in=found) if of_enclosure else self
        # Not deleted: a page that is just reading them still finds them.
        stale.update(day=date.min)
        DueRow.objects.filter(enclosure__in=found).delete()
        if not of_enclosure:
            Unhoused.objects.forget()


class Reading(models.Model):
    """One enclosure on one day. ``home`` None: it stands nowhere; ``group`` None: it is free.

    ``passes`` None: it cannot be told, or nobody lives there. ``residents`` are ``[code, name,
    share of the required floor in mm²]``; what is due are the ``due_rows`` of the enclosure.
    ``blocks`` and ``warnings`` count objections that nobody has overridden. ``floors`` are the
    levels' floors as rings of points in mm, the ground first. ``takes_pair``: whether two grown
    animals more would have enough space; None: it cannot be told. ``open_faults`` counts what is
    not mended, ``unsafe_faults`` those of them that are unsafe.
    """

    enclosure = models.OneToOneField(Enclosure, on_delete=models.CASCADE, related_name="reading")
    day = models.DateField(db_index=True)
    home = models.ForeignKey(Home, on_delete=models.CASCADE, null=True, related_name="readings")
    group = models.ForeignKey(Group, on_delete=models.CASCADE, null=True, related_name="readings")
    state = models.CharField(max_length=10, choices=EnclosureState)
    species = models.CharField(max_length=20)
    ground_mm2 = models.PositiveIntegerField()
    upper_mm2 = models.PositiveIntegerField()
    required_mm2 = models.PositiveIntegerField(null=True)
    counted_mm2 = models.PositiveIntegerField(null=True)
    lacking_mm2 = models.PositiveIntegerField(default=0)
    passes = models.BooleanField(null=True)
    takes_pair = models.BooleanField(null=True)
    floors = models.JSONField(default=list)
    animals = models.PositiveSmallIntegerField()
    residents = models.JSONField(default=list)
    in_quarantine = models.BooleanField()
    blocks = models.PositiveSmallIntegerField()
    warnings = models.PositiveSmallIntegerField()
    open_faults = models.PositiveSmallIntegerField(default=0)
    unsafe_faults = models.PositiveSmallIntegerField(default=0)
    next_due = models.DateField(null=True)
    urgency = models.PositiveSmallIntegerField()

    objects = ReadingQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["day", "-urgency"], name="reading_by_urgency"),
            models.Index(fields=["home", "day"], name="reading_by_home"),
        ]

    def __str__(self) -> str:
        return f"enclosure {self.enclosure_id} on {self.day}"

    @property
    def is_ready_for_more(self) -> bool:
        """It stands, needs no repair and is safe, so that it may take an animal more."""
        return self.state in TAKES_A_GROUP and not self.unsafe_faults

    @property
    def spare_mm2(self) -> int:
        """Floor that counts and that those who live there do not need."""
        if self.required_mm2 is None or self.counted_mm2 is None:
            return 0
        return max(0, self.counted_mm2 - self.required_mm2)

    @property
    def free_mm2(self) -> int:
        """Floor that newcomers could have: only of what stands and is safe."""
        if not self.is_ready_for_more:
            return 0
        if self.required_mm2 is None or self.counted_mm2 is None:
            return self.ground_mm2 if not self.animals else 0
        return self.spare_mm2

    def residence(self) -> Residence:
        """The floors with what is asked for, to be drawn; the floors alone where nothing is."""
        floors = tuple(
            tuple(tuple((x, y) for x, y in ring) for ring in floor) for floor in self.floors
        )
        if self.required_mm2 is None or self.counted_mm2 is None:
            return Residence(floors)
        shares = tuple(share for _code, _name, share in self.residents)
        return Residence(floors, shares, max(0, self.counted_mm2 - self.ground_mm2))


class _Upkeep(NamedTuple):
    """Open faults, and the day by which its next safety check is due; None: none is due."""

    open_faults: int
    unsafe_faults: int
    next_check: date | None


class _Read(NamedTuple):
    """A reading that is not kept yet, with what is due."""

    reading: Reading
    dues: list[DueRow]


@dataclass(frozen=True, slots=True)
class _Facts:
    """What a reading is made of."""

    enclosure: Enclosure
    structure: Structure
    home: int | None
    group: int | None
    companions: tuple[Companion, ...]
    overridden: frozenset[str]
    upkeep: _Upkeep

    def read(self, today: date, rescue: Rescue) -> _Read:
        room = room_of(self.structure)
        species = self.companions[0].species if self.companions else self.structure.design.species
        rules = rules_of(rescue, species)
        verdict = verdict_for(self.structure, self.companions, today, rules)
        objections = self._open(objections_to(self.companions, today, rescue))
        dues = dues_of(self.companions, today, rescue, self.structure)
        days = [one.day for one in dues] + [day for day in [self.upkeep.next_check] if day]
        shares = verdict.shares_mm2 if verdict else (0,) * len(self.companions)
        reading = Reading(
            enclosure=self.enclosure,
            day=today,
            home_id=self.home,
            group_id=self.group,
            state=vars(self.enclosure)["state"],
            species=species,
            ground_mm2=room.ground_mm2,
            upper_mm2=room.upper_mm2,
            required_mm2=verdict.required_mm2 if verdict else None,
            counted_mm2=verdict.counted_mm2 if verdict else None,
            lacking_mm2=verdict.lacking_mm2 if verdict else 0,
            passes=verdict.passes if verdict else None,
            takes_pair=self._takes_pair(rules, today),
            floors=floors_of(self.structure),
            animals=len(self.companions),
            residents=[
                [one.ref, one.name, share]
                for one, share in zip(self.companions, shares, strict=True)
            ],
            in_quarantine=any(
                in_quarantine(one, today, limits_of(rescue)) for one in self.companions
            ),
            blocks=sum(one.severity is Severity.BLOCK for one in objections),
            warnings=sum(one.severity is Severity.WARNING for one in objections),
            open_faults=self.upkeep.open_faults,
            unsafe_faults=self.upkeep.unsafe_faults,
            next_due=min(days, default=None),
            urgency=Urgency.WRONG
            if self.upkeep.unsafe_faults
            else _urgency(self.companions, verdict, objections, dues, today),
        )
        return _Read(reading, list(self._due_rows(dues)))

    def _due_rows(self, dues: Sequence[Due]) -> Iterator[DueRow]:
        names = {one.ref: one.name for one in self.companions}
        for due in dues:
            yield row_of(due, names, enclosure=self.enclosure, home_id=self.home)
        if self.upkeep.next_check:
            yield DueRow(
                enclosure=self.enclosure,
                home_id=self.home,
                kind=SAFETY_CHECK,
                day=self.upkeep.next_check,
            )

    def _takes_pair(self, rules: RuleSet | None, today: date) -> bool | None:
        if rules is None or any(one.species != rules.species for one in self.companions):
            return None
        more = [*residents_on(self.companions, today), Resident(), Resident()]
        return judged(rules, rules.species, room_of(self.structure), more).passes

    def _open(self, objections: Sequence[Objection]) -> list[Objection]:
        return [one for one in objections if one.key not in self.overridden]


def _urgency(
    companions: Sequence[Companion],
    verdict: Verdict | None,
    objections: Sequence[Objection],
    dues: Sequence[Due],
    today: date,
) -> Urgency:
    if not companions:
        return Urgency.FINE
    if (verdict and verdict.passes is False) or any(
        one.severity is Severity.BLOCK for one in objections
    ):
        return Urgency.WRONG
    if any(one.day <= today and one.kind not in CAN_WAIT for one in dues):
        return Urgency.DUE
    if verdict is None or verdict.passes is None:
        return Urgency.UNTOLD
    if any(one.day <= today + timedelta(days=SOON_DAYS) for one in dues):
        return Urgency.SOON
    return Urgency.FINE


def _read(enclosures: Sequence[Enclosure], today: date) -> Iterator[_Read]:
    """However many there are, with the same few queries."""
    rescue = Rescue.ours()
    keys = [one.pk for one in enclosures]
    standing = Standing.objects.on(today).filter(enclosure__in=keys)
    homes = dict(standing.values_list("enclosure", "home"))
    staying = Stay.objects.on(today).filter(enclosure__in=keys)
    groups = dict(staying.values_list("enclosure", "group"))
    wanted = set(groups.values())
    animals = animals_by_group(wanted, today)
    overridden: dict[int, set[str]] = {}
    for one in Override.objects.holding(wanted):
        overridden.setdefault(one.group_id, set()).add(one.key)
    upkeep = _upkeep(enclosures, homes, rescue)
    for enclosure in enclosures:
        structure = enclosure.structure()
        if structure is None:
            continue
        group = groups.get(enclosure.pk)
        yield _Facts(
            enclosure=enclosure,
            structure=structure,
            home=homes.get(enclosure.pk),
            group=group,
            companions=companions_of(animals.get(group, [])) if group else (),
            overridden=frozenset(overridden.get(group, ())) if group else frozenset(),
            upkeep=upkeep[enclosure.pk],
        ).read(today, rescue)


def _upkeep(
    enclosures: Sequence[Enclosure], homes: Mapping[int, int], rescue: Rescue
) -> dict[int, _Upkeep]:
    """Three queries. Only what stands in a home gets safety checks."""
    keys = [one.pk for one in enclosures]
    unsafe = models.Count("pk", filter=models.Q(urgency=FaultUrgency.UNSAFE))
    counted = Fault.objects.open().filter(enclosure__in=keys).order_by().values("enclosure")
    faults = {
        key: (number, unsafe)
        for key, number, unsafe in counted.annotate(
            number=models.Count("pk"), unsafe=unsafe
        ).values_list("enclosure", "number", "unsafe")
    }
    checks = next_checks(
        [one.pk for one in enclosures if one.pk in homes and vars(one)["state"] in STANDS],
        rescue.safety_check_days,
    )
    return {key: _Upkeep(*faults.get(key, (0, 0)), checks.get(key)) for key in keys}


def _keep(read: Sequence[_Read], today: date) -> None:
    """Two pages that make the same reading at once make the same one: the last stands.

    The readings first: their locks let the second page wait until the first has written its dues.
    """
    readings = [one.reading for one in read]
    fields = [
        field.attname
        for field in Reading._meta.concrete_fields
        if field.attname not in ("id", "enclosure_id")
    ]
    names = [Reading._meta.get_field(name.removesuffix("_id")).name for name in fields]
    with transaction.atomic():
        Reading.objects.bulk_create(
            readings,
            update_conflicts=True,
            unique_fields=["enclosure"],
            update_fields=names,
        )
        dues = [due for one in read for due in one.dues]
        DueRow.objects.rewrite(dues, enclosure=[one.enclosure_id for one in readings])
        readings_kept.send(Reading, readings=readings, today=today)
