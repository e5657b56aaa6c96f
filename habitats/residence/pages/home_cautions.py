"""What to weigh before a group moves into a home: its limits, its absences, its other pets."""

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.animals.models.home_limits import LimitPassed, away_now, numbers_passed
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import Home
from habitats.readings.models.readings import Reading
from habitats.structure.structure import Structure
from habitats.welfare.companion import Companion
from habitats.welfare.words import MANY
from habitats.wording import listed


class HomesThere:
    """Who lives in some homes today, the group that moves left out, and who is away."""

    def __init__(self, homes: Collection[int], today: date, *, without: int) -> None:
        self.animals: Counter[int] = Counter()
        self.lived_in: Counter[int] = Counter()
        self.quarantined: Counter[int] = Counter()
        standing = Standing.objects.on(today).filter(home__in=homes).values("enclosure")
        fresh = Reading.objects.fresh(today, pk__in=standing)
        inside = fresh.filter(home__in=homes, group__isnull=False)
        facts = inside.exclude(group=without).values_list("home", "animals", "in_quarantine")
        for home, animals, in_quarantine in facts:
            self.animals[home] += animals
            self.lived_in[home] += animals > 0
            self.quarantined[home] += in_quarantine
        self.absences = Absence.objects.all().by_home(homes, today)


@dataclass(frozen=True, slots=True)
class GroupComing:
    """A group on its way. ``apart``: names of those in quarantine."""

    companions: Sequence[Companion]
    apart: Sequence[str]

    def cautions(self, home: Home, there: HomesThere, structure: Structure | None) -> Iterator[str]:
        yield from (one.sentence for one in self.limits_passed(home, there))
        yield from self._of_quarantine(home, there)
        yield from self._of_species(home)
        if home.needs_lids and structure is not None and not structure.design.lid:
            yield _("%(home)s has other pets (%(pets)s), and this enclosure has no lid.") % {
                "home": home,
                "pets": home.get_pet_kinds_display(),
            }

    def limits_passed(self, home: Home, there: HomesThere) -> Iterator[LimitPassed]:
        """As at the door of the home, with these animals in it."""
        if absence := there.absences.get(home.pk):
            yield away_now(home, absence)
        animals = there.animals[home.pk] + len(self.companions)
        yield from numbers_passed(home, there.lived_in[home.pk] + 1, animals)

    def _of_quarantine(self, home: Home, there: HomesThere) -> Iterator[str]:
        """Animals in quarantine want a place apart from the others of a home."""
        ill = there.quarantined[home.pk]
        if not self.apart and ill > home.isolation_places:
            yield _("Animals in quarantine live in this home without an isolation place.")
        if not self.apart or ill < home.isolation_places or not there.animals[home.pk]:
            return
        caution = ngettext(
            "%(animals)s is in quarantine. %(home)s has other animals and no free isolation place.",
            "%(animals)s are in quarantine. "
            "%(home)s has other animals and no free isolation place.",
            len(self.apart),
        )
        yield caution % {"animals": str(listed(self.apart)), "home": home}

    def _of_species(self, home: Home) -> Iterator[str]:
        species = self.companions[0].species
        if home.species and species not in home.species:
            yield _("%(home)s has no experience with %(species)s.") % {
                "home": home,
                "species": MANY[species],
            }
