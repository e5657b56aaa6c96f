"""Enclosures from a file: built from a design that is here, standing in a home that is open."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, NamedTuple

from habitats.designs.models.designs import Design, DesignRevision
from habitats.designs.models.structures import structure_of
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent
from habitats.enclosures.models.parts import Component, components_of
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.imports import ImportFault, ImportSheet
from habitats.imports.cells import WHERE_CODES_ARE
from habitats.imports.values import Refused
from habitats.linens.models.spots import Spot
from habitats.measures import size
from habitats.people.models.people import Person
from habitats.records.models.imports.plan import (
    AT_ONCE,
    Arrival,
    ImportNames,
    Plan,
    coded,
    not_found,
    planned,
    sort,
)
from habitats.structure.design import footprint_mm
from habitats.wording import joined, message

LARGEST = ("largest_width_mm", "largest_depth_mm")


def plan(sheet: ImportSheet, today: date) -> Plan:
    homes = ImportNames(Home.objects.all(), "name", "closed_on", *LARGEST)
    drawn = _Drawn()

    def look(arrival: Arrival) -> Any:
        values, column = arrival.row.values, "design"
        try:
            built = drawn.revision(values["design"], values["revision"])
            column = "home"
            home = _home(homes, values)
            refs = {"revision": built.pk, "home": home, "footprint": built.footprint_mm}
            return arrival._replace(refs=refs)
        except Refused as fault:
            return arrival.row.fault(column, fault.sentence)

    found = planned(sort(sheet, "enclosures", ImportNames(Enclosure.objects.all())), look)
    return replace(found, doubts=tuple(_too_large(found.new, homes)))


def write(new: Sequence[Arrival], by: Person) -> None:
    arrivals, made = [], []
    for arrival, code in coded(new, Enclosure):
        values = arrival.row.values
        facts = {name: values[name] for name in ("own_id", "label", "notes")}
        made.append(
            Enclosure(
                **facts,
                code=code,
                revision_id=arrival.refs["revision"],
                idempotency_key=arrival.idempotency_key,
                made_by=by,
            )
        )
        arrivals.append(arrival)
    Enclosure.objects.bulk_create(made, batch_size=AT_ONCE)
    together = list(zip(made, arrivals, strict=True))
    EnclosureEvent.objects.bulk_create(
        [
            EnclosureEvent(
                enclosure_id=one.pk,
                state=arrival.row.values["state"],
                on=arrival.row.values["since"],
                made_by=by,
            )
            for one, arrival in together
        ],
        batch_size=AT_ONCE,
    )
    _stand(together, by)
    _fit(together)
    Spot.objects.lay_missing()


def _stand(together: Sequence[tuple[Enclosure, Arrival]], by: Person) -> None:
    Standing.objects.bulk_create(
        [
            Standing(
                enclosure_id=one.pk,
                home_id=arrival.refs["home"],
                since=arrival.row.values["stands_since"] or arrival.row.values["since"],
                made_by=by,
            )
            for one, arrival in together
            if arrival.refs["home"]
        ],
        batch_size=AT_ONCE,
    )


def _fit(together: Sequence[tuple[Enclosure, Arrival]]) -> None:
    """The components that each design names; many enclosures are built from few designs."""
    wanted = {one.revision_id for one, _arrival in together}
    counts: dict[int, dict[str, int]] = {}
    for revision in DesignRevision.objects.filter(pk__in=wanted):
        structure = structure_of(revision.shape())
        counts[revision.pk] = components_of(structure) if structure else {}
    Component.objects.bulk_create(
        [
            Component(
                enclosure_id=one.pk, kind=kind, count=count, fitted_on=arrival.row.values["since"]
            )
            for one, arrival in together
            for kind, count in counts[one.revision_id].items()
        ],
        batch_size=AT_ONCE,
    )


def _too_large(new: Sequence[Arrival], homes: ImportNames) -> Iterator[ImportFault]:
    """Enclosures that fit their home neither way round, where that was measured."""
    by_key = {one["pk"]: one for one in homes.by_code.values()}
    for arrival in new:
        home = by_key.get(arrival.refs["home"])
        footprint = arrival.refs["footprint"]
        if home and Home(**{name: home[name] for name in LARGEST}).fits(*footprint) is False:
            sentence = message(
                "Its footprint is %(footprint)s; the largest that fits into %(home)s is "
                "%(largest)s. Measure again, or name another home.",
                footprint=_sides(footprint),
                home=home["name"],
                largest=_sides(home[name] for name in LARGEST),
            )
            yield arrival.row.fault("home", sentence)


def _sides(sides: Iterable[int]) -> str:
    return size(sides)


class _Built(NamedTuple):
    """A revision by its primary key, and its footprint from west to east and north to south."""

    pk: int
    footprint_mm: tuple[int, int]


class _Drawn:
    """Designs by code; what was asked once is not asked again."""

    def __init__(self) -> None:
        self._answers: dict[tuple[str, int | None], _Built | Refused] = {}

    def revision(self, code: str, number: int | None) -> _Built:
        """Raises ``Refused``."""
        key = (code, number)
        if key not in self._answers:
            try:
                self._answers[key] = _revision(code, number)
            except Refused as fault:
                self._answers[key] = fault
        answer = self._answers[key]
        if isinstance(answer, Refused):
            raise answer
        return answer


def _revision(code: str, number: int | None) -> _Built:
    design = Design.objects.with_revision().filter(code=code).first()
    if design is None:
        raise Refused(joined(" ", [message("No design has this code."), WHERE_CODES_ARE]))
    found = design.revisions.filter(number=number).first() if number else design.current
    if found is None:
        raise Refused(
            message(
                "“%(design)s” has no revision %(number)d. Correct the number, or leave it empty.",
                design=design.name,
                number=number or 0,
            )
        )
    shape = found.shape()
    if structure_of(shape) is None:
        raise Refused(
            message(
                "“%(design)s” is a draft and cannot be made yet. Finish it first.",
                design=design.name,
            )
        )
    return _Built(found.pk, footprint_mm(shape))


def _home(homes: ImportNames, values: Any) -> int | None:
    """Primary key of the home, None for one that stands in none. Raises ``Refused``."""
    if not values["home"]:
        return None
    home = homes.called(values["home"])
    if home is None:
        raise Refused(not_found(message("No home here has this code or number.")))
    if home["closed_on"]:
        raise Refused(
            message("%(home)s is closed. Reopen it first, or name another home.", home=home["name"])
        )
    key: int = home["pk"]
    return key
