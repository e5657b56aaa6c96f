"""How each enclosure stands today, kept at hand for the page of space.

Nothing here is remembered for its own sake: a reading is worked out from what has happened, is
forgotten at every change that touches it, and made again when asked for. If nothing happens it
holds until the day on which it may be another. What is written in bulk, past ``save``, has to say
``Reading.objects.forget()`` itself; a new version forgets all (``post_migrate``).
"""

from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta
from typing import Any, Self

from django.db import connection, models, transaction
from django.dispatch import Signal

from habitats.animals.models.groups import Group
from habitats.common.written import given, given_keys, written
from habitats.drawing.residence import Residence
from habitats.enclosures.models.enclosures import (
    TAKES_A_GROUP,
    Enclosure,
    EnclosureQuerySet,
    EnclosureState,
)
from habitats.homes.models.homes import Home
from habitats.readings.models.due_rows import DueRow
from habitats.readings.models.reading_off import SOON_DAYS, Urgency, read_off
from habitats.readings.models.unhoused import Unhoused

AT_ONCE = 300  # enclosures read in one go

# Sent when readings were made, inside the transaction that keeps them: a receiver adds what else
# is due in these enclosures. Gives ``readings`` and ``today``.
readings_kept = Signal()


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
        self.make_missing(today, **of_enclosure)
        return self.filter(day=today)

    def make_missing(self, today: date, **of_enclosure: object) -> None:
        if self._is_any_missing(today):
            self._carry_over(today)
            self._make_missing(today, of_enclosure)

    @staticmethod
    def _missing(today: date) -> EnclosureQuerySet:
        """Those of a later day too: a clock was set back."""
        later = models.Q(reading__day__gt=today, reading__day__lt=date.max)
        return Enclosure.objects.filter(
            models.Q(reading__isnull=True) | models.Q(reading__day__lt=today) | later
        )

    @staticmethod
    def _is_any_missing(today: date) -> bool:
        """By counting along two indexes, and written out: each page asks it."""
        with connection.cursor() as cursor:
            cursor.execute(_ANY_MISSING, [today, date.max])
            return bool(cursor.fetchone()[0])

    @staticmethod
    def _carry_over(today: date) -> None:
        """What holds from an earlier day on is of today."""
        if not _HELD(today=today):
            return
        held = Reading.objects.filter(day__gt=date.min, day__lt=today, holds_until__gt=today)
        with transaction.atomic():
            # Locked before their dues, as by all who forget or make them.
            list(held.select_for_update(no_key=True).order_by("pk").values_list("pk", flat=True))
            # The dues first: they are found by the day of their reading.
            now = DueRow.objects.filter(undated=True, enclosure__reading__in=held)
            now.update(day=today)
            soon = DueRow.objects.of_residents().filter(
                enclosure=models.OuterRef("enclosure"), day__lte=today + timedelta(days=SOON_DAYS)
            )
            fine = held.filter(urgency=Urgency.FINE, animals__gt=0)
            fine.filter(models.Exists(soon)).update(urgency=Urgency.SOON)
            held.update(day=today)

    def _make_missing(self, today: date, of_enclosure: Mapping[str, object]) -> None:
        if _NEVER_READ():
            self.begin(self._missing(today).filter(**of_enclosure))
        if not of_enclosure:
            found = _MISSING(today=today)
        elif (keys := _keys_of(of_enclosure)) is not None:
            found = _MISSING_OF(today=today, keys=keys)
        else:
            found = list(_loaded(self._missing(today).filter(**of_enclosure)))
        changed: list[int] = []
        # In portions: neither database takes any number of keys in one question.
        for start in range(0, len(found), AT_ONCE):
            changed += _keep(found[start : start + AT_ONCE], today)
        if changed:
            self._make_missing(today, {"pk__in": changed})

    def begin(self, enclosures: EnclosureQuerySet) -> None:
        """Of those that were never read: so that it counts how often they are forgotten."""
        never = enclosures.filter(reading=None).order_by("pk").with_state()
        none = [_nothing_of(one, date.min) for one in never]
        Reading.objects.bulk_create(none, batch_size=AT_ONCE, ignore_conflicts=True)

    def totals(self) -> dict[str, int]:
        """What the readings come to, areas in mm²; zeros where there are none."""
        return {name: value or 0 for name, value in self.aggregate(**_counted()).items()}

    def forget(self, **of_enclosure: object) -> None:
        """Forget the readings of these enclosures, with what is due there.

        Without a condition all of them, and what is due for animals that live in none.
        """
        if of_enclosure:
            found = Enclosure.objects.filter(**of_enclosure).order_by()
            self.forget_keys(set(found.values_list("pk", flat=True)))
        else:
            self._forget_with(DueRow.objects.filter(enclosure__isnull=False))
            Unhoused.objects.forget()

    def forget_keys(self, enclosures: Collection[int]) -> None:
        """The same for keys of enclosures: nothing is asked where there are none."""
        keys = sorted(enclosures)
        for start in range(0, len(keys), AT_ONCE):
            some = keys[start : start + AT_ONCE]
            self.filter(enclosure__in=some)._forget_with(DueRow.objects.filter(enclosure__in=some))

    def _forget_with(self, dues: "models.QuerySet[DueRow]") -> None:
        # Not deleted: a page that is just reading them still finds them.
        self.update(day=date.min, times_forgotten=models.F("times_forgotten") + 1)
        dues.delete()


class Reading(models.Model):
    """One enclosure on one day. ``home`` None: it stands nowhere; ``group`` None: it is free.

    ``holds_until``: the first later day on which it may be another; ``times_forgotten`` tells who
    is making it whether something changed meanwhile. Of a retired enclosure nothing is read: its
    ``day`` is after all others. ``built_for``: the species of its design; ``takes``: what newcomers
    of each kind find there, as ``Admission`` has it, by the code of the kind.
    ``passes`` None: it cannot be told, or nobody lives there. ``residents`` are ``[code, name,
    share of the required floor in mm²]``; what is due are the ``due_rows`` of the enclosure.
    ``blocks`` and ``warnings`` count objections that nobody has overridden. ``floors`` are the
    levels' floors as rings of points in mm, the ground first. ``takes_pair``: whether two grown
    animals more would have enough space; None: it cannot be told. ``open_faults`` counts what is
    not mended, ``unsafe_faults`` those of them that are unsafe.
    """

    enclosure = models.OneToOneField(Enclosure, on_delete=models.CASCADE, related_name="reading")
    day = models.DateField(db_index=True)
    holds_until = models.DateField(default=date.min)
    times_forgotten = models.PositiveIntegerField(default=0)
    home = models.ForeignKey(Home, on_delete=models.CASCADE, null=True, related_name="readings")
    group = models.ForeignKey(Group, on_delete=models.CASCADE, null=True, related_name="readings")
    state = models.CharField(max_length=10, choices=EnclosureState)
    species = models.CharField(max_length=20)
    built_for = models.CharField(max_length=20, default="")
    ground_mm2 = models.PositiveIntegerField()
    upper_mm2 = models.PositiveIntegerField()
    required_mm2 = models.PositiveIntegerField(null=True)
    counted_mm2 = models.PositiveIntegerField(null=True)
    lacking_mm2 = models.PositiveIntegerField(default=0)
    passes = models.BooleanField(null=True)
    takes_pair = models.BooleanField(null=True)
    takes = models.JSONField(default=dict)
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

    @staticmethod
    def totals_on(day: date) -> dict[str, int]:
        """``totals`` of all readings of a day."""
        counted = _TOTALS.first(day=day) or dict.fromkeys(_counted())
        return {name: counted[name] or 0 for name in _counted()}

    def residence(self) -> Residence:
        """The floors with what is asked for, to be drawn; the floors alone where nothing is."""
        floors = tuple(
            tuple(tuple((x, y) for x, y in ring) for ring in floor) for floor in self.floors
        )
        if self.required_mm2 is None or self.counted_mm2 is None:
            return Residence(floors)
        shares = tuple(share for _code, _name, share in self.residents)
        return Residence(floors, shares, max(0, self.counted_mm2 - self.ground_mm2))


def _keys_of(of_enclosure: Mapping[str, object]) -> Collection[int] | None:
    """Where the condition is the keys alone; None where it is another, such as a query set."""
    match dict(of_enclosure):
        case {"pk": int(key), **more} if not more:
            return [key]
        case {"pk__in": list(keys), **more} if not more:
            return keys
    return None


def _loaded(missing: EnclosureQuerySet) -> EnclosureQuerySet:
    """As they are read, each with how often its reading was forgotten."""
    counted = missing.with_state().annotate(times_forgotten=models.F("reading__times_forgotten"))
    return counted.with_shape().order_by("revision", "pk")


def _counted() -> dict[str, models.Aggregate]:
    return {
        "enclosures": models.Count("pk"),
        "living": models.Sum("animals"),
        "vacant": models.Count("pk", filter=ready_for_more() & models.Q(group__isnull=True)),
        "short": models.Count("pk", filter=models.Q(passes=False)),
        "apart": models.Count("pk", filter=models.Q(in_quarantine=True)),
        "lacking": models.Sum("lacking_mm2"),
        "free": models.Sum(free_floor()),
        "unsafe": models.Count("pk", filter=models.Q(unsafe_faults__gt=0)),
    }


_TOTALS = written(
    lambda: (
        Reading.objects.filter(day=given("day", date))
        .order_by()
        .values("day")
        .annotate(**_counted())
        .values(*_counted())
    )
)
_ANY_MISSING = f"""
    SELECT (SELECT COUNT(*) FROM {Reading._meta.db_table} WHERE day IN (%s, %s))
        < (SELECT COUNT(*) FROM {Enclosure._meta.db_table})"""  # nosec B608 # our own tables


# One of them is enough to know that there are any.
_HELD = written(
    lambda: Reading.objects.filter(
        day__gt=date.min, day__lt=given("today", date), holds_until__gt=given("today", date)
    ).values_list("pk")[:1]
)
_MISSING = written(lambda: _loaded(ReadingQuerySet._missing(given("today", date))))
_MISSING_OF = written(
    lambda: _loaded(
        ReadingQuerySet._missing(given("today", date)).filter(pk__in=given_keys("keys"))
    )
)
_NEVER_READ = written(
    lambda: Enclosure.objects.filter(reading=None).order_by().values_list("pk")[:1]
)


def _keep(enclosures: Sequence[Enclosure], today: date) -> list[int]:
    """The keys of those that changed since they were loaded: of these nothing is kept.

    Two pages that make the same reading at once make the same one: the last stands.
    """
    live = [one for one in enclosures if vars(one)["state"] != EnclosureState.RETIRED]
    read = {one.values["enclosure"].pk: one for one in read_off(live, today)}
    with transaction.atomic():
        # Locked: who changes something now waits, and then forgets what is written here.
        rows = _times_forgotten(enclosures).select_for_update(no_key=True).order_by("pk")
        now = dict(rows)
        kept = [one for one in enclosures if now.get(one.pk) == vars(one)["times_forgotten"]]
        found = [read[one.pk] for one in kept if one.pk in read]
        readings = [Reading(**one.values) for one in found]
        _write([*readings, *(_nothing_of(one, date.max) for one in kept if one.pk not in read)])
        dues = [due for one in found for due in one.dues]
        DueRow.objects.rewrite(dues, enclosure=[one.pk for one in kept])
        readings_kept.send(Reading, readings=readings, today=today)
    return [one.pk for one in enclosures if now.get(one.pk) != vars(one)["times_forgotten"]]


def _times_forgotten(enclosures: Sequence[Enclosure]) -> "models.QuerySet[Reading, Any]":
    """By the key of the enclosure."""
    read = Reading.objects.filter(enclosure__in=[one.pk for one in enclosures])
    return read.values_list("enclosure", "times_forgotten")


def _write(readings: Sequence[Reading]) -> None:
    """In the place of those that are there, which go on counting how often they were forgotten."""
    stays = ("id", "enclosure", "times_forgotten")
    names = [one.name for one in Reading._meta.concrete_fields if one.name not in stays]
    Reading.objects.bulk_create(
        readings, update_conflicts=True, unique_fields=["enclosure"], update_fields=names
    )


def _nothing_of(enclosure: Enclosure, day: date) -> Reading:
    """Of one that was never read; or, on the last of all days so that nobody looks for it, of one
    that is retired, or whose design is not allowed any more.
    """
    return Reading(
        enclosure=enclosure,
        day=day,
        state=vars(enclosure)["state"],
        species="",
        ground_mm2=0,
        upper_mm2=0,
        animals=0,
        in_quarantine=False,
        blocks=0,
        warnings=0,
        urgency=Urgency.FINE,
    )
