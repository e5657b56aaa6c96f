"""What rule sets say of an enclosure, clause by clause, in the reader's units."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from habitats.measures import areas_compared, length
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import rules_of, verdict_for
from habitats.structure.structure import Structure
from habitats.welfare.companion import Companion
from habitats.welfare.holding import MOST_TRIED
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.rule_sets import rule_sets_for
from habitats.welfare.space import ANIMAL_WORDS, cautions_of
from habitats.welfare.values import Bound, Clause, ClauseKind, Resident, Species, Unit, Verdict

BOUND_WORDS = {
    Bound.AT_LEAST: gettext_lazy("at least %(amount)s"),
    Bound.MORE_THAN: gettext_lazy("more than %(amount)s"),
    Bound.AT_MOST: gettext_lazy("at most %(amount)s"),
}


class SpaceResult(NamedTuple):
    """``mark`` is the class of the words: ``passes``, ``lacks`` or ``untold``."""

    mark: str
    words: str


class ClauseRow(NamedTuple):
    text: str
    needed: str
    given: str
    result: SpaceResult


class VerdictCard(NamedTuple):
    """One rule set's verdict. ``cautions`` are those of this rule set alone."""

    rules: RuleSet
    verdict: Verdict
    result: SpaceResult
    rows: tuple[ClauseRow, ...]
    cautions: tuple[str, ...]


class Verdicts(NamedTuple):
    """``chosen`` None: no rule set is chosen, or it cannot judge these animals."""

    chosen: VerdictCard | None
    others: tuple[VerdictCard, ...]


def verdicts_of(
    structure: Structure, companions: Sequence[Companion], day: date, rescue: Rescue, units: str
) -> Verdicts:
    """The chosen rule set's verdict, and beside it those of all others, each by itself."""
    if not companions:
        return Verdicts(None, ())
    species = companions[0].species
    chosen = rules_of(rescue, species)

    def cards(rule_sets: Sequence[RuleSet]) -> Iterator[VerdictCard]:
        for rules in rule_sets:
            verdict = verdict_for(structure, companions, day, rules)
            if verdict is not None:
                yield card_of(rules, verdict, units)

    others = [one for one in rule_sets_for(species) if chosen is None or one.id != chosen.id]
    first = next(cards([chosen]), None) if chosen else None
    return Verdicts(first, tuple(cards(others)))


def card_of(rules: RuleSet, verdict: Verdict, units: str) -> VerdictCard:
    rows = tuple(_row(one, units) for one in verdict.clauses)
    return VerdictCard(rules, verdict, verdict_result(rules, verdict), rows, cautions_of(rules))


def verdict_result(rules: RuleSet, verdict: Verdict) -> SpaceResult:
    """In one sentence. A minimum that cannot be chosen is never called enough."""
    if not rules.verified:
        return SpaceResult("untold", _("From memory: for information only"))
    if verdict.passes is False:
        return SpaceResult("lacks", _lacking(rules, verdict))
    if verdict.passes is None:
        return SpaceResult("untold", _untold(rules, verdict))
    if not rules.choosable:
        return SpaceResult("untold", _("Above this minimum, which is not enough for a home"))
    return SpaceResult("passes", _("Enough"))


def _lacking(rules: RuleSet, verdict: Verdict) -> str:
    """What is not met: the space, or only how many live together."""
    broken = {one.kind for one in verdict.clauses if one.verified and one.passes is False}
    if broken == {ClauseKind.GROUP}:
        return _("Not allowed: kept alone")
    if broken == {ClauseKind.MOST}:
        return _("Not allowed: too many together")
    return _("Not enough") if rules.choosable else _("Below this minimum")


def no_figure(number: int, species: str) -> str:
    """Said of so many animals, where a standard tells neither yes nor no."""
    if species == Species.RABBIT:
        words = ngettext(
            "This standard has no figure for %(number)d rabbit",
            "This standard has no figure for %(number)d rabbits",
            number,
        )
    else:
        words = ngettext(
            "This standard has no figure for %(number)d guinea pig",
            "This standard has no figure for %(number)d guinea pigs",
            number,
        )
    return words % {"number": number}


def _untold(rules: RuleSet, verdict: Verdict) -> str:
    """Why it tells neither: of what an enclosure is asked for, nothing is unknown."""
    number = len(verdict.shares_mm2)
    if rules.floor.covers([Resident()] * number):
        return _("This standard has no figure for a litter")
    return no_figure(number, rules.species)


def room_words(number: int, species: Species) -> str:
    one, many = ANIMAL_WORDS[species]
    if number == 0:
        return _("too small for any %(animal)s") % {"animal": one}
    if number >= MOST_TRIED:
        words = _("enough for %(number)d %(animals)s or more")
    else:
        words = _("enough for %(number)d %(animals)s")
    return words % {"number": number, "animals": one if number == 1 else many}


def amounts_compared(clause: Clause, units: str) -> tuple[str, str]:
    """What is needed and what is given, so that they compare as they do."""
    needed = clause.needed
    given = clause.given or needed
    if needed.unit is Unit.MM:
        words = length(needed.value, units), length(given.value, units)
    elif needed.unit is not Unit.MM2:
        words = str(needed.value), str(given.value)
    elif clause.bound is Bound.AT_MOST:
        words = areas_compared(given.value, needed.value, units)[::-1]
    else:
        words = areas_compared(needed.value, given.value, units)
    return words[0], _("not known") if clause.given is None else words[1]


def _row(clause: Clause, units: str) -> ClauseRow:
    needed, given = amounts_compared(clause, units)
    return ClauseRow(
        clause.text, BOUND_WORDS[clause.bound] % {"amount": needed}, given, _met(clause)
    )


def _met(clause: Clause) -> SpaceResult:
    if not clause.verified:
        return SpaceResult("untold", _("for information only"))
    if clause.passes is None:
        return SpaceResult("untold", _("not checked"))
    return SpaceResult("passes", _("met")) if clause.passes else SpaceResult("lacks", _("not met"))
