"""Enclosures in a list: drawn to one scale, who lives there, what the space standard says."""

from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from habitats.animals.models.groups import Group
from habitats.drawing.residence import Residence
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.measures import area, area_needed
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.rescue.pages.floor_pictures import picture_of, scale_for
from habitats.rescue.pages.verdicts import SpaceResult, no_figure
from habitats.wording import listed


class EnclosureRow(NamedTuple):
    reading: Reading
    enclosure: Enclosure
    group: Group | None
    who: str
    result: SpaceResult
    picture: str

    @property
    def state(self) -> str:
        return str(EnclosureState(self.reading.state).label)


def rows_of(readings: ReadingQuerySet, person: Person) -> list[EnclosureRow]:
    """The readings' enclosures by label, drawn to one scale, with one query."""
    related = readings.select_related("enclosure", "group")
    drawn = [(one, one.residence()) for one in related.order_by("enclosure__label", "enclosure")]
    scale = scale_for([residence for _one, residence in drawn])
    return [_row(one, residence, person.units, scale) for one, residence in drawn]


def _row(reading: Reading, residence: Residence, units: str, scale: float) -> EnclosureRow:
    names = [name for _code, name, _share in reading.residents]
    return EnclosureRow(
        reading=reading,
        enclosure=reading.enclosure,
        group=reading.group,
        who=who(reading),
        result=space_result(reading, units),
        picture=picture_of(residence, reading.enclosure.label, names, units, scale, has_north=True),
    )


def who(reading: Reading) -> str:
    """The animals by name; empty where nobody lives."""
    names = [name for _code, name, _share in reading.residents]
    return str(listed(names))


def space_result(reading: Reading, units: str) -> SpaceResult:
    if not reading.animals:
        is_free = reading.group_id is None and reading.is_ready_for_more
        return SpaceResult("untold", _("Free") if is_free else pgettext("an enclosure", "Empty"))
    if reading.required_mm2 is None:
        return SpaceResult("untold", _("Not checked: no space standard is chosen"))
    if reading.lacking_mm2:
        area_lacking = area_needed(reading.lacking_mm2, units)
        return SpaceResult("lacks", _("%(area)s too small") % {"area": str(area_lacking)})
    if reading.passes is False:
        return SpaceResult("lacks", _("Floor area is enough; other points are not"))
    if reading.passes is None:
        return SpaceResult("untold", no_figure(reading.animals, reading.species))
    return SpaceResult(
        "passes", _("Enough; %(area)s free") % {"area": str(area(reading.spare_mm2, units))}
    )
