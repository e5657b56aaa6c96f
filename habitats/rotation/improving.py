"""A plan made better by washing otherwise on one day and going on from there by a rule."""

from collections.abc import Iterator, Sequence

from habitats.rotation.choices import Rule, by_rule
from habitats.rotation.course import Course, CourseWay, Numbers

RULES_AFTER = 2  # so many rules are tried for the days after


def by_rule_from(course: Course, way: CourseWay, number: int, rule: Rule) -> CourseWay:
    """The end of a way that from a wash day on keeps to a rule."""
    for wash in range(number, course.washes):
        way = course.after(way, wash, by_rule(course, way, wash, rule))
    return way


def improved(
    course: Course, rules: Sequence[Rule], best: CourseWay, bound: int, work: int
) -> CourseWay:
    """The best plan that changes of one day after another lead to, while the work lasts."""
    found = True
    while found and course.spent < work:
        found = False
        for number in range(course.washes):
            for end in _other_ends(course, rules, best, number):
                if end.shortages < best.shortages:
                    best, found = end, True
                    break
                if course.spent > work:
                    return best
            if best.shortages == bound:
                return best
    return best


def _other_ends(
    course: Course, rules: Sequence[Rule], best: CourseWay, number: int
) -> Iterator[CourseWay]:
    way = best.wash_days()[number]
    chosen = best.choices()[number]
    if chosen == course.soiled(way):  # as every rule says, and nothing is left to exchange
        return
    ruled = [by_rule(course, way, number, rule) for rule in rules]
    for counts in dict.fromkeys([*ruled, *_exchanged(course, way, chosen)]):
        if counts != chosen:
            after = course.after(way, number, counts)
            for rule in rules[:RULES_AFTER]:
                yield by_rule_from(course, after, number + 1, rule)
            yield _as_before(course, after, number + 1, best, rules[0])


def _exchanged(course: Course, way: CourseWay, chosen: Numbers) -> Iterator[Numbers]:
    """One linen less of a key, and as many more of another as fit then."""
    soiled = course.soiled(way)
    for less, more in ((a, b) for a in range(len(chosen)) for b in range(len(chosen))):
        if less != more and chosen[less] and chosen[more] < soiled[more]:
            counts = list(chosen)
            counts[less] -= 1
            while counts[more] < soiled[more]:
                counts[more] += 1
                course.spent += len(counts) * course.laundry.loads_per_day
                if not course.packer.fits(counts):
                    counts[more] -= 1
                    break
            if counts[more] > chosen[more]:
                yield tuple(counts)


def _as_before(
    course: Course, way: CourseWay, number: int, best: CourseWay, rule: Rule
) -> CourseWay:
    """The end of a way that goes on as another plan did, where it can; else by a rule."""
    for wash, counts in enumerate(best.choices()[number:], start=number):
        soiled = course.soiled(way)
        can = all(some <= there for some, there in zip(counts, soiled, strict=True))
        way = course.after(way, wash, counts if can else by_rule(course, way, wash, rule))
    return way
