"""What the rescue's rule set says of an enclosure, and of those who live together in it."""

from collections.abc import Sequence
from datetime import date
from functools import lru_cache

from habitats.rescue.models.rescue import Rescue
from habitats.structure.structure import Structure
from habitats.welfare.ahead import Due, Passes, class_ages, due, residents_on
from habitats.welfare.alike import verdict_of
from habitats.welfare.companion import Companion
from habitats.welfare.company import company
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.objection import Objection
from habitats.welfare.own import OwnFigures, own_rule_set
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.rule_sets import rule_set
from habitats.welfare.values import Verdict
from habitats.wording import message

AHEAD_DAYS = 90


def rules_of(rescue: Rescue, species: str) -> RuleSet | None:
    """The rule set that the rescue answers to, its own figures in it; None: none chosen yet."""
    chosen = rescue.rules_for(species)
    if not chosen:
        return None
    figures = rescue.own_figures(species)
    return _rules(chosen, OwnFigures(**figures) if figures else None, rescue.name)


@lru_cache(maxsize=16)
def _rules(chosen: str, figures: OwnFigures | None, name: str) -> RuleSet:
    base = rule_set(chosen)
    if figures is None:
        return base
    return own_rule_set(base, figures, id=f"own-{chosen}", name=own_name(name))


def own_name(rescue: str) -> str:
    """What the own rule set of a rescue is called; the rescue may have no name yet."""
    return message("Own figures of %(rescue)s", rescue=rescue or message("the rescue"))


def limits_of(rescue: Rescue) -> WelfareLimits:
    """The figures without an authority behind them, as the rescue has set them."""
    return WelfareLimits(
        guinea_pig_quarantine_days=rescue.guinea_pig_quarantine_days,
        rabbit_quarantine_days=rescue.rabbit_quarantine_days,
        fall_percent=float(rescue.weight_alarm_percent),
        stale_days=rescue.weigh_every_days * 4,
        stale_young_days=rescue.weigh_every_days,
    )


def verdict_for(
    structure: Structure, companions: Sequence[Companion], day: date, rules: RuleSet | None
) -> Verdict | None:
    """What the rule set says on that day; None without a rule set, animals, or one for them all."""
    if rules is None or not companions or any(c.species != rules.species for c in companions):
        return None
    return verdict_of(rules, room_of(structure), residents_on(companions, day))


def objections_to(
    companions: Sequence[Companion], day: date, rescue: Rescue
) -> tuple[Objection, ...]:
    """All reasons against these animals living together on that day; blocks first."""
    if not companions:
        return ()
    rules = rules_of(rescue, companions[0].species)
    return company(
        companions,
        day,
        never_singly=rules.never_singly if rules else None,
        limits=limits_of(rescue),
    )


def dues_of(
    companions: Sequence[Companion],
    day: date,
    rescue: Rescue,
    structure: Structure | None = None,
    *,
    within_days: int = AHEAD_DAYS,
) -> tuple[Due, ...]:
    """What is due for one group; with a structure also the day on which it is outgrown."""
    if not companions:
        return ()
    rules = rules_of(rescue, companions[0].species)
    return due(
        companions,
        day,
        within_days=within_days,
        limits=limits_of(rescue),
        passes=_passes(rules, structure),
        ages=class_ages(rules) if rules else None,
    )


def _passes(rules: RuleSet | None, structure: Structure | None) -> Passes | None:
    if rules is None or structure is None:
        return None
    room = room_of(structure)
    return lambda residents: verdict_of(rules, room, residents).passes
