"""Rule sets from a data file (TOML), read strictly: a key that nobody reads is an error.

The files are ours, so a fault in one is a fault of the programme and raises at the first.
How they are written is told at the top of `data/guinea_pig.toml`. Names, sources and notes are told
in the reader's language: what the files say stands in `data_words.py` too, to be translated.
"""

import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fractions import Fraction
from typing import Any, TypeVar

from habitats.source import Known
from habitats.welfare.bands import Bands, read_bands
from habitats.welfare.floor import Breeding, FloorRule, Further, GroupFloor, Young
from habitats.welfare.quantities import age_days, area_mm2, length_mm, mass_g
from habitats.welfare.rule_set import Authority, HeightRule, RaisedRule, RuleSet
from habitats.welfare.values import Species
from habitats.wording import Message

Value = TypeVar("Value")


class BadRuleSet(ValueError):
    """A rule set that cannot be read; `str()` says which, and why."""


class _Table:
    """A table whose keys are taken out as they are read."""

    def __init__(self, document: dict[str, Any]) -> None:
        self.rest = dict(document)

    def need(self, key: str, read: Callable[[Any], Value]) -> Value:
        return read(self.rest.pop(key))

    def take(self, key: str, read: Callable[[Any], Value]) -> Value | None:
        return self.need(key, read) if key in self.rest else None


@contextmanager
def _table(document: dict[str, Any]) -> Iterator[_Table]:
    table = _Table(document)
    yield table
    if table.rest:
        raise ValueError(f"nobody reads {', '.join(table.rest)}")


def read_rule_sets(text: str, species: Species) -> tuple[RuleSet, ...]:
    """The rule sets in a file's text. Raises BadRuleSet."""
    return tuple(_read(one, species) for one in tomllib.loads(text)["rule_set"])


def _read(document: dict[str, Any], species: Species) -> RuleSet:
    try:
        return _refuse_unsafe(_rule_set(document, species))
    except KeyError as missing:
        raise BadRuleSet(f"{document.get('id')}: {missing} is missing") from missing
    except (TypeError, ValueError) as fault:
        raise BadRuleSet(f"{document.get('id')}: {fault}") from fault


def _refuse_unsafe(rule_set: RuleSet) -> RuleSet:
    """A laboratory's minimum and what nobody checked may be shown, but never chosen."""
    if rule_set.choosable and rule_set.standing is Authority.LABORATORY:
        raise ValueError("a minimum for laboratories cannot be chosen")
    if rule_set.choosable and not rule_set.verified:
        raise ValueError("figures known from memory only cannot be chosen")
    return rule_set


def _rule_set(document: dict[str, Any], species: Species) -> RuleSet:
    with _table(document) as table:
        return RuleSet(
            id=table.need("id", str),
            name=table.need("name", Message),
            species=species,
            standing=table.need("standing", Authority),
            choosable=table.need("choosable", bool),
            source=table.need("source", Message),
            known=table.need("known", Known),
            floor=table.need("floor", _floor),
            notes=table.take("notes", _texts) or (),
            upper_credit=table.take("upper_credit", Fraction) or Fraction(0),
            height=table.take("height", _height),
            longest_side_mm=table.take("longest_side", length_mm),
            shortest_side_mm=table.take("shortest_side", length_mm),
            least_animals=table.take("least_animals", int) or 1,
            most_animals=table.take("most_animals", _counts),
            raised=table.take("raised", _raised),
        )


def _floor(document: dict[str, Any]) -> FloorRule:
    with _table(document) as table:
        floor = FloorRule(
            groups=table.take("groups", _each(_group)) or (),
            further=table.take("further", _each(_further)) or (),
            repeats_after=table.take("repeats_after", int),
            enclosure_mm2=table.take("enclosure", _areas),
            dam_mm2=table.take("dam", _areas),
            nest_mm2=table.take("nest", _areas),
            breeding=table.take("breeding", _breeding),
            young=table.take("young", _young),
            covers_litters=table.rest.pop("covers_litters", True),
        )
    if not floor.groups and not floor.further:
        raise ValueError("a floor has groups, further animals or both")
    return floor


def _group(document: dict[str, Any]) -> GroupFloor:
    with _table(document) as table:
        return GroupFloor(table.need("animals", int), table.need("area", _areas))


def _further(document: dict[str, Any]) -> Further:
    with _table(document) as table:
        return Further(
            area_mm2=table.need("area", _areas),
            up_to=table.take("up_to", int),
            by_heaviest=table.take("by_heaviest", bool) or False,
        )


def _breeding(document: dict[str, Any]) -> Breeding:
    with _table(document) as table:
        return Breeding(table.need("pair", area_mm2), table.need("further", area_mm2))


def _young(document: dict[str, Any]) -> Young:
    with _table(document) as table:
        return Young(
            under_days=table.need("under", age_days),
            each_mm2=table.need("each", _areas_by_age),
            enclosure_mm2=table.need("enclosure", area_mm2),
            height_mm=table.need("height", length_mm),
        )


def _height(document: dict[str, Any]) -> HeightRule:
    with _table(document) as table:
        return HeightRule(
            height_mm=table.need("height", _lengths),
            over=table.take("over", Fraction) or Fraction(1),
            strictly=table.take("strictly", bool) or False,
        )


def _raised(document: dict[str, Any]) -> RaisedRule:
    with _table(document) as table:
        return RaisedRule(
            area_mm2=table.need("area", _areas),
            most_of_floor=table.need("most_of_floor", Fraction),
            without=table.need("without", _each(Fraction)),
        )


def _each(read: Callable[[Any], Value]) -> Callable[[list[Any]], tuple[Value, ...]]:
    return lambda items: tuple(read(item) for item in items)


_texts = _each(Message)


def _areas(written: Any) -> Bands:
    return read_bands(written, area_mm2, mass_g)


def _areas_by_age(written: Any) -> Bands:
    return read_bands(written, area_mm2, age_days)


def _lengths(written: Any) -> Bands:
    return read_bands(written, length_mm, mass_g)


def _counts(written: Any) -> Bands:
    return read_bands(written, int, mass_g)
