"""The rule sets there are, read once from the data files; each kept apart from the others."""

from functools import cache
from pathlib import Path

from habitats.welfare.read_rule_sets import read_rule_sets
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Species

DATA = Path(__file__).parent / "data"


@cache
def rule_sets() -> tuple[RuleSet, ...]:
    """Every rule set: guinea pigs', then rabbits', each in its file's order."""
    return tuple(
        one
        for species in Species
        for one in read_rule_sets((DATA / f"{species}.toml").read_text(encoding="utf-8"), species)
    )


def rule_sets_for(species: Species) -> tuple[RuleSet, ...]:
    return tuple(one for one in rule_sets() if one.species is species)


def rule_set(id: str) -> RuleSet:
    """The rule set with this id. Raises LookupError if there is none."""
    for one in rule_sets():
        if one.id == id:
            return one
    raise LookupError(f"No rule set is called {id!r}.")
