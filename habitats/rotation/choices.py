"""What may go into the loads of one wash day: all ways worth trying, or some of very many."""

from collections.abc import Callable, Sequence
from itertools import product
from math import prod
from typing import NamedTuple

from habitats.rotation.course import Course, CourseWay, Numbers
from habitats.rotation.urgency import Some, by_day, by_worth, filled, lane_first

MOST_CHOICES = 600  # of one wash day that are all tried
MOST_LANES_FIRST = 8  # so many lanes are each tried before all others

Rule = Callable[[list[Some]], list[Some]]


class Choices(NamedTuple):
    """``complete``: no way that was left out can lead to fewer shortages."""

    counts: list[Numbers]
    complete: bool


def rules_for(course: Course) -> list[Rule]:
    """Orders in which to fill loads, the one that is mostly best first."""
    lanes = course.lanes
    several: list[Rule] = [
        lambda some, first=at: lane_first(first, by_day(lanes, some))  # type: ignore[misc]
        for at in range(min(len(lanes), MOST_LANES_FIRST))
    ]
    return [lambda some: by_day(lanes, some), lambda some: by_worth(lanes, some), *several]


def by_rule(course: Course, way: CourseWay, number: int, rule: Rule) -> Numbers:
    """What goes into the loads that are filled by a rule; all that is soiled, if it fits."""
    soiled = course.soiled(way)
    if course.packer.fits(soiled):
        return soiled
    order = rule(course.missed(way, number))
    course.spent += len(order) * (1 + min(course.laundry.loads_per_day, len(order)))
    loads = filled(order, course.packer.grams, course.laundry)
    counts = tuple(sum(load.get(key, 0) for load in loads) for key in course.keys)
    course.packer.remember(counts, loads)
    return counts


def choices_on(course: Course, way: CourseWay, number: int, rules: Sequence[Rule]) -> Choices:
    """What to try on a wash day, without doubles."""
    soiled = course.soiled(way)
    plain = course.is_plain(way)
    fits = course.packer.fits(soiled)
    if fits and all(plain):
        return Choices([soiled], complete=True)
    least = _least(course, soiled, plain, fits)
    ways = prod(most - low + 1 for low, most in zip(least, soiled, strict=True))
    if ways > MOST_CHOICES:
        some = [soiled] if fits else [by_rule(course, way, number, rule) for rule in rules]
        return Choices(list(dict.fromkeys(some)), complete=False)
    return Choices(_all(course, least, soiled, plain), complete=not course.packer.unsettled)


def _least(course: Course, soiled: Numbers, plain: Sequence[bool], fits: bool) -> Numbers:
    """By key: how few are worth trying. All of what is plain, if everything fits."""
    return tuple(
        number if fits and plain[key.lane] else 0
        for key, number in zip(course.keys, soiled, strict=True)
    )


def _all(course: Course, least: Numbers, soiled: Numbers, plain: Sequence[bool]) -> list[Numbers]:
    """All that fit and that no more of a plain lane would fit to; the fullest first."""
    ranges = [range(most, low - 1, -1) for low, most in zip(least, soiled, strict=True)]
    course.spent += 4 * prod(map(len, ranges))
    fitting = [counts for counts in product(*ranges) if course.packer.fits(counts)]
    full = [counts for counts in fitting if not _takes_more(course, counts, soiled, plain)]
    return sorted(full, key=sum, reverse=True)


def _takes_more(course: Course, counts: Numbers, soiled: Numbers, plain: Sequence[bool]) -> bool:
    return any(
        course.packer.fits((*counts[:at], counts[at] + 1, *counts[at + 1 :]))
        for at, key in enumerate(course.keys)
        if plain[key.lane] and counts[at] < soiled[at]
    )
