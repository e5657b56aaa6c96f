"""Which linens go into the loads of each wash day, so that the fewest changes find none clean.

The search goes from wash day to wash day and keeps every way that could still be the best: ways
that leave all lanes alike are one, and one is dropped when its shortages and what must still come
(``bound.py``) are no fewer than those of a plan in hand. Nothing is read off a clock: the work is
counted, and what the count does not allow is left out, the least promising first. What was left
out is remembered by the fewest shortages it could have had, so that the answer says what is proved.

A wash day may be better with less than full loads (``Lane.alike`` says when), so that is tried too,
but of two equal plans the one that leaves less unwashed is kept.
"""

from dataclasses import dataclass

from habitats.rotation.choices import Rule, by_rule, choices_on, rules_for
from habitats.rotation.course import Course, Way
from habitats.rotation.packing import Load
from habitats.rotation.values import Round

WORK = 2_000_000  # enclosures looked at in the search for one plan, about 2 s


@dataclass(frozen=True, slots=True)
class Plan:
    """Loads by wash day, the shortages they lead to, and the fewest that any plan has."""

    loads: tuple[tuple[Load, ...], ...]
    shortages: int
    bound: int


def plan_loads(question: Round, work: int = WORK) -> Plan:
    """The loads with the fewest shortages that so much work finds."""
    course = Course(question)
    start, rules = course.start(), rules_for(course)
    best, bound = _by_thumb(course, start, rules), start.least
    if best.shortages > bound:
        best, bound = _searched(course, start, rules, best, work)
    return Plan(_loads(course, best), best.shortages, bound)


def _by_thumb(course: Course, start: Way, rules: list[Rule]) -> Way:
    """The best plan that keeps to one rule throughout; the first, if it cannot be bettered."""
    best: Way | None = None
    for rule in rules:
        way = start
        for number in range(course.washes):
            way = course.after(way, number, by_rule(course, way, number, rule))
        if best is None or way.shortages < best.shortages:
            best = way
        if best.shortages == start.least:
            break
    assert best is not None
    return best


def _searched(
    course: Course, start: Way, rules: list[Rule], best: Way, work: int
) -> tuple[Way, int]:
    """The best way of a wide search, and the bound that it proves."""
    ways, left_out = [start], best.shortages
    stop = course.spent + work
    for number in range(course.washes):
        share = (stop - course.spent) // (course.washes - number)
        until = course.spent + share
        found: dict[tuple[object, ...], Way] = {}
        for way in sorted(ways, key=lambda one: one.least):
            if found and course.spent > until:
                left_out = min(left_out, way.least)
                break
            counts, complete = choices_on(course, way, number, rules)
            if not complete:
                left_out = min(left_out, way.least)
            for one in counts:
                after = course.after(way, number, one)
                known = found.get(after.standings)
                if after.least < best.shortages and (
                    known is None or after.shortages < known.shortages
                ):
                    found[after.standings] = after
        ways = list(found.values())
    best = min([best, *ways], key=lambda one: one.shortages)
    return best, max(start.least, min(left_out, best.shortages))


def _loads(course: Course, way: Way) -> tuple[tuple[Load, ...], ...]:
    packed = [course.packer.pack(counts) for counts in way.choices()]
    assert None not in packed
    return tuple(loads for loads in packed if loads is not None)
