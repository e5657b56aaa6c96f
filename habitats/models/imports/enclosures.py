"""Enclosures from a file: built from a design that is here, standing in a home that is open."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from habitats.imports import Sheet
from habitats.imports.values import Refused
from habitats.models.designs import Design, DesignRevision
from habitats.models.enclosures import Component, Enclosure, EnclosureEvent, components_of
from habitats.models.homes import Home
from habitats.models.imports.plan import (
    AT_ONCE,
    HOW_TO_NAME,
    Arrival,
    Names,
    Plan,
    coded,
    planned,
    sort,
)
from habitats.models.people import Person
from habitats.models.spots import Spot
from habitats.models.stays import Standing
from habitats.models.structures import structure_of


def plan(sheet: Sheet, today: date) -> Plan:
    homes = Names(Home.objects.all(), "name", "closed_on")
    drawn = _Drawn()

    def look(arrival: Arrival) -> Any:
        values, column = arrival.row.values, "design"
        try:
            revision = drawn.revision(values["design"], values["revision"])
            column = "home"
            return arrival._replace(refs={"revision": revision, "home": _home(homes, values)})
        except Refused as fault:
            return arrival.row.fault(column, str(fault))

    return planned(sort(sheet, "enclosures", Names(Enclosure.objects.all())), look)


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
                once=arrival.once,
                made_by=by,
            )
        )
        arrivals.append(arrival)
    Enclosure.objects.bulk_create(made, batch_size=AT_ONCE)
    together = list(zip(made, arrivals, strict=True))
    EnclosureEvent.objects.bulk_create(
        [
            EnclosureEvent(
                enclosure=one,
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
                enclosure=one,
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
            Component(enclosure=one, kind=kind, count=count, fitted_on=arrival.row.values["since"])
            for one, arrival in together
            for kind, count in counts[one.revision_id].items()
        ],
        batch_size=AT_ONCE,
    )


class _Drawn:
    """Designs by code; what was asked once is not asked again."""

    def __init__(self) -> None:
        self._answers: dict[tuple[str, int | None], int | Refused] = {}

    def revision(self, code: str, number: int | None) -> int:
        """Primary key of the revision. Raises ``Refused``."""
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


def _revision(code: str, number: int | None) -> int:
    design = Design.objects.with_revision().filter(code=code).first()
    if design is None:
        raise Refused("No design has this code. Copy the code from the sheet of the design.")
    found = design.revisions.filter(number=number).first() if number else design.current
    if found is None:
        raise Refused(f"“{design.name}” has no revision {number}. Leave it empty, or correct it.")
    if structure_of(found.shape()) is None:
        raise Refused(f"“{design.name}” is a draft and cannot be made yet. Finish it first.")
    return found.pk


def _home(homes: Names, values: Any) -> int | None:
    """Primary key of the home, None for one that stands in none. Raises ``Refused``."""
    if not values["home"]:
        return None
    home = homes.called(values["home"])
    if home is None:
        raise Refused(f"No home here is called that. {HOW_TO_NAME}")
    if home["closed_on"]:
        raise Refused(f"{home['name']} is closed. Open it again first, or name another home.")
    key: int = home["pk"]
    return key
