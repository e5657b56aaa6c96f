"""What an inspector asks: on that day, who lived where, and was it enough?

Worked out from what was recorded, under the rule set that is chosen now.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from django.db import models

from habitats.animals.models.animals import Animal
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.stays import Stay
from habitats.common.written import given, given_keys, written
from habitats.enclosures.models.alterations import as_built_on
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent, EnclosureState
from habitats.enclosures.models.standing import Standing, StandingQuerySet
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.homes.models.homes import Home
from habitats.records.models.inspected_company import NOBODY, DayGroup, groups_on
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import rules_of, verdict_for
from habitats.structure.structure import Structure
from habitats.welfare.companion import Companion
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Verdict

AT_ONCE = 300  # enclosures read in one go


@dataclass(frozen=True, slots=True)
class Inspected:
    """One enclosure on the day. ``state`` None: it was not yet recorded in any.

    ``verdict`` None: nobody lived there, or no rule set is chosen that could judge them.
    ``animals`` and ``companions`` go together, in the same order. ``check``: the last safety check
    up to that day; None: there was none.
    """

    enclosure: Enclosure
    home: Home
    state: EnclosureState | None
    structure: Structure | None
    animals: tuple[Animal, ...]
    companions: tuple[Companion, ...]
    rules: RuleSet | None
    verdict: Verdict | None
    group: DayGroup = NOBODY
    check: SafetyCheck | None = None

    @property
    def ground_mm2(self) -> int | None:
        return room_of(self.structure).ground_mm2 if self.structure else None


def standing_on(day: date, *, area: str = "", home: str = "") -> StandingQuerySet:
    """Where enclosures stood that day, by home and label; narrowed to an area or a home's code."""
    found = Standing.objects.on(day).select_related("home", "enclosure__revision")
    if area:
        found = found.filter(home__area=area)
    if home:
        found = found.filter(home__code=home)
    return found.order_by("home__name", "home", "enclosure__label", "enclosure")


def inspected(standing: StandingQuerySet, day: date) -> Iterator[Inspected]:
    """Each of these enclosures as it was on the day, retired ones left out."""
    rescue = Rescue.ours()
    rows = list(standing)
    for start in range(0, len(rows), AT_ONCE):
        yield from _portion(rows[start : start + AT_ONCE], day, rescue)


def _portion(rows: list[Standing], day: date, rescue: Rescue) -> Iterator[Inspected]:
    keys = [row.enclosure_id for row in rows]
    states, groups = _states(keys, day), dict(_STAYING(enclosures=keys, day=day))
    living = groups_on(animals_by_group(set(groups.values()), day), day, rescue)
    checks = {one.enclosure_id: one for one in _CHECKED(enclosures=keys, day=day)}
    stood = as_built_on([row.enclosure for row in rows], day)
    for row in rows:
        row.enclosure.revision = stood.get(row.enclosure_id, row.enclosure.revision)
        state = states.get(row.enclosure_id)
        if state is not EnclosureState.RETIRED:
            group = groups.get(row.enclosure_id)
            there = living.get(group, NOBODY) if group else NOBODY
            found = _inspected(row, state, there, day, rescue)
            yield replace(found, check=checks.get(row.enclosure_id))


def _states(keys: list[int], day: date) -> dict[int, EnclosureState]:
    """What had last been said of each by that day."""
    said = _SAID_LAST(enclosures=keys, day=day)
    return {key: EnclosureState(state) for key, state in said if state}


def _said_last() -> "models.QuerySet[Enclosure, tuple[int, str | None]]":
    events = EnclosureEvent.objects.filter(enclosure=models.OuterRef("pk"), on__lte=_DAY)
    last = models.Subquery(events.order_by("-on", "-pk").values("state")[:1])
    return Enclosure.objects.filter(pk__in=_KEYS).annotate(then=last).values_list("pk", "then")


_KEYS, _DAY = given_keys("enclosures"), given("day", date)
_SAID_LAST = written(_said_last)
_STAYING = written(
    lambda: Stay.objects.on(_DAY).filter(enclosure__in=_KEYS).values_list("enclosure", "group")
)
_CHECKED = written(
    lambda: (
        SafetyCheck.objects.filter(enclosure__in=_KEYS, on__lte=_DAY)
        .select_related("made_by")
        .order_by("on", "pk")
    )
)


def _inspected(
    row: Standing,
    state: EnclosureState | None,
    group: DayGroup,
    day: date,
    rescue: Rescue,
) -> Inspected:
    structure = row.enclosure.structure()
    animals, companions = group.animals, group.companions
    rules = rules_of(rescue, companions[0].species) if companions else None
    verdict = verdict_for(structure, companions, day, rules) if structure else None
    return Inspected(
        row.enclosure, row.home, state, structure, animals, companions, rules, verdict, group
    )
