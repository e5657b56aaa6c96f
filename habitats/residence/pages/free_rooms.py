"""Enclosures that stand free for animals in quarantine, by the rules of the page of space."""

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import product

from django.utils.translation import gettext as _

from habitats.animals.forms.intake import PlaceChoice
from habitats.animals.models.animals import Animal
from habitats.enclosures.models.enclosures import Enclosure
from habitats.readings.models.placing import homes_today, room_today
from habitats.readings.models.readings import Reading
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import rules_of, verdict_for
from habitats.traces.models.tracing import suspected_now
from habitats.welfare.companion import Companion
from habitats.welfare.holding import MOST_TRIED
from habitats.welfare.newcomers import Kind, Newcomers
from habitats.welfare.placing import OfferCaution, RoomOffer
from habitats.welfare.values import Species

MOST_OFFERED = 40
# First those with room for a pair: a standard that forbids one alone has no floor for it.
FOR_SO_MANY = (2, 1)


def free_rooms(today: date) -> list[PlaceChoice]:
    """For newcomers of each species, those first that suit them best."""
    suspected, homes = suspected_now(today), homes_today(today)
    found: dict[str, PlaceChoice] = {}
    for species, number in product(Species, FOR_SO_MANY):
        coming = Newcomers(species, number, Kind.FEMALE, in_quarantine=True)
        rooms = room_today(
            coming,
            today,
            suspected,
            most_offers=MOST_OFFERED,
            most_declined=0,
            homes=homes,
            only_free=True,
        )
        for one in rooms.free:
            words = _words(one, rooms.readings[one.enclosure])
            found.setdefault(one.enclosure, PlaceChoice(one.enclosure, words, species))
    return list(found.values())


def has_space(code: str, companions: Sequence[Companion], day: date) -> bool | None:
    """As the chosen standard has it; None where nothing judges it."""
    enclosure = Enclosure.objects.with_shape().get(code=code)
    structure = enclosure.structure()
    rules = rules_of(Rescue.ours(), companions[0].species)
    # One alone is a matter of company, which is asked for itself: its floor is that of a pair.
    living = companions if len(companions) > 1 else [*companions, *companions]
    verdict = verdict_for(structure, living, day, rules) if structure else None
    return verdict.passes if verdict else None


def species_of_the_last() -> str:
    """Of whom came last: the next ones are likely to be the same."""
    last = Animal.objects.order_by("-pk").first()
    return last.species if last else Species.GUINEA_PIG.value


def _words(offer: RoomOffer, reading: Reading) -> str:
    place = ", ".join(str(one) for one in (reading.enclosure, reading.home) if one)
    return ": ".join(part for part in (place, ", ".join(_about(offer))) if part)


def _about(offer: RoomOffer) -> Iterator[str]:
    if offer.takes is not None:
        pattern = (
            _("takes %(number)d or more") if offer.takes >= MOST_TRIED else _("takes %(number)d")
        )
        yield pattern % {"number": offer.takes}
    yield from filter(None, map(_caution, offer.cautions))


def _caution(caution: OfferCaution) -> str:
    if caution.code == "not_isolated":
        return _("other animals, no free isolation place")
    return _("in no home") if caution.code == "no_home" else ""
