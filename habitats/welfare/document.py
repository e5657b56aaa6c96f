"""Verdicts as JSON: each rule set by itself, areas in cm², lengths in mm.

The cautions that hold for all stand once; each rule set says what it is (`standing`) and what
its figures are not, so that no minimum is taken for a recommendation.
"""

from collections.abc import Mapping
from typing import Any

from habitats.measures import MM2_PER_CM2
from habitats.welfare.case import Case
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.rule_sets import rule_sets_for
from habitats.welfare.space import GENERAL_CAUTIONS, cautions_of, judged
from habitats.welfare.values import Amount, Clause, Unit

Document = Mapping[str, Any]

FINE_BELOW_CM2 = 1000  # figures in square inches are told to a tenth; larger ones are whole


def space_document(case: Case) -> Document:
    """What every rule set of the species says of a case."""
    return {
        "cautions": list(GENERAL_CAUTIONS),
        "rule_sets": [_verdict(one, case) for one in rule_sets_for(case.species)],
    }


def _verdict(rule_set: RuleSet, case: Case) -> Document:
    verdict = judged(rule_set, case.species, case.room, case.residents)
    return {
        "id": rule_set.id,
        "name": rule_set.name,
        "standing": rule_set.standing.value,
        "choosable": rule_set.choosable,
        "passes": verdict.passes,
        "required_cm2": cm2(verdict.required_mm2),
        "counted_cm2": cm2(verdict.counted_mm2),
        "clauses": [_clause(one) for one in verdict.clauses],
        "cautions": list(cautions_of(rule_set)),
        "known": rule_set.known_words,
    }


def _clause(clause: Clause) -> Document:
    return {
        "text": clause.text,
        "bound": clause.bound.value,
        "unit": "cm2" if clause.needed.unit is Unit.MM2 else clause.needed.unit.value,
        "needed": _number(clause.needed),
        "given": None if clause.given is None else _number(clause.given),
        "passes": clause.passes,
        "verified": clause.verified,
        "source": clause.source,
    }


def _number(amount: Amount) -> float:
    return cm2(amount.value) if amount.unit is Unit.MM2 else amount.value


def cm2(area_mm2: int) -> float:
    """Square centimetres as finely as the standards are told: tenths, or whole from 1 000 up.

    >>> cm2(38710), cm2(696773)
    (387.1, 6968)
    """
    if area_mm2 >= FINE_BELOW_CM2 * MM2_PER_CM2:
        return round(area_mm2 / MM2_PER_CM2)
    return round(area_mm2 / MM2_PER_CM2, 1)
