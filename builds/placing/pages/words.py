"""What groups and places are called on the page of a placing."""

from collections.abc import Container, Iterable

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.placing.models.case_today import RescueToday
from habitats import measures
from habitats.animals.pages.members import called
from habitats.placement.values import Miss, MissReason, PlaceToLive
from habitats.placement.words import miss_words
from habitats.wording import by_number, listed


class Naming:
    """For who reads these units. ``away``: codes of homes that take nobody by hand."""

    def __init__(self, rescue: RescueToday, units: str, away: Container[str] = ()) -> None:
        self._rescue, self.units, self._away = rescue, units, away

    def group(self, ref: str) -> str:
        names = [one.name for one in self._rescue.companions.get(ref, ())]
        if ref in self._rescue.loose:
            return names[0]
        return called(self._rescue.groups[ref], names)

    def animals(self, refs: Iterable[str]) -> str:
        """All of these groups, by name."""
        names = (one.name for ref in refs for one in self._rescue.companions[ref])
        return listed(sorted(names, key=by_number))

    def page(self, ref: str) -> str:
        """The address of the page of a group, or of an animal that is in none."""
        loose = self._rescue.loose.get(ref)
        return reverse("animal", args=[loose.ref]) if loose else reverse("group", args=[ref])

    def groups(self, refs: Iterable[str]) -> str:
        """By name."""
        return listed(sorted(self.group(ref) for ref in refs))

    def anything(self, ref: str) -> str:
        """A group, an enclosure or a home."""
        if ref in self._rescue.groups or ref in self._rescue.loose:
            return self.group(ref)
        if ref in self._rescue.readings or ref in self._rescue.to_come:
            return self.enclosure(ref)
        return str(self._rescue.homes.get(ref, ref))

    def enclosure(self, ref: str) -> str:
        """With its home."""
        if ref in self._rescue.to_come:
            one = self._rescue.to_come[ref]
            return f"{one.label}, {one.home or _('a home of its own')}"
        reading = self._rescue.readings[ref]
        return ", ".join(str(one) for one in (reading.enclosure, reading.home) if one)

    def place(self, place: PlaceToLive | None) -> str:
        """Empty: into a carrier, or from nowhere."""
        if place is None:
            return ""
        if place.enclosure is not None:
            return self.enclosure(place.enclosure)
        design, home = place.design or "", place.home or ""
        return f"{self._rescue.designs[design].design.name}, {self._rescue.homes[home]}"

    def start(self, place: PlaceToLive | None) -> str:
        """Where they live now, without its area: who moves them knows it."""
        reading = self._rescue.readings.get((place.enclosure if place else None) or "")
        if reading is None or reading.home is None:
            return self.place(place)
        return f"{reading.enclosure}, {reading.home.name}"

    def miss(self, miss: Miss) -> str:
        """Why a place does not do; of a home that is away with the days."""
        home = self._rescue.homes.get(miss.place.home or "")
        absence = self._rescue.absence_today(home) if home else None
        if miss.reason is MissReason.AWAY and absence:
            return absence.words
        if miss.reason is MissReason.AWAY and home and home.code in self._away:
            return _("your wish is that %(home)s takes nobody") % {"home": home}
        if miss.reason is MissReason.AWAY and home and home.is_closed:
            return _("the home is closed")
        return miss_words(miss, self.anything, self.area)

    def area(self, mm2: int) -> str:
        return measures.area_needed(mm2, self.units)
