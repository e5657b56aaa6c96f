"""The rescue today, as the pure package of placing is asked about it.

A handful of queries, however many animals there are. What the standard says of each group in each
enclosure is asked here; so are growth, faults, quarantine and suspected infections.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property

from builds.making.parts import count_panels
from builds.placing.models.builds_today import DesignOffer, being_built, design_offers, imagined
from builds.placing.models.by_hand import ByHand
from builds.placing.models.loose_animals import (
    in_no_group,
    loose_animals,
    must_not_climb,
    sharing_a_quarantine,
)
from builds.placing.models.not_for import JudgedGroup, NotFor
from builds.placing.models.rooms import NO_ROOM
from builds.placing.models.what_if import OWN_HOME, ToCome, WhatIf
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of_standing
from habitats.enclosures.models.enclosures import TAKES_A_GROUP
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import Home
from habitats.homes.models.limits import home_to_fill
from habitats.placement import values as asked
from habitats.placement.values import AHEAD_DAYS, Pin, PlacingCase, WaitingUrgency
from habitats.readings.models.readings import Reading
from habitats.readings.models.unhoused import Unhoused
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of, rules_of
from habitats.rotation.trace_facts import Thing, ThingKind
from habitats.structure.structure import Structure
from habitats.traces.models.tracing import suspected_now
from habitats.welfare.alike import verdict_of
from habitats.welfare.companion import Companion
from habitats.welfare.outgrowing import residents_on
from habitats.welfare.quarantine import in_quarantine, rhd_cleared
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Resident, Species
from habitats.wording import by_number

# Groups times enclosures up to which settled groups are moved too: some minutes of work.
MOST_WEIGHED_UP = 6_000_000
NOTHING = WhatIf()


class RescueToday:
    """Groups, enclosures and homes by their codes.

    ``is_together``: animals in no group are placed too, as those who could live with others.
    """

    def __init__(
        self, today: date, what_if: WhatIf = NOTHING, *, is_together: bool = False
    ) -> None:
        self.today, self.what_if, self.is_together = today, what_if, is_together
        self._rescue = Rescue.ours()
        self.limits = limits_of(self._rescue)
        self.rules = {one: rules_of(self._rescue, one) for one in Species}
        self._suspected = suspected_now(today)
        fresh = Reading.objects.fresh(today).filter(state__in=TAKES_A_GROUP)
        related = fresh.select_related("enclosure", "home", "group").defer("takes")
        self.readings = {one.enclosure.code: one for one in related.order_by("enclosure__code")}
        self.groups = {one.code: one for one in self._all_groups()}
        self.homes = {one.code: one for one in Home.objects.order_by("code")}
        self.absences = Absence.objects.all().by_home(None, today)
        self._must_not_climb = ClimbingBan.objects.all().in_groups(None, today)
        # Both are asked of every group for every design.
        self._residents: dict[tuple[str, ...], tuple[tuple[Resident, ...], ...]] = {}
        self._needs_mm2: dict[tuple[str, ...], int] = {}

    def _all_groups(self) -> Iterator[Group]:
        living = [one.group for one in self.readings.values() if one.group]
        waiting = Unhoused.objects.fresh(self.today).filter(group__isnull=False)
        yield from living
        yield from Group.objects.filter(pk__in=waiting.values("group")).order_by("code")

    @cached_property
    def to_come(self) -> Mapping[str, ToCome]:
        """Places where nothing stands yet: builds under way, and what is imagined."""
        offer = self.designs.get(self.what_if.design)
        home = self.homes.get(self.what_if.home)
        return being_built() | (imagined(offer, home, self.what_if.number) if offer else {})

    @cached_property
    def companions(self) -> Mapping[str, tuple[Companion, ...]]:
        """Of the groups that have any; by code."""
        animals = animals_by_group([one.pk for one in self.groups.values()], self.today)
        found = {
            code: companions_of(animals[group.pk])
            for code, group in self.groups.items()
            if animals.get(group.pk)
        }
        return found | {ref: (one,) for ref, one in self.loose.items()}

    @cached_property
    def loose(self) -> Mapping[str, Companion]:
        """Animals in no group, where they are asked for; but for those of ``groups_first``."""
        return {ref: one for ref, one in self._loose.items() if ref not in self._groups_first}

    @cached_property
    def _loose(self) -> Mapping[str, Companion]:
        return loose_animals(self.today) if self.is_together else {}

    @cached_property
    def _groups_first(self) -> frozenset[str]:
        return sharing_a_quarantine(self._loose, self.today, self.limits)

    @cached_property
    def groups_first(self) -> list[str]:
        """Names of newcomers who share a quarantine and are in no group yet: they are not placed
        one by one."""
        return sorted((self._loose[ref].name for ref in self._groups_first), key=by_number)

    @cached_property
    def by_themselves(self) -> int:
        """How many animals live alone, or are in no group."""
        alone = sum(len(one) == 1 for code, one in self.companions.items() if code in self.groups)
        return alone + in_no_group(self.today).count()

    @cached_property
    def lives_in(self) -> Mapping[str, str]:
        """By the code of the group, that of its enclosure; not where the home is imagined away."""
        return {one.group.code: code for code, one in self._here.items() if one.group}

    @cached_property
    def _here(self) -> Mapping[str, Reading]:
        """Readings of enclosures whose home is not imagined away."""
        gone = self.what_if.gone
        return {
            code: one
            for code, one in self.readings.items()
            if one.home is None or one.home.code not in gone
        }

    def case(self, by_hand: ByHand) -> PlacingCase:
        homes = [one for code, one in self.homes.items() if code not in self.what_if.gone]
        imagined = sum(one.home_ref == OWN_HOME for one in self.to_come.values())
        own = [asked.HomeToFill(OWN_HOME, most_enclosures=imagined)] if imagined else []
        return PlacingCase(
            tuple(self._group(code) for code in self.companions if code not in self.unjudged),
            tuple(self._enclosure(code) for code in self.offered),
            (*(self._home(one, by_hand) for one in homes), *own),
            tuple(self._design(code) for code in self.designs),
            bars=tuple(self._bars()),
            pins=tuple(one for one in by_hand.pins if self.has(one)),
            forbidden=by_hand.forbidden,
            order=by_hand.order,
        )

    def has(self, wish: Pin) -> bool:
        """Whether its group is placed, and its place is there: in no home that is imagined away."""
        is_home = wish.home in self.homes and wish.home not in self.what_if.gone
        is_placed = wish.group in self.companions and wish.group not in self.unjudged
        return is_placed and (is_home or wish.enclosure in self.offered)

    @cached_property
    def unjudged(self) -> tuple[str, ...]:
        """Groups that wait, and of whom nothing says what floor they need."""
        waiting = (code for code in self.companions if code not in self.lives_in)
        return tuple(code for code in waiting if self.judging(code) is None)

    @cached_property
    def offered(self) -> tuple[str, ...]:
        """Nobody is offered what met a suspected infection; who lives there stays.

        What is being built is offered for when it stands.
        """
        standing = (
            code
            for code, reading in self._here.items()
            if reading.group or not self._met_infection(ThingKind.ENCLOSURE, code)
        )
        to_come = (
            ref for ref, one in self.to_come.items() if one.home_ref not in self.what_if.gone
        )
        return (*standing, *to_come)

    def _met_infection(self, kind: ThingKind, code: str) -> bool:
        return Thing(kind, code) in self._suspected

    # --- One group ---

    def _group(self, code: str) -> asked.GroupToPlace:
        companions = self.companions[code]
        lives_in = self.lives_in.get(code)
        return asked.GroupToPlace(
            code,
            self._species(code),
            len(companions),
            self.needs_mm2(code),
            lives_in=lives_in,
            may_move=not self._stays_put(code, companions),
            urgency=self.urgency(code),
            cohort=self.cohort(code, companions),
            climbs=self._climbs(code),
        )

    def _climbs(self, code: str) -> bool:
        if code in self.loose:
            return self.loose[code].ref not in self._loose_that_must_not_climb
        return self.groups[code].pk not in self._must_not_climb

    @cached_property
    def _loose_that_must_not_climb(self) -> frozenset[str]:
        return must_not_climb(self.today)

    def _species(self, code: str) -> Species:
        if code in self.loose:
            return self.loose[code].species
        return Species(self.groups[code].species)

    @property
    def is_large(self) -> bool:
        """Too large to weigh up moves of settled groups."""
        return len(self.groups) * len(self.readings) > MOST_WEIGHED_UP

    def _stays_put(self, code: str, companions: Sequence[Companion]) -> bool:
        """In quarantine, exposed to an infection, or judged by no standard: they stay."""
        if code not in self.lives_in:
            return False
        if self.judging(code) is None:
            return True
        if self.is_large and self.urgency(code) is WaitingUrgency.CAN_WAIT:
            return True
        return self.cohort(code, companions) is not None

    def cohort(self, code: str, companions: Sequence[Companion]) -> str | None:
        """Who is kept apart with it. Those exposed to an infection are kept apart by themselves."""
        if self._is_exposed(code, companions):
            return code
        for one in companions:
            if one.quarantine and in_quarantine(one, self.today, self.limits):
                return one.quarantine.together or code
        return None if all(rhd_cleared(one, self.today) for one in companions) else code

    def _is_exposed(self, code: str, companions: Sequence[Companion]) -> bool:
        there = self.lives_in.get(code)
        return (
            self._met_infection(ThingKind.GROUP, code)
            or (there is not None and self._met_infection(ThingKind.ENCLOSURE, there))
            or any(
                self._met_infection(ThingKind.ANIMAL, one.ref)
                for one in companions
                if code in self.loose
            )
        )

    def urgency(self, code: str) -> WaitingUrgency:
        there = self.lives_in.get(code)
        if there is None or self.readings[there].unsafe_faults:
            return WaitingUrgency.NOW
        return (
            WaitingUrgency.SOON if self.readings[there].passes is False else WaitingUrgency.CAN_WAIT
        )

    def residents(self, *codes: str) -> tuple[tuple[Resident, ...], ...]:
        """All of them today, and as they will have grown."""
        if codes not in self._residents:
            companions = [one for code in codes for one in self.companions[code]]
            days = (self.today, self.today + timedelta(days=AHEAD_DAYS))
            self._residents[codes] = tuple(residents_on(companions, day) for day in days)
        return self._residents[codes]

    def needs_mm2(self, *codes: str) -> int:
        """The floor that all of them together have to have."""
        if codes not in self._needs_mm2:
            rules, both = self.judging(codes[0]), self.residents(*codes)
            asked_for = (verdict_of(rules, NO_ROOM, one).required_mm2 for one in both if rules)
            self._needs_mm2[codes] = max(asked_for, default=0)
        return self._needs_mm2[codes]

    def judging(self, code: str) -> RuleSet | None:
        """None: no standard is chosen, or several species live together."""
        rules = self.rules[self._species(code)]
        kinds = {one.species for one in self.companions[code]}
        return rules if rules and kinds == {rules.species} else None

    # --- One enclosure ---

    @cached_property
    def structures(self) -> Mapping[str, Structure]:
        """By the code of the enclosure."""
        revisions = DesignRevision.objects.in_bulk(
            {one.enclosure.revision_id for one in self.readings.values()}
        )
        built = {key: structure_of_standing(one.shape()) for key, one in revisions.items()}
        found = {code: built[one.enclosure.revision_id] for code, one in self.readings.items()}
        standing = {code: structure for code, structure in found.items() if structure}
        return standing | {code: one.structure for code, one in self.to_come.items()}

    def _enclosure(self, code: str) -> asked.EnclosureToFill:
        if code in self.to_come:
            return self._being_built(code)
        reading, structure = self.readings[code], self.structures.get(code)
        return asked.EnclosureToFill(
            code,
            reading.home.code if reading.home else None,
            Species(reading.built_for),
            self.floor_mm2(code),
            has_ramp=bool(structure and structure.ramps),
            has_lid=bool(structure and structure.design.lid),
            is_safe=not reading.unsafe_faults,
        )

    def _being_built(self, code: str) -> asked.EnclosureToFill:
        one = self.to_come[code]
        return asked.EnclosureToFill(
            code,
            one.home_ref,
            one.structure.design.species,
            self._floor_in(one.structure),
            has_ramp=bool(one.structure.ramps),
            has_lid=one.structure.design.lid,
        )

    def floor_mm2(self, code: str) -> int:
        structure = self.structures.get(code)
        return self._floor_in(structure) if structure else self.readings[code].ground_mm2

    def _floor_in(self, structure: Structure) -> int:
        """What the chosen standard counts of it."""
        rules = self.rules[structure.design.species]
        if rules is None:
            return structure.trays[0].area_mm2
        return verdict_of(rules, room_of(structure), [Resident()]).counted_mm2

    def _bars(self) -> Iterator[asked.RuledOut]:
        """Places with floor enough that are not enough for another reason: height, a side."""
        refused: dict[int, list[tuple[str, str]]] = {}  # many enclosures share one structure
        for code in self.offered:
            structure = self.structures.get(code)
            if structure is None:
                continue
            if id(structure) not in refused:
                found = self._not_for.whom(structure, self.floor_mm2(code))
                refused[id(structure)] = [(group.code, why) for group, why in found]
            for group, why in refused[id(structure)]:
                yield asked.RuledOut(group, code, why)

    @cached_property
    def _not_for(self) -> NotFor:
        judged = ((code, self.judging(code)) for code in self.movable)
        return NotFor(
            JudgedGroup(code, rules, self.needs_mm2(code), self._company(code))
            for code, rules in judged
            if rules
        )

    def _company(self, code: str) -> Sequence[Sequence[Resident]]:
        """As ``residents``; one that may not live alone is judged as two, wherever it is."""
        rules = self.judging(code)
        is_one = len(self.companions[code]) == 1 and rules and rules.never_singly
        return [(*one, *one) if is_one else one for one in self.residents(code)]

    @cached_property
    def movable(self) -> tuple[str, ...]:
        return tuple(
            code for code, one in self.companions.items() if not self._stays_put(code, one)
        )

    # --- What could be built ---

    @cached_property
    def designs(self) -> Mapping[str, DesignOffer]:
        return design_offers()

    def _design(self, code: str) -> asked.DesignToBuild:
        offer = self.designs[code]
        return asked.DesignToBuild(
            code,
            offer.species,
            self.floors_to_build[code],
            offer.sides_mm,
            self._cents(offer),
            has_ramp=bool(offer.structure.ramps),
            has_lid=offer.structure.design.lid,
        )

    @cached_property
    def has_prices(self) -> bool:
        return not all(one.price.cost.has_no_price for one in self.designs.values())

    def _cents(self, offer: DesignOffer) -> int:
        """In a store without prices, panels say what is little material."""
        if self.has_prices:
            return offer.price.cost.material_cents
        return count_panels(offer.structure).total

    @property
    def floors(self) -> Iterator[tuple[int, Structure]]:
        """Of all structures that stand and all that could be built, each once."""
        standing = {id(one): (code, one) for code, one in self.structures.items()}
        yield from ((self.floor_mm2(code), one) for code, one in standing.values())
        yield from ((mm2, self.designs[one].structure) for one, mm2 in self.floors_to_build.items())

    @cached_property
    def floors_to_build(self) -> Mapping[str, int]:
        return {code: self._floor_offered(one.structure) for code, one in self.designs.items()}

    def _floor_offered(self, structure: Structure) -> int:
        """Less than those need for whom it is no place for another reason, and all larger."""
        floor = self._floor_in(structure)
        refused = [one.needs_mm2 - 1 for one, _why in self._not_for.whom(structure, floor)]
        return min([floor, *refused])

    def _home(self, home: Home, by_hand: ByHand) -> asked.HomeToFill:
        is_away = home.code in by_hand.away or self.absence_today(home) is not None
        return home_to_fill(home, is_away=is_away)

    def absence_today(self, home: Home) -> Absence | None:
        absence = self.absences.get(home.pk)
        return absence if absence and absence.is_on(self.today) else None
