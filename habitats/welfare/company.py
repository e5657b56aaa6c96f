"""Who may live together: every objection to a group on a day, with its reason and its dates.

Cautions for people who keep animals, not veterinary advice: a vet's word comes before any of them.
A rule is asked about one day. When an objection changes is found by asking its rule again on the
days on which anything can.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import permutations, product

from habitats.source import PRACTICE, Known, Source
from habitats.welfare.bonding import bonding_refused
from habitats.welfare.breeding import male_with_female, sex_unknown, two_males
from habitats.welfare.companion import Companion
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.litters import birth_with_male, possible_litter, without_mother
from habitats.welfare.objection import Objection, OverrideTerms, Severity, block, warning
from habitats.welfare.quarantine import in_quarantine, quarantined, rhd
from habitats.welfare.turning import turning_days
from habitats.welfare.words import MANY, ONE, day_words
from habitats.wording import joined, message

APART = Source(
    message("RSPCA advice: rabbits and guinea pigs are not kept together"), Known.PRIMARY
)

# Codes of what is said of one that is alone, and no longer once another comes.
OF_ONE_ALONE = ("alone", "never_alone", "alone_in_quarantine")

Asked = Callable[[date], Objection | None]


def company(
    animals: Sequence[Companion],
    today: date,
    *,
    never_singly: Source | None = None,
    limits: WelfareLimits = DEFAULTS,
) -> tuple[Objection, ...]:
    """All reasons against these animals living together today; blocks first.

    ``never_singly`` is the source of the rule set that forbids keeping one alone, None if the
    chosen one does not: then one alone is a warning. Raises ``ValueError`` if two share a ref.
    """
    found = []
    for about, ask in _questions(animals, never_singly, limits):
        objection = ask(today)
        if objection is not None:
            found.append(_dated(objection, ask, turning_days(about, today, limits)))
    return tuple(sorted(found, key=_blocks_first))


def between(
    some: Sequence[Companion],
    others: Sequence[Companion],
    day: date,
    limits: WelfareLimits = DEFAULTS,
    *,
    rules: "tuple[PairRule, ...] | None" = None,
) -> list[Objection]:
    """What speaks on that day against two animals, one of each; not until when.

    ``rules`` None: all that are asked about two.
    """
    couples = [pair for two in product(some, others) for pair in permutations(two)]
    asked = (
        rule(one, other, day, limits) for one, other in couples for rule in rules or PAIR_RULES
    )
    return [objection for objection in asked if objection is not None]


def two_species(
    one: Companion, other: Companion, day: date, limits: WelfareLimits
) -> Objection | None:
    """Rabbits with guinea pigs; None for two of one species."""
    if one.species is other.species or one.ref > other.ref:
        return None
    return block(
        "two_species",
        (one.ref, other.ref),
        message(
            "%(one)s is %(one_kind)s and %(other)s is %(other_kind)s: they are never kept "
            "together. They eat and communicate differently, and one can hurt the other or make "
            "it ill.",
            one=one.name,
            one_kind=ONE[one.species],
            other=other.name,
            other_kind=ONE[other.species],
        ),
        APART,
        override=OverrideTerms.SECOND_CONFIRMATION,
    )


def alone(
    animal: Companion,
    group: Sequence[Companion],
    day: date,
    limits: WelfareLimits,
    never_singly: Source | None,
) -> Objection | None:
    """The only one of its species; in quarantine that wants a recorded reason.

    ``never_singly``: the source of a standard that forbids it; None: the chosen one does not.
    """
    if any(other is not animal and other.species is animal.species for other in group):
        return None
    many = MANY[animal.species]
    if in_quarantine(animal, day, limits):
        return None if animal.quarantine and animal.quarantine.note else _alone_apart(animal, many)
    if never_singly:
        return _never_alone(animal, many, never_singly)
    return warning(
        "alone",
        (animal.ref,),
        message(
            "%(name)s is alone, and %(species)s need company of their own kind. Find it a "
            "companion.",
            name=animal.name,
            species=many,
        ),
        PRACTICE,
    )


def _never_alone(animal: Companion, many: str, never_singly: Source) -> Objection:
    return block(
        "never_alone",
        (animal.ref,),
        message(
            "%(name)s is alone, and your space standard forbids keeping %(species)s singly. Find "
            "it a companion; local law and a vet come first.",
            name=animal.name,
            species=many,
        ),
        never_singly,
    )


def _alone_apart(animal: Companion, many: str) -> Objection:
    assert animal.quarantine is not None
    return warning(
        "alone_in_quarantine",
        (animal.ref,),
        message(
            "%(name)s is alone in quarantine, and %(species)s need company of their own kind. "
            "Record why it has to be alone.",
            name=animal.name,
            species=many,
        ),
        PRACTICE,
        basis=animal.quarantine.since,
    )


PairRule = Callable[[Companion, Companion, date, WelfareLimits], Objection | None]
OwnRule = Callable[[Companion, Sequence[Companion], date, WelfareLimits], Objection | None]

# Each is asked about every two animals in both orders.
PAIR_RULES: tuple[PairRule, ...] = (
    two_species,
    quarantined,
    rhd,
    birth_with_male,
    male_with_female,
    sex_unknown,
    two_males,
    bonding_refused,
)
OWN_RULES: tuple[OwnRule, ...] = (possible_litter, without_mother)


def _questions(
    animals: Sequence[Companion], never_singly: Source | None, limits: WelfareLimits
) -> Iterator[tuple[tuple[Companion, ...], Asked]]:
    """Each rule with those whose days decide it, ready to be asked about a day."""
    if len({animal.ref for animal in animals}) < len(animals):
        raise ValueError("Two animals of the group have the same ref: give each its own.")
    for one, other in permutations(animals, 2):
        for rule in PAIR_RULES:
            yield (one, other), _of_pair(rule, one, other, limits)
    for animal in animals:
        for own_rule in (*OWN_RULES, _alone_rule(never_singly)):
            yield (animal,), _of_one(own_rule, animal, animals, limits)


def _of_pair(rule: PairRule, one: Companion, other: Companion, limits: WelfareLimits) -> Asked:
    return lambda day: rule(one, other, day, limits)


def _of_one(
    rule: OwnRule, animal: Companion, group: Sequence[Companion], limits: WelfareLimits
) -> Asked:
    return lambda day: rule(animal, group, day, limits)


def _alone_rule(never_singly: Source | None) -> OwnRule:
    return lambda animal, group, day, limits: alone(animal, group, day, limits, never_singly)


def _dated(objection: Objection, ask: Asked, days: Sequence[date]) -> Objection:
    """With the first of the days on which its rule says something else, also in words."""
    for day in days:
        later = ask(day)
        becomes = later.severity if later else None
        if becomes is not objection.severity:
            words = _changes(objection.severity, becomes, day)
            sentence = joined(" ", [objection.sentence, words])
            return replace(objection, changes_on=day, becomes=becomes, sentence=sentence)
    return objection


def _changes(severity: Severity, becomes: Severity | None, day: date) -> str:
    if becomes is Severity.BLOCK:
        return message("Not allowed from %(day)s.", day=day_words(day))
    if becomes is Severity.WARNING:
        return message("Allowed from %(day)s with a recorded reason.", day=day_words(day))
    if severity is Severity.BLOCK:
        return message("Allowed from %(day)s, unless another reason remains.", day=day_words(day))
    return message("This warning ends on %(day)s.", day=day_words(day))


def _blocks_first(objection: Objection) -> tuple[bool, str, tuple[str, ...]]:
    return objection.severity is not Severity.BLOCK, objection.code, objection.animals
