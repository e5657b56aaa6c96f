"""For whom a floor is large enough and yet no place: of its height, or of one of its sides."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from builds.placing.models.rooms import not_enough
from habitats.structure.structure import Structure
from habitats.welfare.alike import alike, verdict_of
from habitats.welfare.identity import ByIdentity
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Resident


class JudgedGroup(NamedTuple):
    """``companies``: its animals today, and as they will have grown."""

    code: str
    rules: RuleSet
    needs_mm2: int
    companies: Sequence[Sequence[Resident]]


class NotFor:
    """Groups that a standard does not tell apart are asked about once."""

    def __init__(self, groups: Iterable[JudgedGroup]) -> None:
        self._alike: dict[object, list[JudgedGroup]] = {}
        for one in groups:
            companies = tuple(alike(one.rules, animals) for animals in one.companies)
            self._alike.setdefault((ByIdentity(one.rules), companies), []).append(one)

    def whom(self, structure: Structure, floor_mm2: int) -> Iterator[tuple[JudgedGroup, str]]:
        """Groups for which it is no place, and why."""
        room = room_of(structure)
        for groups in self._alike.values():
            rules, _needs, companies = groups[0][1:]
            if rules.species is not structure.design.species:
                continue
            fit = [one for one in groups if one.needs_mm2 <= floor_mm2]
            if fit and (why := not_enough(verdict_of(rules, room, one) for one in companies)):
                yield from ((one, why) for one in fit)
