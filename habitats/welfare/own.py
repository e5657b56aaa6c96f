"""An organisation's own rule set: a base that it follows, and its own larger figures.

What the organisation gives no figure for stays as the base has it. An own rule set that asks for
less than its base anywhere is refused.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from habitats.decimals import percent
from habitats.measures import METRIC, areas_compared, length
from habitats.source import Known
from habitats.welfare.bands import BandClass, Bands
from habitats.welfare.floor import Further, GroupFloor
from habitats.welfare.rule_set import Authority, HeightRule, RuleSet
from habitats.welfare.values import MOST_ANIMALS, Resident
from habitats.wording import counted, message


class TooLax(ValueError):
    """The figures ask for less than the base; `faults` has a sentence for each, by field."""

    def __init__(self, faults: dict[str, str]) -> None:
        super().__init__(" ".join(faults.values()))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class OwnFigures:
    """Floor for up to `animals` together and for each further one; heights and sides if any.

    The height holds for every animal, over `height_percent` of the required floor; without that
    figure over the share that the base says (all of it if the base says nothing of height).
    `upper_counts` False: upper levels count for nothing, even where the base credits them.
    """

    animals: int
    floor_mm2: int
    further_mm2: int
    height_mm: int | None = None
    longest_side_mm: int | None = None
    shortest_side_mm: int | None = None
    upper_counts: bool = True
    height_percent: int | None = None


def own_rule_set(
    base: RuleSet, figures: OwnFigures, *, id: str, name: str, units: str = METRIC
) -> RuleSet:
    """The organisation's own rule set on top of a base.

    Raises ValueError where the base may not be chosen or the figures make no sense, and TooLax
    with sentences in the reader's units where it asks for less than its base.
    """
    if not base.choosable:
        raise ValueError(f"{base.name} cannot be chosen: an own rule set needs a base that can.")
    if figures.animals < 1 or figures.floor_mm2 < 1 or figures.further_mm2 < 0:
        raise ValueError("Give a floor for at least one animal, and none below 0 for further ones.")
    own = _built_on(base, figures, id, name)
    faults = dict(_laxer_sizes(base, figures, units))
    faults.update(_laxer_floor(base, own, units))
    if faults:
        raise TooLax(faults)
    return own


def _built_on(base: RuleSet, figures: OwnFigures, id: str, name: str) -> RuleSet:
    """The base with these figures in the place of its own; other clauses stay."""
    return replace(
        base,
        id=id,
        name=name,
        standing=Authority.OWN,
        known=Known.OWN,
        source=message("%(name)s; base: %(base)s", name=name, base=base.source),
        notes=(message("Stricter than %(base)s.", base=base.name),),
        base=base.id,
        floor=replace(
            base.floor,
            groups=(GroupFloor(figures.animals, _flat(figures.floor_mm2)),),
            further=(Further(_flat(figures.further_mm2)),),
            repeats_after=None,
            enclosure_mm2=None,
        ),
        upper_credit=base.upper_credit if figures.upper_counts else Fraction(0),
        height=_height(base, figures),
        longest_side_mm=figures.longest_side_mm or base.longest_side_mm,
        shortest_side_mm=figures.shortest_side_mm or base.shortest_side_mm,
    )


def _flat(value: int) -> Bands:
    return Bands((BandClass(value),))


def _height(base: RuleSet, figures: OwnFigures) -> HeightRule | None:
    height = base.height
    if figures.height_mm is not None:
        flat = _flat(figures.height_mm)
        height = replace(height, height_mm=flat) if height else HeightRule(flat)
    share = figures.height_percent
    # The very share of the base stays as the base words it: more than half is not at least half.
    if height is None or share is None or Fraction(share, 100) == height.over:
        return height
    return replace(height, over=Fraction(share, 100), strictly=False)


def _laxer_sizes(base: RuleSet, figures: OwnFigures, units: str) -> Iterator[tuple[str, str]]:
    heights = [one.value for one in base.height.height_mm.classes] if base.height else []
    asked = {
        "height_mm": (figures.height_mm, max(heights, default=None)),
        "longest_side_mm": (figures.longest_side_mm, base.longest_side_mm),
        "shortest_side_mm": (figures.shortest_side_mm, base.shortest_side_mm),
    }
    for field, (own_mm, base_mm) in asked.items():
        if own_mm is not None and base_mm is not None and own_mm < base_mm:
            yield (
                field,
                message(
                    "%(own)s is less than the %(least)s of %(base)s. Enter at least that, or "
                    "nothing.",
                    own=length(own_mm, units),
                    least=length(base_mm, units),
                    base=base.name,
                ),
            )
    share = figures.height_percent
    if share is not None and base.height is not None and Fraction(share, 100) < base.height.over:
        yield (
            "height_percent",
            message(
                "%(own)s is less than the %(least)s of %(base)s. Enter at least that, or nothing.",
                own=percent(Fraction(share, 100)),
                least=percent(base.height.over),
                base=base.name,
            ),
        )


def _laxer_floor(base: RuleSet, own: RuleSet, units: str) -> Iterator[tuple[str, str]]:
    """Named for the smallest number of animals, each in the class that the base asks most for."""
    for number in range(1, MOST_ANIMALS + 1):
        animals = [Resident()] * number
        own_mm2, base_mm2 = own.required_mm2(animals), base.required_mm2(animals)
        if own_mm2 < base_mm2:
            base_words, own_words = areas_compared(base_mm2, own_mm2, units)
            field = "floor_mm2" if number <= own.floor.groups[0].animals else "further_mm2"
            yield (
                field,
                counted(
                    "For %(count)d animal this asks for %(own)s, and %(base)s for %(least)s. "
                    "Enter more floor.",
                    "For %(count)d animals this asks for %(own)s, and %(base)s for %(least)s. "
                    "Enter more floor.",
                    number,
                    own=own_words,
                    base=base.name,
                    least=base_words,
                ),
            )
            return
