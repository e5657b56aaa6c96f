"""What a rule set asks for, line by line in words, in the reader's units."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial

from habitats.decimals import NO_BREAK
from habitats.measures import METRIC, area, grams, kilograms, length
from habitats.source import CitedFigure, Source, cited
from habitats.welfare.bands import Bands
from habitats.welfare.floor import FloorRule
from habitats.welfare.rule_set import HeightRule, RaisedRule, RuleSet
from habitats.welfare.rule_sets import rule_sets_for
from habitats.welfare.space import cautions_of
from habitats.welfare.values import Species

GRAMS_PER_KG = 1000

Words = Callable[[int], str]


def standard_figures(species: Species, units: str = METRIC) -> tuple[CitedFigure, ...]:
    """Every space standard of the species; the code is the rule set's id."""
    return tuple(
        cited(
            one.id,
            one.name,
            Source(one.source, one.known),
            *lines_of(one, units),
            *cautions_of(one),
        )
        for one in rule_sets_for(species)
    )


def lines_of(rules: RuleSet, units: str = METRIC) -> Iterator[str]:
    """Its pieces, the floor first."""
    yield from _floor(rules.floor, units)
    yield from _sizes(rules, partial(length, units=units))
    if rules.upper_credit:
        yield f"Upper levels make up {rules.upper_credit} of the floor at most"
    if rules.least_animals > 1:
        yield f"Animals together: {rules.least_animals} at least"
    if rules.most_animals:
        yield f"Animals together, at most: {_by_weight(rules.most_animals, str)}"
    if rules.raised:
        yield from _raised(rules.raised, partial(area, units=units))


def _floor(floor: FloorRule, units: str) -> Iterator[str]:
    mm2 = partial(area, units=units)
    for number, group in enumerate(floor.groups):
        up_to = "up to " if number == 0 and group.animals > 1 else ""
        yield f"Floor, {up_to}{_animals(group.animals)}: {_by_weight(group.area_mm2, mm2)}"
    each = "each further animal" if floor.groups else "each animal"
    for further in floor.further:
        until = f" up to {_animals(further.up_to)}" if further.up_to else ""
        by = " (by the heaviest)" if further.by_heaviest else ""
        yield f"Floor, {each}{until}: {_by_weight(further.area_mm2, mm2)}{by}"
    if floor.repeats_after:
        yield f"After every {_animals(floor.repeats_after)} the count begins again"
    if floor.enclosure_mm2:
        yield f"Smallest enclosure: {_by_weight(floor.enclosure_mm2, mm2)}"
    yield from _litters(floor, units)


def _litters(floor: FloorRule, units: str) -> Iterator[str]:
    mm2 = partial(area, units=units)
    if floor.dam_mm2:
        yield f"Female with litter: {_by_weight(floor.dam_mm2, mm2)}"
    if floor.nest_mm2:
        yield f"Nest box, added for a litter: {_by_weight(floor.nest_mm2, mm2)}"
    if floor.breeding:
        further = mm2(floor.breeding.further_mm2)
        yield f"Pair with litter: {mm2(floor.breeding.pair_mm2)}, each further female {further}"
    if floor.young:
        young = floor.young
        yield (
            f"Under {_days(young.under_days)}: each {_by(young.each_mm2, mm2, _days)}; smallest "
            f"enclosure {mm2(young.enclosure_mm2)}, height {length(young.height_mm, units)}"
        )


def _sizes(rules: RuleSet, mm: Words) -> Iterator[str]:
    if rules.height:
        yield f"Height: {_by_weight(rules.height.height_mm, mm)}{_over(rules.height)}"
    if rules.longest_side_mm:
        yield f"Longest side: {mm(rules.longest_side_mm)} or more"
    if rules.shortest_side_mm:
        yield f"Shortest side: {mm(rules.shortest_side_mm)} or more"


def _over(height: HeightRule) -> str:
    if height.over == 1:
        return ""
    bound = "more than" if height.strictly else "at least"
    return f", over {bound} {height.over} of the floor asked for"


def _raised(raised: RaisedRule, mm2: Words) -> Iterator[str]:
    yield f"Raised area: {_by_weight(raised.area_mm2, mm2)}"
    yield f"Floor that the raised area covers: {raised.most_of_floor} at most"
    one, *more = map(_percent, raised.without)
    more_words = f", {more[-1]} for more" if more else ""
    yield f"Without a raised area the floor is larger: {one} for one animal{more_words}"


def _by_weight(bands: Bands, words: Words) -> str:
    return _by(bands, words, _mass)


def _by(bands: Bands, words: Words, bound: Words) -> str:
    """Values by class: "350 cm² up to 300 g, 500 cm² above"."""
    if len(bands.classes) == 1:
        return words(bands.classes[0].value)
    *below, last = bands.classes
    told = [
        f"{words(one.value)} {'up to' if one.included else 'under'} {bound(one.bound or 0)}"
        for one in below
    ]
    rest = "above" if below[-1].included else f"from {bound(below[-1].bound or 0)}"
    return f"{', '.join(told)}, {words(last.value)} {rest}"


def _mass(mass_g: int) -> str:
    return grams(mass_g) if mass_g < GRAMS_PER_KG else kilograms(mass_g)


def _animals(number: int) -> str:
    return "1 animal" if number == 1 else f"{number} animals"


def _days(days: int) -> str:
    return f"{days} days"


def _percent(share: Fraction) -> str:
    return f"{float(100 * share):g}{NO_BREAK}%"
