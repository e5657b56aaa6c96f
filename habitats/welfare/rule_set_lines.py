"""What a rule set asks for, line by line in words, in the reader's units."""

from collections.abc import Callable, Iterator
from functools import partial

from habitats.decimals import percent
from habitats.measures import METRIC, area, grams, kilograms, length
from habitats.source import CitedFigure, Source, cited
from habitats.welfare.bands import BandClass, Bands
from habitats.welfare.floor import FloorRule
from habitats.welfare.rule_set import HeightRule, RaisedRule, RuleSet
from habitats.welfare.rule_sets import rule_sets_for
from habitats.welfare.space import cautions_of
from habitats.welfare.values import Species
from habitats.wording import Message, counted, joined, message

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
        share = str(rules.upper_credit)
        yield message("Upper levels make up %(share)s of the floor at most", share=share)
    if rules.least_animals > 1:
        yield message("Animals together: %(least)d at least", least=rules.least_animals)
    if rules.most_animals:
        most = _by_weight(rules.most_animals, str)
        yield message("Animals together, at most: %(most)s", most=most)
    if rules.raised:
        yield from _raised(rules.raised, partial(area, units=units))


def _floor(floor: FloorRule, units: str) -> Iterator[str]:
    mm2 = partial(area, units=units)
    for number, group in enumerate(floor.groups):
        whose = _up_to(group.animals) if number == 0 else _animals(group.animals)
        yield _floor_line(whose, _by_weight(group.area_mm2, mm2))
    each = message("each further animal") if floor.groups else message("each animal")
    for further in floor.further:
        whose = joined(" ", [each, _up_to(further.up_to)]) if further.up_to else each
        floors = _by_weight(further.area_mm2, mm2)
        if further.by_heaviest:
            floors = message("%(floors)s (by the heaviest)", floors=floors)
        yield _floor_line(whose, floors)
    if floor.repeats_after:
        animals = _animals(floor.repeats_after)
        yield message(
            "For more animals, counting starts again after every %(animals)s", animals=animals
        )
    if floor.enclosure_mm2:
        yield message("Smallest enclosure: %(floors)s", floors=_by_weight(floor.enclosure_mm2, mm2))
    yield from _litters(floor, units)


def _floor_line(whose: str, floors: str) -> str:
    return message("Floor, %(whose)s: %(floors)s", whose=whose, floors=floors)


def _litters(floor: FloorRule, units: str) -> Iterator[str]:
    mm2 = partial(area, units=units)
    if floor.dam_mm2:
        yield message("Female with litter: %(floors)s", floors=_by_weight(floor.dam_mm2, mm2))
    if floor.nest_mm2:
        nests = _by_weight(floor.nest_mm2, mm2)
        yield message("Nest box, added for a litter: %(nests)s", nests=nests)
    if floor.breeding:
        yield message(
            "Pair with litter: %(pair)s, each further female %(further)s",
            pair=mm2(floor.breeding.pair_mm2),
            further=mm2(floor.breeding.further_mm2),
        )
    if floor.young:
        young = floor.young
        yield message(
            "Under %(age)s: each %(floors)s; smallest enclosure %(enclosure)s, height %(height)s",
            age=_days(young.under_days),
            floors=_by(young.each_mm2, mm2, _days),
            enclosure=mm2(young.enclosure_mm2),
            height=length(young.height_mm, units),
        )


def _sizes(rules: RuleSet, mm: Words) -> Iterator[str]:
    if rules.height:
        yield _height(rules.height).filled(
            heights=_by_weight(rules.height.height_mm, mm), share=str(rules.height.over)
        )
    if rules.longest_side_mm:
        yield message("Longest side: %(length)s or more", length=mm(rules.longest_side_mm))
    if rules.shortest_side_mm:
        yield message("Shortest side: %(length)s or more", length=mm(rules.shortest_side_mm))


def _height(height: HeightRule) -> Message:
    if height.over == 1:
        return message("Height: %(heights)s")
    if height.strictly:
        return message("Height: %(heights)s, over more than %(share)s of the required floor")
    return message("Height: %(heights)s, over at least %(share)s of the required floor")


def _raised(raised: RaisedRule, mm2: Words) -> Iterator[str]:
    yield message("Raised area: %(areas)s", areas=_by_weight(raised.area_mm2, mm2))
    yield message(
        "Floor that the raised area covers: %(share)s at most", share=str(raised.most_of_floor)
    )
    one, *more = map(percent, raised.without)
    if more:
        yield message(
            "Without a raised area the floor is larger: %(one)s for one animal, %(more)s for more",
            one=one,
            more=more[-1],
        )
    else:
        yield message("Without a raised area the floor is larger: %(one)s for one animal", one=one)


def _by_weight(bands: Bands, words: Words) -> str:
    return _by(bands, words, _mass)


def _by(bands: Bands, words: Words, bound: Words) -> str:
    """Values by class: "350 cm² up to 300 g, 500 cm² above"."""
    if len(bands.classes) == 1:
        return words(bands.classes[0].value)
    *below, last = bands.classes
    told = [_below(one, words, bound) for one in below]
    rest = message("%(value)s above") if below[-1].included else message("%(value)s from %(bound)s")
    filled = rest.filled(value=words(last.value), bound=bound(below[-1].bound or 0))
    return joined(", ", [*told, filled])


def _below(one: BandClass, words: Words, bound: Words) -> str:
    pattern = (
        message("%(value)s up to %(bound)s")
        if one.included
        else message("%(value)s under %(bound)s")
    )
    return pattern.filled(value=words(one.value), bound=bound(one.bound or 0))


def _mass(mass_g: int) -> str:
    return grams(mass_g) if mass_g < GRAMS_PER_KG else kilograms(mass_g)


def _animals(number: int) -> str:
    return counted("%(count)d animal", "%(count)d animals", number)


def _up_to(number: int) -> str:
    if number == 1:
        return _animals(number)
    return message("up to %(animals)s", animals=_animals(number))


def _days(days: int) -> str:
    return counted("%(count)d day", "%(count)d days", days)
