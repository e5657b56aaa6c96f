"""What stays in view while somebody draws: how many it holds, its floor, its parts, its home."""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.making.parts import count_panels
from habitats import measures
from habitats.homes.models.homes import Home
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import rules_of
from habitats.structure.design import Species, footprint_mm
from habitats.structure.space import floor_of
from habitats.structure.structure import Structure
from habitats.welfare.holding import MOST_TRIED, lacking_for, most_grown
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Room


class Holds(NamedTuple):
    """How many grown animals of a species, by which standard.

    ``for_more``: what one more would need; empty where more floor alone is not enough.
    """

    words: str
    standard: str
    number: int
    for_more: str = ""


class HomeLimit(NamedTuple):
    """What a home has room for. ``fits`` None: nobody has measured."""

    home: Home
    fits: bool | None
    footprint: str
    most: str


def held_by(structure: Structure, rescue: Rescue, units: str) -> list[Holds]:
    """By the standard chosen for the design's own species; of another only where it holds any."""
    own = structure.design.species
    others = [species for species in Species if species != own]
    found = [_holds(structure, species, rescue, units) for species in (own, *others)]
    return [one for one in found[:1] if one] + [one for one in found[1:] if one and one.number]


def _holds(structure: Structure, species: Species, rescue: Rescue, units: str) -> Holds | None:
    rules = rules_of(rescue, species)
    if rules is None:
        return None
    room = room_of(structure)
    number = most_grown(room, rules)
    return Holds(
        holds_words(number, species), str(rules.name), number, _for_more(room, rules, number, units)
    )


def _for_more(room: Room, rules: RuleSet, number: int, units: str) -> str:
    lacking = lacking_for(room, rules, number + 1) if number < MOST_TRIED else 0
    if not lacking:
        return ""
    given = {"number": number + 1, "floor": measures.area_needed(lacking, units)}
    return _("for %(number)d: %(floor)s more floor") % given


@dataclass(frozen=True, eq=False)  # without slots: what is worked out from it is kept at hand
class BoardFacts:
    """Of the latest drawing that can be made; ``structure`` None: none could yet."""

    structure: Structure | None
    rescue: Rescue
    home: Home | None
    units: str

    @cached_property
    def holds(self) -> list[Holds]:
        if self.structure is None:
            return []
        return held_by(self.structure, self.rescue, self.units)

    @property
    def floor(self) -> str:
        if self.structure is None:
            return ""
        floor = floor_of(self.structure)
        return measures.area(floor.ground_mm2 + floor.upper_mm2, self.units)

    @property
    def parts(self) -> str:
        if self.structure is None:
            return ""
        panels, connectors = count_panels(self.structure).total, len(self.structure.joints)
        return _("%(panels)s, %(connectors)s") % {
            "panels": ngettext("%(count)d panel", "%(count)d panels", panels) % {"count": panels},
            "connectors": ngettext("%(count)d connector", "%(count)d connectors", connectors)
            % {"count": connectors},
        }

    @property
    def home_limit(self) -> HomeLimit | None:
        if self.home is None or self.structure is None:
            return None
        width, depth = footprint_mm(self.structure.design)
        most_width, most_depth = self.home.largest_width_mm, self.home.largest_depth_mm
        return HomeLimit(
            self.home,
            self.home.fits(width, depth),
            self._by(width, depth),
            self._by(most_width, most_depth) if most_width and most_depth else "",
        )

    def _by(self, width_mm: int, depth_mm: int) -> str:
        return measures.footprint((width_mm, depth_mm), self.units)


def holds_words(number: int, species: Species) -> str:
    if species is Species.RABBIT:
        if number >= MOST_TRIED:
            return _("%(number)d rabbits or more") % {"number": number}
        words = ngettext("%(number)d rabbit", "%(number)d rabbits", number)
        return words % {"number": number} if number else _("no rabbit: too small")
    if number >= MOST_TRIED:
        return _("%(number)d guinea pigs or more") % {"number": number}
    words = ngettext("%(number)d guinea pig", "%(number)d guinea pigs", number)
    return words % {"number": number} if number else _("no guinea pig: too small")
