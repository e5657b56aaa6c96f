"""Starter designs as cards, drawn to one scale."""

from functools import cached_property
from typing import NamedTuple

from django.utils.translation import gettext as _

from builds.common.figures import Figure, floor_figures
from builds.designs.pages.design_list import Scale
from builds.drawing.footprint import footprint_picture
from builds.making.parts import count_panels
from builds.making.starters import Starter, starters
from habitats import measures
from habitats.designs.models.structures import limits
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import rules_of
from habitats.rescue.pages.verdicts import room_words
from habitats.structure.design import Design as Shape
from habitats.structure.design import PanelSize, Species, footprint_mm
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.space import ANIMAL_WORDS
from habitats.wording import listed


class StarterCard(NamedTuple):
    """One starter; ``picture`` is a finished SVG. ``standard`` empty: none is chosen."""

    starter: Starter
    picture: str
    figures: list[Figure]
    room: str
    standard: str

    @property
    def shape(self) -> Shape:
        return self.starter.shape


class StarterPage:
    """What can be made of one size of panel, for those who read these units."""

    def __init__(self, panel: PanelSize, rescue: Rescue, units: str) -> None:
        self.panel, self.units = panel, units
        self.rules = {species: rules_of(rescue, species) for species in Species}

    @cached_property
    def starters(self) -> tuple[Starter, ...]:
        of = self.rules
        return starters(self.panel, of[Species.GUINEA_PIG], of[Species.RABBIT], limits())

    @cached_property
    def scale(self) -> Scale:
        return Scale.of([one.shape for one in self.starters], self.units)

    @cached_property
    def cards(self) -> list[StarterCard]:
        return [self._card(one, self.rules[one.shape.species]) for one in self.starters]

    @property
    def lacking_standards(self) -> str:
        """The animals for whom no standard is chosen, in words; empty: each has one."""
        lacking = [ANIMAL_WORDS[species][1] for species, rules in self.rules.items() if not rules]
        return listed([str(one) for one in lacking])

    def _card(self, starter: Starter, rules: RuleSet | None) -> StarterCard:
        number = starter.holds(rules)
        sides = measures.footprint(footprint_mm(starter.shape), self.units)
        return StarterCard(
            starter,
            footprint_picture(starter.structure, mm_per_unit=self.scale.mm_per_px),
            [
                *floor_figures(starter.structure, self.units),
                Figure(_("Outside"), sides),
                Figure(_("Panels"), str(count_panels(starter.structure).total)),
                Figure(_("Connectors"), str(len(starter.structure.joints))),
            ],
            "" if number is None else room_words(number, starter.shape.species),
            str(rules.name) if rules else "",
        )
