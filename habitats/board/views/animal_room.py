"""Room for one animal that is here already: groups it could join, enclosures it could move into."""

from collections.abc import Container, Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from habitats.animals.models.animals import Animal
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.companions import companion_of, with_facts
from habitats.animals.pages.rows import animal_seen_by
from habitats.animals.pages.words import sex_in_a_line, species_words
from habitats.board.pages.cards import BARS, SpaceView
from habitats.board.pages.offers import OfferedCard, answer_to
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of_standing
from habitats.drawing.residence import residence_key
from habitats.people.access import coordinator_or_403
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.residence.pages.free_rooms import FOR_SO_MANY
from habitats.welfare.newcomers import Kind, Newcomers, kind_of
from habitats.welfare.quarantine import in_quarantine


@require_GET
def animal_room(request: HttpRequest, code: str) -> HttpResponse:
    """By the rules of Space; the animal itself is judged where it joins or moves."""
    person, today = coordinator_or_403(request), timezone.localdate()
    animal = animal_seen_by(person, code)
    if not animal.is_here:
        messages.error(
            request, _("%(animal)s is not in our care. Readmit it first.") % {"animal": animal}
        )
        return redirect("animal", code=animal.code)
    companion = companion_of(with_facts(Animal.objects.filter(pk=animal.pk), today)[0])
    is_apart = in_quarantine(companion, today, limits_of(Rescue.ours())) is not None
    shown = SpaceView(person.units, today, True)
    kinds = ((1, kind_of(companion, today)), *((number, Kind.FEMALE) for number in FOR_SO_MANY))
    joining, *moving = (
        answer_to(Newcomers(companion.species, number, kind, in_quarantine=is_apart), shown)
        for number, kind in kinds
    )
    ban = ClimbingBan.objects.on(today).filter(animal=animal).first()
    groups, free = joining.groups, _once([offer for answer in moving for offer in answer.free])
    ramps = _with_ramps([*groups, *free]) if ban else frozenset()
    context = {
        "animal": animal,
        "climbing": ban.sentence if ban and ramps else "",
        "about": f"{species_words(animal)}, {sex_in_a_line(animal)}",
        "is_apart": is_apart,
        "groups": _without(groups, ramps),
        # A free floor is asked for as at an intake: nobody is there to get on with.
        "free": _without(free, ramps),
        "bar": BARS[person.units],
        "key": residence_key(),
    }
    return render(request, "board/animal_room.html", context)


def _with_ramps(offers: Sequence[OfferedCard]) -> frozenset[int]:
    """Revisions of the designs that have a ramp."""
    keys = {one.card.reading.enclosure.revision_id for one in offers}
    built = DesignRevision.objects.in_bulk(keys)
    found = {key: structure_of_standing(one.shape()) for key, one in built.items()}
    return frozenset(key for key, structure in found.items() if structure and structure.ramps)


def _without(offers: Sequence[OfferedCard], revisions: Container[int]) -> list[OfferedCard]:
    return [one for one in offers if one.card.reading.enclosure.revision_id not in revisions]


def _once(offers: list[OfferedCard]) -> list[OfferedCard]:
    """Each enclosure the first time it is offered."""
    return list({one.card.reading.pk: one for one in reversed(offers)}.values())[::-1]
