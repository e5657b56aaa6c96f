"""When an enclosure asks for its pup set: a litter may come, or young live in it.

Newborn guinea pigs run about within hours; young rabbits leave their nest within the same weeks.
Until what age they pass the wire is nowhere published: common practice, no source.
"""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from habitats.structure.design import Design
from habitats.structure.pups import PUP_DAYS, asks_for_pup_set
from habitats.welfare.companion import Companion
from habitats.welfare.litters import litter_span
from habitats.wording import listed, message

# Codes of the usual wishes that put it on and take it off.
PUT_ON, TAKE_OFF = "pups", "pups-off"


class PupSetAdvice(NamedTuple):
    """What to do about the pup set: the code of a usual wish, and why."""

    wish: str
    sentence: str


def pup_set_advice(
    design: Design, companions: Sequence[Companion], day: date
) -> PupSetAdvice | None:
    """None where the set is on or off as it should be."""
    young = [one.name for one in companions if _is_young(one, day)]
    expecting = [one.name for one in companions if litter_span(one, day)]
    if design.pup_set:
        return None if young or expecting else PupSetAdvice(TAKE_OFF, _no_longer())
    if not asks_for_pup_set(design.panel):
        return None
    if young:
        return PupSetAdvice(PUT_ON, _for_young(young))
    return PupSetAdvice(PUT_ON, _before_a_litter(expecting)) if expecting else None


def _is_young(animal: Companion, day: date) -> bool:
    return animal.born is not None and animal.born.youngest(day) < PUP_DAYS


def _for_young(names: Sequence[str]) -> str:
    return message(
        "Young slip through this wire: %(names)s. Put a pup set on; until it is on, keep mother "
        "and young where no gap lets a head through.",
        names=listed(names),
    )


def _before_a_litter(names: Sequence[str]) -> str:
    return message(
        "A litter may come (%(names)s), and young slip through this wire. Put a pup set on before "
        "it is born.",
        names=listed(names),
    )


def _no_longer() -> str:
    return message(
        "The pup set is on, and no young of less than %(days)d days live here. Take it off once no "
        "head fits through single wire.",
        days=PUP_DAYS,
    )
