"""Which linens go into the loads of each wash day, so that few changes find none clean.

The search goes from wash day to wash day and keeps every way that could still be the best: ways
that leave all lanes alike are one, and one is dropped when its shortages and what must still come
(``bound.py``) are no fewer than those of a plan in hand. Nothing is read off a clock: the work is
counted, and what the count does not allow is left out, the least promising first. What was left
out is remembered by the fewest shortages it could have had, so that the answer says what is proved.

A wash day may be better with less than full loads (``Lane.alike`` says when), so that is tried too,
but of two equal plans the one that leaves less unwashed is kept.
"""

from dataclasses import dataclass

from habitats.rotation.choices import Rule, choices_on, rules_for
from habitats.rotation.course import Course, CourseWay
from habitats.rotation.improving import by_rule_from, improved
from habitats.rotation.packing import Load
from habitats.rotation.values import ForecastInputs

# Enclosures looked at in the search for one plan. A page cannot wait; whoever asks on a command
# line can for some seconds, which is seldom needed for small rounds.
WORK = 1_000_000
THOROUGH_WORK = 20_000_000
MOST_THOROUGH_NEEDS = 300


@dataclass(frozen=True, slots=True)
class LoadPlan:
    """Loads by wash day, the shortages they lead to, and a bound: no plan of loads has fewer.

    The plan is the best that the search found; where ``shortages`` is above ``bound``, a better
    one may exist.
    """

    loads: tuple[tuple[Load, ...], ...]
    shortages: int
    bound: int


def thorough(inputs: ForecastInputs) -> int:
    """The work that a plan is worth to someone who can wait; in large rounds more finds little."""
    return THOROUGH_WORK if len(inputs.needs) <= MOST_THOROUGH_NEEDS else WORK


def plan_loads(inputs: ForecastInputs, work: int = WORK) -> LoadPlan:
    """The loads with the fewest shortages that so much work finds."""
    course = Course(inputs)
    rules = rules_for(course)
    start = course.start()
    best = by_rule_from(course, start, 0, rules[0])
    if best.shortages > start.least:
        start = course.bounded_together(course.bounded(start, 0), 0)
    bound = start.least
    if best.shortages > bound:
        if not course.washes_all(best):  # as every rule would then
            best = _by_other_rules(course, rules[1:], best, bound, work // 8)
            best = improved(course, rules, best, bound, work // 4)
        best, bound = _searched(course, start, rules, best, work // 2)
        best = improved(course, rules, best, bound, work)
    return LoadPlan(_loads(course, best), best.shortages, bound)


def _by_other_rules(
    course: Course, rules: list[Rule], best: CourseWay, bound: int, work: int
) -> CourseWay:
    """The best plan of those that keep to one rule, as far as the work goes."""
    for rule in rules:
        if best.shortages == bound or course.spent > work:
            break
        other = by_rule_from(course, course.start(), 0, rule)
        best = min(best, other, key=lambda one: one.shortages)
    return best


def _searched(
    course: Course, start: CourseWay, rules: list[Rule], best: CourseWay, work: int
) -> tuple[CourseWay, int]:
    """The best way of a wide search, and the bound that it proves."""
    ways, left_out = [start], best.shortages
    for number in range(course.washes):
        if course.spent >= work:
            left_out = min([left_out, *(way.least for way in ways)])
            return best, max(start.least, left_out)
        until = course.spent + (work - course.spent) // (course.washes - number)
        reached: dict[tuple[int, ...], CourseWay] = {}
        for way in sorted(ways, key=lambda one: one.least):
            if reached and course.spent > until:
                left_out = min(left_out, way.least)
                break
            counts, complete = choices_on(course, way, number, rules)
            if not complete:
                left_out = min(left_out, way.least)
            # Where nothing is proved any more, no bound is asked of the only way there is.
            is_asked = left_out > start.least or not len(ways) == len(counts) == 1
            for one in counts:
                after = course.after(way, number, one)
                after = course.bounded(after, number + 1) if is_asked else after
                _keep(reached, after, best.shortages)
        ways = list(reached.values())
        if is_asked:
            ways = [course.bounded_together(way, number + 1) for way in ways]
        ways = [way for way in ways if way.least < best.shortages]
    best = min([best, *ways], key=lambda one: one.shortages)
    return best, max(start.least, min(left_out, best.shortages))


def _keep(reached: dict[tuple[int, ...], CourseWay], way: CourseWay, most: int) -> None:
    """Keep a way that can lead to fewer shortages than ``most``, the best to where it leads."""
    known = reached.get(way.standings)
    if way.least < most and (known is None or way.shortages < known.shortages):
        reached[way.standings] = way


def _loads(course: Course, way: CourseWay) -> tuple[tuple[Load, ...], ...]:
    packed = [course.packer.pack(counts) for counts in way.choices()]
    assert None not in packed
    return tuple(loads for loads in packed if loads is not None)
