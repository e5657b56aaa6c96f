"""Reading a case of placing from JSON, or every fault with its place.

Needed are `groups`, each with `ref`, `species`, `animals` and `needs_cm2`. Every other key may be
left out: a home without limits takes everybody, and `null` limits nothing.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, TypeVar

from habitats.measures import MM2_PER_CM2
from habitats.placement.values import (
    USUAL_ORDER,
    DesignToBuild,
    EnclosureToFill,
    Goal,
    GroupToPlace,
    HomeToFill,
    Pin,
    PlacingCase,
    RuledOut,
    Union,
    WaitingUrgency,
)
from habitats.structure.design import Species
from habitats.structure.faults import FileFault
from habitats.structure.fields import Fields, Findings, shown
from habitats.wording import message

T = TypeVar("T")

MOST = 10_000  # of each list
MOST_OF_A_GROUP = 200
MOST_IN_A_HOME = 10_000
LONGEST_REF = 80
LONGEST_WHY = 300
AREA_CM2 = (0, 10_000_000)
SIDE_MM = (100, 100_000)
CENTS = (0, 100_000_000)
ONE_TO = (1, MOST_OF_A_GROUP)


class BadPlacingCase(ValueError):
    """The case cannot be placed as given; ``faults`` names every reason found."""

    def __init__(self, faults: list[FileFault]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = tuple(faults)


def placing_case_from(document: object) -> PlacingCase:
    """The case in a parsed document. Raises ``BadPlacingCase``."""
    if not isinstance(document, dict):
        sentence = message("A case is one JSON object, not %(given)s.", given=shown(document))
        raise BadPlacingCase([FileFault("", sentence)])
    findings = Findings()
    case = _Reader(document, findings).case()
    if findings.faults:
        raise BadPlacingCase(findings.faults)
    return case


class _Reader:
    def __init__(self, document: Mapping[str, Any], findings: Findings) -> None:
        self._fields = Fields(dict(document), "", findings)

    def case(self) -> PlacingCase:
        fields = self._fields
        fields.known(
            *("groups", "enclosures", "homes", "designs"),
            *("unions", "bars", "pins", "forbidden", "order"),
        )
        groups = [_group(one) for one in fields.children("groups", MOST, least=1)]
        enclosures = [_enclosure(one) for one in self._some("enclosures")]
        homes = [_home(one) for one in self._some("homes")]
        case = PlacingCase(
            tuple(groups),
            tuple(enclosures),
            tuple(homes),
            tuple(_design(one) for one in self._some("designs")),
            tuple(_union(one) for one in self._some("unions")),
            tuple(_bar(one) for one in self._some("bars")),
            tuple(_pin(one) for one in self._some("pins")),
            tuple(_pin(one) for one in self._some("forbidden")),
            self._order(),
        )
        if not fields.spoiled:
            _Names(fields, case).check()
        return case

    def _some(self, key: str) -> list[Fields]:
        return self._fields.children(key, MOST, default=[])

    def _order(self) -> tuple[Goal, ...]:
        named = tuple(Goal(word) for word in self._fields.some_of("order", list(Goal)))
        return (*named, *(one for one in USUAL_ORDER if one not in named))


def _group(fields: Fields) -> GroupToPlace:
    fields.known(
        *("ref", "species", "animals", "needs_cm2", "wishes_cm2"),
        *("lives_in", "may_move", "urgency", "cohort", "climbs"),
    )
    return GroupToPlace(
        _ref(fields, "ref"),
        _species(fields),
        fields.whole("animals", ONE_TO),
        _mm2(fields.number("needs_cm2", AREA_CM2)),
        _mm2(fields.maybe_number("wishes_cm2", AREA_CM2) or 0),
        _maybe_ref(fields, "lives_in"),
        fields.yes_no("may_move", default=True),
        _urgency(fields),
        _maybe_ref(fields, "cohort"),
        fields.yes_no("climbs", default=True),
    )


def _enclosure(fields: Fields) -> EnclosureToFill:
    fields.known("ref", "home", "species", "floor_cm2", "has_ramp", "has_lid", "is_safe")
    return EnclosureToFill(
        _ref(fields, "ref"),
        _maybe_ref(fields, "home"),
        _species(fields),
        _mm2(fields.number("floor_cm2", AREA_CM2)),
        fields.yes_no("has_ramp", default=False),
        fields.yes_no("has_lid", default=False),
        fields.yes_no("is_safe", default=True),
    )


def _home(fields: Fields) -> HomeToFill:
    fields.known(
        *("ref", "most_enclosures", "most_animals", "isolation_places"),
        *("knows", "is_away", "width_mm", "depth_mm", "other_pets"),
    )
    knows = fields.some_of("knows", list(Species))
    width = fields.maybe_whole("width_mm", SIDE_MM)
    depth = fields.maybe_whole("depth_mm", SIDE_MM)
    if (width is None) != (depth is None) and not fields.spoiled:
        fields.fault("width_mm", message("Give both width_mm and depth_mm, or neither."))
    return HomeToFill(
        _ref(fields, "ref"),
        fields.maybe_whole("most_enclosures", (0, MOST_IN_A_HOME)),
        fields.maybe_whole("most_animals", (0, MOST_IN_A_HOME)),
        fields.whole("isolation_places", (0, MOST_IN_A_HOME), default=0),
        frozenset(Species(one) for one in knows) or None,
        fields.yes_no("is_away", default=False),
        (width, depth) if width is not None and depth is not None else None,
        fields.yes_no("other_pets", default=False),
    )


def _design(fields: Fields) -> DesignToBuild:
    fields.known(
        "ref", "species", "floor_cm2", "width_mm", "depth_mm", "cents", "has_ramp", "has_lid"
    )
    return DesignToBuild(
        _ref(fields, "ref"),
        _species(fields),
        _mm2(fields.number("floor_cm2", AREA_CM2)),
        (fields.whole("width_mm", SIDE_MM), fields.whole("depth_mm", SIDE_MM)),
        fields.whole("cents", CENTS, default=0),
        fields.yes_no("has_ramp", default=False),
        fields.yes_no("has_lid", default=False),
    )


def _union(fields: Fields) -> Union:
    fields.known("of", "needs_cm2", "wishes_cm2")
    return Union(
        tuple(fields.texts("of", MOST_OF_A_GROUP, LONGEST_REF) or ()),
        _mm2(fields.number("needs_cm2", AREA_CM2)),
        _mm2(fields.maybe_number("wishes_cm2", AREA_CM2) or 0),
    )


def _bar(fields: Fields) -> RuledOut:
    fields.known("group", "enclosure", "why")
    why = fields.text("why", LONGEST_WHY, "-")
    return RuledOut(_ref(fields, "group"), _ref(fields, "enclosure"), why)


def _pin(fields: Fields) -> Pin:
    fields.known("group", "enclosure", "home")
    pin = Pin(_ref(fields, "group"), _maybe_ref(fields, "enclosure"), _maybe_ref(fields, "home"))
    if (pin.enclosure is None) == (pin.home is None) and not fields.spoiled:
        fields.fault("enclosure", message("Give either enclosure or home."))
    return pin


def _ref(fields: Fields, key: str) -> str:
    return fields.text(key, LONGEST_REF, "")


def _maybe_ref(fields: Fields, key: str) -> str | None:
    return fields.maybe_read_as(
        key,
        lambda value: value if isinstance(value, str) and 0 < len(value) <= LONGEST_REF else None,
        message("Give a text of 1 to %(longest)s characters.", longest=LONGEST_REF),
    )


def _species(fields: Fields) -> Species:
    return Species(fields.one_of("species", list(Species)) or Species.GUINEA_PIG)


def _urgency(fields: Fields) -> WaitingUrgency:
    word = fields.maybe_one_of("urgency", [one.word for one in WaitingUrgency])
    return WaitingUrgency[word.upper()] if word else WaitingUrgency.SOON


def _mm2(cm2: float) -> int:
    return round(cm2 * MM2_PER_CM2)


class _Names:
    """Whether every ref is given once, and what is named is there."""

    def __init__(self, fields: Fields, case: PlacingCase) -> None:
        self._fields = fields
        self._case = case
        self._groups = {one.ref for one in case.groups}
        self._enclosures = {one.ref for one in case.enclosures}
        self._homes = {one.ref for one in case.homes}

    def check(self) -> None:
        case = self._case
        self._once("groups", [one.ref for one in case.groups])
        self._once("enclosures", [one.ref for one in case.enclosures])
        self._once("homes", [one.ref for one in case.homes])
        self._once("designs", [one.ref for one in case.designs])
        lived_in = [one.lives_in for one in case.groups]
        self._known("groups", "lives_in", lived_in, self._enclosures)
        self._once_lived_in(lived_in)
        self._known("enclosures", "home", [one.home for one in case.enclosures], self._homes)
        self._unions()
        for key, pairs in (("bars", case.bars), ("pins", case.pins), ("forbidden", case.forbidden)):
            self._known(key, "group", [one.group for one in pairs], self._groups)
            self._known(key, "enclosure", [one.enclosure for one in pairs], self._enclosures)
        for key, pins in (("pins", case.pins), ("forbidden", case.forbidden)):
            self._known(key, "home", [one.home for one in pins], self._homes)

    def _once(self, key: str, refs: Sequence[str]) -> None:
        for index, ref in _again(refs):
            self._fault(f"{key}[{index}].ref", _GIVEN_BEFORE.filled(ref=shown(ref)))

    def _once_lived_in(self, refs: Sequence[str | None]) -> None:
        for index, ref in _again(refs):
            if ref is not None:
                sentence = message(
                    "%(ref)s is lived in by another group of the file: give one a lives_in of "
                    "null, or join the two groups.",
                    ref=shown(ref),
                )
                self._fault(f"groups[{index}].lives_in", sentence)

    def _known(self, key: str, name: str, refs: Iterable[str | None], known: set[str]) -> None:
        for index, ref in enumerate(refs):
            if ref is not None and ref not in known:
                self._fault(f"{key}[{index}].{name}", _NOT_THERE.filled(ref=shown(ref)))

    def _unions(self) -> None:
        species = {one.ref: one.species for one in self._case.groups}
        for index, union in enumerate(self._case.unions):
            place = f"unions[{index}].of"
            for ref in union.of:
                if ref not in self._groups:
                    self._fault(place, _NOT_THERE.filled(ref=shown(ref)))
            if len(set(union.of)) != len(union.of) or len(union.of) < 2:
                self._fault(place, message("Give two groups or more, each once."))
            elif len({species.get(ref) for ref in union.of}) > 1:
                self._fault(place, message("Give groups of one species."))

    def _fault(self, place: str, sentence: str) -> None:
        self._fields.fault(place, sentence)


def _again(refs: Iterable[T]) -> Iterator[tuple[int, T]]:
    """Those that came before, with their number."""
    before: set[T] = set()
    for index, ref in enumerate(refs):
        if ref in before:
            yield index, ref
        before.add(ref)


_GIVEN_BEFORE = message("%(ref)s is given before; give each ref once.")
_NOT_THERE = message("%(ref)s is not in the file; give the ref of one that is.")
