"""Places and groups that newcomers could join."""

from habitats.welfare.declining import HomeThere
from habitats.welfare.placing import EnclosureThere, GroupThere, room_for
from habitats.welfare.rule_sets import rule_set
from habitats.welfare.values import Room, Species
from tests.support.companions import TODAY

PIG = Species.GUINEA_PIG
RABBIT = Species.RABBIT
# TSchV Annex 2 Table 1 (second-hand quotations): 0.5 m² for two, 0.2 m² for each further adult.
SWISS = rule_set("ch-tschv")
HOME = HomeThere(most_enclosures=9)


def place(ref="A", floor_mm2=900_000, *, home=HOME, species=PIG, **facts):
    return EnclosureThere(ref, species, Room(ground_mm2=floor_mm2), home=home, **facts)


def group(*companions, at="A", **facts):
    species = companions[0].species if companions else PIG
    return GroupThere(f"group-{at}", at, species, tuple(companions), **facts)


def asked(newcomers, *places, groups=(), rules=SWISS):
    return room_for(newcomers, places, groups, rules, TODAY)
