"""How enclosures stand on a day, worked out from what has happened; and for how long that holds."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum
from functools import cached_property
from typing import Any, NamedTuple

from django.db import models

from habitats.animals.models.companions import RECENT_DAYS, companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Membership, Override
from habitats.animals.models.stays import Stay
from habitats.common.happened import Span, SpanQuerySet
from habitats.common.written import Written, given, given_keys, written
from habitats.drawing.residence import floors_of
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.faults.models.faults import STANDS, Fault
from habitats.faults.models.safety_checks import next_checks
from habitats.readings.models.due_rows import CAN_WAIT, SAFETY_CHECK, DueRow, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import (
    AHEAD_DAYS,
    dues_of,
    limits_of,
    objections_to,
    rules_of,
)
from habitats.structure.design import Species
from habitats.structure.structure import Structure
from habitats.upkeep.urgency import FaultUrgency
from habitats.welfare.ahead import Due, class_ages, residents_on
from habitats.welfare.alike import verdict_of
from habitats.welfare.companion import Companion
from habitats.welfare.lasting import LONGEST_DAYS, says_the_same_until
from habitats.welfare.objection import Objection, Severity
from habitats.welfare.quarantine import in_quarantine
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.taking import takings
from habitats.welfare.values import Resident, Verdict

SOON_DAYS = 14


class Urgency(IntEnum):
    """What needs doing first comes first when sorted from the greatest."""

    FINE = 0
    UNTOLD = 1  # a value is missing, or no rule set is chosen
    SOON = 2
    DUE = 3
    WRONG = 4  # too little space, animals together that must not be, or an unsafe fault


class _Upkeep(NamedTuple):
    """Open faults, and the day by which its next safety check is due; None: none is due."""

    open_faults: int
    unsafe_faults: int
    next_check: date | None


class ReadOff(NamedTuple):
    """The values of a reading, by field, with what is due."""

    values: dict[str, Any]
    dues: list[DueRow]


def read_off(enclosures: Sequence[Enclosure], today: date) -> Iterator[ReadOff]:
    """However many there are, with the same few queries.

    Loaded with their state and shape, those of one revision together: it is read once.
    """
    rescue = Rescue.ours()
    keys = [one.pk for one in enclosures]
    homes = dict(_HOMES(enclosures=keys, day=today))
    groups = dict(_GROUPS(enclosures=keys, day=today))
    wanted = set(groups.values())
    animals = animals_by_group(wanted, today)
    overridden = _overridden(wanted)
    upkeep = _upkeep(enclosures, homes, rescue)
    moves = _next_moves(keys, wanted, today)
    for enclosure, structure in _raised(enclosures):
        group = groups.get(enclosure.pk)
        yield _Facts(
            today=today,
            rescue=rescue,
            enclosure=enclosure,
            structure=structure,
            home=homes.get(enclosure.pk),
            group=group,
            companions=companions_of(animals.get(group, [])) if group else (),
            overridden=frozenset(overridden.get(group, ())) if group else frozenset(),
            upkeep=upkeep[enclosure.pk],
            moves=moves.enclosures.get(enclosure.pk, []) + moves.groups.get(group or 0, []),
        ).read()


def _raised(enclosures: Iterable[Enclosure]) -> Iterator[tuple[Enclosure, Structure]]:
    """Each with its structure, those of one revision read once; drafts are left out."""
    structures: dict[int, Structure | None] = {}
    for enclosure in enclosures:
        if enclosure.revision_id not in structures:
            structures[enclosure.revision_id] = enclosure.structure()
        structure = structures[enclosure.revision_id]
        if structure is not None:
            yield enclosure, structure


def _overridden(groups: set[int]) -> dict[int, set[str]]:
    """What was overridden, by the group's key."""
    found: dict[int, set[str]] = {}
    for one in Override.objects.holding(groups):
        found.setdefault(one.group_id, set()).add(one.key)
    return found


@dataclass(frozen=True)  # without slots: what was worked out is kept
class _Facts:
    """What a reading is made of. ``moves``: days to come on which somebody or something moves."""

    today: date
    rescue: Rescue
    enclosure: Enclosure
    structure: Structure
    home: int | None
    group: int | None
    companions: tuple[Companion, ...]
    overridden: frozenset[str]
    upkeep: _Upkeep
    moves: list[date]

    def read(self) -> ReadOff:
        room, verdict = room_of(self.structure), self.verdict
        shares = verdict.shares_mm2 if verdict else (0,) * len(self.companions)
        values = {
            "enclosure": self.enclosure,
            "day": self.today,
            "holds_until": self._holds_until(),
            "home_id": self.home,
            "group_id": self.group,
            "state": vars(self.enclosure)["state"],
            "species": self.species,
            "built_for": self.structure.design.species.value,
            "ground_mm2": room.ground_mm2,
            "upper_mm2": room.upper_mm2,
            "required_mm2": verdict.required_mm2 if verdict else None,
            "counted_mm2": verdict.counted_mm2 if verdict else None,
            "lacking_mm2": verdict.lacking_mm2 if verdict else 0,
            "passes": verdict.passes if verdict else None,
            "takes_pair": self._takes_pair(),
            "takes": self._takes(),
            "floors": floors_of(self.structure),
            "animals": len(self.companions),
            "residents": [
                [one.ref, one.name, share]
                for one, share in zip(self.companions, shares, strict=True)
            ],
            "in_quarantine": any(
                in_quarantine(one, self.today, limits_of(self.rescue)) for one in self.companions
            ),
            "blocks": sum(one.severity is Severity.BLOCK for one in self.open_objections),
            "warnings": sum(one.severity is Severity.WARNING for one in self.open_objections),
            "open_faults": self.upkeep.open_faults,
            "unsafe_faults": self.upkeep.unsafe_faults,
            "next_due": self._next_due(),
            "urgency": self.urgency,
        }
        return ReadOff(values, list(self._due_rows()))

    @cached_property
    def species(self) -> str:
        return self.companions[0].species if self.companions else self.structure.design.species

    @cached_property
    def rules(self) -> RuleSet | None:
        return rules_of(self.rescue, self.species)

    @cached_property
    def residents(self) -> tuple[Resident, ...]:
        return residents_on(self.companions, self.today)

    @cached_property
    def verdict(self) -> Verdict | None:
        if self.rules is None or not self.companions or not self._is_of_one_species:
            return None
        return verdict_of(self.rules, room_of(self.structure), self.residents)

    @cached_property
    def objections(self) -> Sequence[Objection]:
        return objections_to(self.companions, self.today, self.rescue)

    @cached_property
    def open_objections(self) -> Sequence[Objection]:
        return [one for one in self.objections if one.key not in self.overridden]

    @cached_property
    def foreseen(self) -> Sequence[Due]:
        """What is due, further ahead than what is kept: so far that a reading may hold."""
        within = AHEAD_DAYS + LONGEST_DAYS
        return dues_of(self.companions, self.today, self.rescue, self.structure, within_days=within)

    @cached_property
    def dues(self) -> Sequence[Due]:
        last = self.today + timedelta(days=AHEAD_DAYS)
        return [one for one in self.foreseen if one.day <= last]

    @cached_property
    def urgency(self) -> Urgency:
        if self.upkeep.unsafe_faults:
            return Urgency.WRONG
        return _urgency(self.companions, self.verdict, self.open_objections, self.dues, self.today)

    def _next_due(self) -> date | None:
        """The first day; before all days what is due now without one."""
        days = [date.min if one.undated else one.day for one in self.dues]
        return min([*days, *filter(None, [self.upkeep.next_check])], default=None)

    def _holds_until(self) -> date:
        """The first later day on which it may read otherwise, if nothing happens.

        But for what is fine until something is due soon: that is told by its dues.
        """
        days = [
            says_the_same_until(
                self.companions,
                self.today,
                self.foreseen,
                limits_of(self.rescue),
                rules=self.rules,
                ages=class_ages(self.rules) if self.rules else (),
            ),
            *self.moves,
            *(one.day - timedelta(days=AHEAD_DAYS) for one in self.foreseen),
            *self._days_of_facts(),
        ]
        return min(day for day in days if day > self.today)

    def _days_of_facts(self) -> Iterator[date]:
        """From which on the weights of before the last one are no longer looked at."""
        for animal in self.companions:
            if animal.weighings:
                last = max(one.day for one in animal.weighings)
                yield last + timedelta(days=RECENT_DAYS)

    def _due_rows(self) -> Iterator[DueRow]:
        names = {one.ref: one.name for one in self.companions}
        for due in self.dues:
            yield row_of(due, names, enclosure=self.enclosure, home_id=self.home)
        if self.upkeep.next_check:
            yield DueRow(
                enclosure=self.enclosure,
                home_id=self.home,
                kind=SAFETY_CHECK,
                day=self.upkeep.next_check,
            )

    def _takes_pair(self) -> bool | None:
        if self.rules is None or not self._is_of_one_species:
            return None
        more = [*self.residents, Resident(), Resident()]
        return verdict_of(self.rules, room_of(self.structure), more).passes

    def _takes(self) -> dict[str, Any]:
        """By kind of newcomer, for ``placing``; nothing where several species live."""
        if not self._is_of_one_species:
            return {}
        found = takings(
            self.companions,
            self.objections,
            self.residents,
            Species(self.species),
            room_of(self.structure),
            self.rules,
            self.today,
            overridden=self.overridden,
            limits=limits_of(self.rescue),
        )
        return {kind.value: list(one) for kind, one in found.items()}

    @cached_property
    def _is_of_one_species(self) -> bool:
        return all(one.species == self.species for one in self.companions)


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


class _Moves(NamedTuple):
    """Days to come that are known already, by enclosure and by group."""

    enclosures: dict[int, list[date]]
    groups: dict[int, list[date]]


def _next_moves(keys: Collection[int], groups: Collection[int], today: date) -> _Moves:
    """Three queries. Said of a day to come: another home, a group that moves, an animal."""
    of_enclosure: dict[int, list[date]] = {}
    for spans in (_STANDINGS_AHEAD, _STAYS_AHEAD):
        _gather(of_enclosure, spans(owners=keys, today=today), today)
    of_group: dict[int, list[date]] = {}
    _gather(of_group, _MEMBERSHIPS_AHEAD(owners=groups, today=today), today)
    return _Moves(of_enclosure, of_group)


def _gather(
    found: dict[int, list[date]], rows: Iterable[tuple[int, date, date | None]], today: date
) -> None:
    for key, since, until in rows:
        found.setdefault(key, []).extend(day for day in (since, until) if day and day > today)


def _upkeep(
    enclosures: Sequence[Enclosure], homes: Mapping[int, int], rescue: Rescue
) -> dict[int, _Upkeep]:
    """Three queries. Only what stands in a home gets safety checks."""
    keys = [one.pk for one in enclosures]
    faults = {key: (number, unsafe) for key, number, unsafe in _FAULTS(enclosures=keys)}
    checks = next_checks(
        [one.pk for one in enclosures if one.pk in homes and vars(one)["state"] in STANDS],
        rescue.safety_check_days,
    )
    return {key: _Upkeep(*faults.get(key, (0, 0)), checks.get(key)) for key in keys}


_HOMES = written(
    lambda: (
        Standing.objects.on(given("day", date))
        .filter(enclosure__in=given_keys("enclosures"))
        .values_list("enclosure", "home")
    )
)
_GROUPS = written(
    lambda: (
        Stay.objects.on(given("day", date))
        .filter(enclosure__in=given_keys("enclosures"))
        .values_list("enclosure", "group")
    )
)
_FAULTS = written(
    lambda: (
        Fault.objects.open()
        .filter(enclosure__in=given_keys("enclosures"))
        .order_by()
        .values("enclosure")
        .annotate(
            number=models.Count("pk"),
            unsafe=models.Count("pk", filter=models.Q(urgency=FaultUrgency.UNSAFE)),
        )
        .values_list("enclosure", "number", "unsafe")
    )
)


def _ahead(model: type[Span], owner: str) -> Written[tuple[int, date, date | None]]:
    """The owner, the first day and the day after the last of spans that are not over."""
    today = given("today", date)
    return written(
        lambda: (
            SpanQuerySet(model)
            .filter(models.Q(since__gt=today) | models.Q(until__gt=today))
            .filter(**{f"{owner}__in": given_keys("owners")})
            .order_by()
            .values_list(owner, "since", "until")
        )
    )


_STANDINGS_AHEAD, _STAYS_AHEAD = _ahead(Standing, "enclosure"), _ahead(Stay, "enclosure")
_MEMBERSHIPS_AHEAD = _ahead(Membership, "group")
