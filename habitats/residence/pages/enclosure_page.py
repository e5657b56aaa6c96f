"""What the page of one enclosure shows."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

from habitats.animals.models.acts import Act
from habitats.animals.models.animals import Animal
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group, Override
from habitats.animals.pages.acts import ActRow, act_rows, last_of
from habitats.animals.pages.objection_rows import ObjectionRow, open_objection_rows
from habitats.animals.pages.shared_dues import SharedDue, shared_dues
from habitats.animals.pages.words import against_company
from habitats.common.happened import SpanQuerySet
from habitats.common.written import given, given_keys, written
from habitats.designs.models.structures import faults_of
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.first_built import NOT_BUILT
from habitats.enclosures.models.parts import Component, ComponentCheck
from habitats.faults.models.faults import STANDS, Fault
from habitats.faults.models.safety_checks import last_check, next_checks
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import Home
from habitats.linens.models.dues import LinenDue, dues_in
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import dues_of, objections_to, rules_of
from habitats.rescue.pages.floor_pictures import ALONE, picture_of, residence_by, scale_for
from habitats.rescue.pages.verdicts import Verdicts, room_words, verdicts_of
from habitats.residence.pages.enclosure_actions import Circumstances, EnclosureActions
from habitats.residence.pages.enclosure_history import HistoryEntry, history_of
from habitats.structure.faults import FileFault as DesignFault
from habitats.structure.furniture import furniture_words
from habitats.structure.structure import Structure
from habitats.upkeep.schedule import replace_by
from habitats.upkeep.urgency import OUT_OF_REACH
from habitats.welfare.ahead import Due, DueKind
from habitats.welfare.companion import Companion
from habitats.welfare.holding import most_grown
from habitats.welfare.objection import Objection, Severity
from habitats.welfare.pups import PupSetAdvice, pup_set_advice
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Room


class ServingPart(NamedTuple):
    """Parts of one kind. ``until``: when they have served; None: until they fail."""

    component: Component
    until: date | None
    is_over: bool

    @property
    def condition_words(self) -> str:
        """What the last check found; empty without one."""
        found = vars(self.component)["condition"]
        return str(ComponentCheck.Condition(found).label) if found else ""


@dataclass(frozen=True, eq=False)  # without slots, as those below: what was asked is kept
class LivingThere:
    """The group that lives in it on a day, and what to know of it."""

    enclosure: Enclosure
    structure: Structure | None
    rescue: Rescue
    today: date

    @cached_property
    def group(self) -> Group | None:
        """Who lives in it today."""
        return _GROUP_THERE.first(enclosure=self.enclosure, day=self.today)

    @cached_property
    def animals(self) -> list[Animal]:
        if self.group is None:
            return []
        return animals_by_group([self.group.pk], self.today)[self.group.pk]

    @cached_property
    def companions(self) -> tuple[Companion, ...]:
        return companions_of(self.animals)

    @cached_property
    def dues(self) -> tuple[Due, ...]:
        """What comes, less the weighings that are not due yet."""
        found = dues_of(self.companions, self.today, self.rescue, self.structure)
        return tuple(one for one in found if one.kind is not DueKind.WEIGH or one.day <= self.today)

    @property
    def due_rows(self) -> list[SharedDue]:
        return shared_dues(self.dues, self.companions)

    @cached_property
    def objections(self) -> list[Objection]:
        """Reasons against the group, less those that are overridden."""
        if self.group is None:
            return []
        known = {one.key for one in Override.objects.holding([self.group.pk])}
        found = objections_to(self.companions, self.today, self.rescue)
        return [one for one in found if one.key not in known]

    @property
    def objection_rows(self) -> list[ObjectionRow]:
        return open_objection_rows(self.objections, self.companions)

    @cached_property
    def on_a_ramp(self) -> list[str]:
        """Of those who must not climb, where it has a ramp."""
        if self.group is None or self.structure is None or not self.structure.ramps:
            return []
        bans = ClimbingBan.objects.all().in_groups([self.group.pk], self.today)
        return [one.ramp_caution for one in bans.get(self.group.pk, [])]

    @property
    def must_part(self) -> bool:
        return any(one.severity is Severity.BLOCK for one in self.objections)

    @cached_property
    def pup_set(self) -> PupSetAdvice | None:
        """Whether the pup set is to be put on or taken off for them."""
        if self.group is None or self.structure is None:
            return None
        return pup_set_advice(self.structure.design, self.companions, self.today)

    @property
    def against_company(self) -> str:
        return against_company(len(self.companions))


@dataclass(frozen=True, eq=False)
class SpaceThere:
    """What the rule sets say of its space for those who live there.

    ``tells_animals``: the reader may know of them; else the picture shows the floor alone.
    """

    enclosure: Enclosure
    structure: Structure | None
    companions: tuple[Companion, ...]
    rescue: Rescue
    today: date
    units: str
    tells_animals: bool

    @cached_property
    def room(self) -> Room | None:
        return room_of(self.structure) if self.structure else None

    @cached_property
    def species(self) -> str:
        first = self.companions[0].species if self.companions else None
        return first or self.enclosure.shape().species

    @cached_property
    def rules(self) -> RuleSet | None:
        return rules_of(self.rescue, self.species)

    @cached_property
    def verdicts(self) -> Verdicts:
        if self.structure is None:
            return Verdicts(None, ())
        return verdicts_of(self.structure, self.companions, self.today, self.rescue, self.units)

    @cached_property
    def picture(self) -> str:
        """The floor with who needs how much of it; without animals for those who see none."""
        if self.structure is None:
            return ""
        card = self.verdicts.chosen if self.tells_animals else None
        residence = residence_by(self.structure, card.verdict if card else None)
        names = [one.name for one in self.companions]
        scale = scale_for([residence], ALONE)
        label = self.enclosure.label
        return picture_of(residence, label, names, self.units, scale, has_north=True)

    @cached_property
    def is_mixed(self) -> bool:
        return len({one.species for one in self.companions}) > 1

    @property
    def lacks(self) -> bool:
        """Those who live there cannot stay there by the chosen rule set, or by any."""
        card = self.verdicts.chosen
        return self.is_mixed or (
            card is not None and card.verdict.passes is False and card.rules.verified
        )

    @property
    def room_for(self) -> str:
        """How many grown animals it would be enough for; empty where no rule set is chosen."""
        if self.rules is None or self.room is None:
            return ""
        return room_words(most_grown(self.room, self.rules), self.rules.species)


@dataclass(frozen=True, eq=False)
class UpkeepThere:
    """Its faults, how long its parts serve, and its safety checks."""

    enclosure: Enclosure
    stands_in: Home | None
    safety_check_days: int
    today: date

    @cached_property
    def components(self) -> list[ServingPart]:
        return [self._serving(one) for one in _COMPONENTS(enclosure=self.enclosure)]

    def _serving(self, component: Component) -> ServingPart:
        until = replace_by(component.kind, component.fitted_on)
        return ServingPart(component, until, until is not None and until <= self.today)

    @cached_property
    def faults(self) -> list[Fault]:
        """What is not mended, the most urgent first."""
        return _OPEN_FAULTS(enclosure=self.enclosure)

    @property
    def is_unsafe(self) -> bool:
        return any(one.is_unsafe for one in self.faults)

    @cached_property
    def last_check(self) -> date | None:
        return last_check(self.enclosure)

    @cached_property
    def next_check(self) -> date | None:
        """None: it stands in no home, or does not stand."""
        if self.stands_in is None or vars(self.enclosure)["state"] not in STANDS:
            return None
        every = self.safety_check_days
        return next_checks([self.enclosure.pk], every).get(self.enclosure.pk)


@dataclass
class EnclosurePage:
    """One enclosure as this person may see it: builders are told nothing of animals."""

    enclosure: Enclosure
    person: Person
    today: date

    @cached_property
    def sees_animals(self) -> bool:
        """In one's own home; a foster who builds sees those of other homes as a builder does."""
        if self.person.is_coordinator:
            return True
        there = Enclosure.objects.cared_for_by(self.person, self.today)
        return there.filter(pk=self.enclosure.pk).exists()

    @cached_property
    def structure(self) -> Structure | None:
        return self.enclosure.structure()

    @property
    def design_faults(self) -> tuple[DesignFault, ...]:
        """Why its design cannot be built as it is drawn, if it cannot."""
        return faults_of(self.enclosure.shape())

    @property
    def furniture(self) -> str:
        """Hides, water and hay as planned; empty where nothing is."""
        return furniture_words(self.enclosure.shape().furniture)

    @cached_property
    def home(self) -> Home | None:
        """Where it stands today."""
        return _HOME_THERE.first(enclosure=self.enclosure, day=self.today)

    @cached_property
    def absence(self) -> Absence | None:
        """Of the home where it stands, today or soon."""
        if self.home is None:
            return None
        return Absence.objects.all().by_home([self.home.pk], self.today).get(self.home.pk)

    @cached_property
    def rescue(self) -> Rescue:
        return Rescue.ours()

    @cached_property
    def living(self) -> LivingThere:
        return LivingThere(self.enclosure, self.structure, self.rescue, self.today)

    @cached_property
    def space(self) -> SpaceThere:
        return SpaceThere(
            self.enclosure,
            self.structure,
            self.living.companions,
            self.rescue,
            self.today,
            self.person.units,
            tells_animals=self.sees_animals,
        )

    @cached_property
    def condition(self) -> UpkeepThere:
        return UpkeepThere(self.enclosure, self.home, self.rescue.safety_check_days, self.today)

    @property
    def caution(self) -> str:
        """What to do now with animals that live in something unsafe; empty where none do."""
        return OUT_OF_REACH if self.condition.is_unsafe and self.living.group else ""

    @cached_property
    def linens(self) -> list[LinenDue]:
        """When the linen of each place is changed next, the soonest first."""
        return dues_in(self.enclosure, self.today)

    @cached_property
    def actions(self) -> EnclosureActions:
        group = self.living.group if self.sees_animals else None
        must_move = group is not None and (self.space.lacks or self.living.must_part)
        there = Circumstances(
            code=self.enclosure.code,
            state=vars(self.enclosure)["state"],
            group=group.code if group else "",
            home=self.home.code if self.home else "",
            must_move=must_move,
            has_faults=bool(self.condition.faults),
            is_unsafe=self.condition.is_unsafe,
            build=self._build,
        )
        return EnclosureActions(
            there,
            is_coordinator=self.person.is_coordinator,
            cares_for_it=self.sees_animals,
        )

    @property
    def _build(self) -> str:
        """The code of the last build that makes it; builds are known here by name only."""
        if vars(self.enclosure)["state"] not in NOT_BUILT:
            return ""
        return self.enclosure.builds.order_by("-pk").values_list("code", flat=True).first() or ""

    @cached_property
    def acts(self) -> list[ActRow]:
        """What coordinators did with it and may undo; for nobody else."""
        if not self.person.is_coordinator:
            return []
        return act_rows(_ACTS(enclosures=[self.enclosure.pk]))

    @cached_property
    def history(self) -> list[HistoryEntry]:
        return history_of(self.enclosure, self.person, sees_animals=self.sees_animals)


_ENCLOSURE, _DAY = given("enclosure", Enclosure), given("day", date)
_GROUP_THERE = written(
    lambda: Group.objects.filter(
        SpanQuerySet.covers(_DAY, "stays__"), stays__enclosure=_ENCLOSURE
    ).order_by("stays__pk")[:1]
)
_HOME_THERE = written(
    lambda: Home.objects.filter(
        SpanQuerySet.covers(_DAY, "standings__"), standings__enclosure=_ENCLOSURE
    ).order_by("standings__pk")[:1]
)
_COMPONENTS = written(
    lambda: Component.objects.filter(enclosure=_ENCLOSURE).with_condition().order_by("pk")
)
_OPEN_FAULTS = written(
    lambda: (
        Fault.objects.filter(enclosure=_ENCLOSURE).open().urgent_first().select_related("revision")
    )
)
_ACTS = written(lambda: last_of(Act.objects.of_enclosures(given_keys("enclosures"))))
