"""What an animal's leaving and coming back, written down elsewhere, mean for its adoption."""

from datetime import date

from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import AdoptedAnimal, AdoptionState
from habitats.adoptions.models.deaths import AdopterDeath
from habitats.animals.models.acts import Act
from habitats.animals.models.animals import Animal
from habitats.animals.models.joining import WrongReason
from habitats.common.happened import Elsewhere


def end_when_it_left(sender: object, animal: Animal, on: date, why: str, **_signal: object) -> None:
    """For ``animal_left``: one that died or went elsewhere is adopted by nobody; one that is
    adopted goes with its adoption, which says so first (``adopt``)."""
    if why != Animal.Leaving.ADOPTED:
        AdoptedAnimal.objects.open().filter(animal=animal).update(ended_on=on)
        return
    running = AdoptedAnimal.objects.of([animal.pk]).get(animal.pk)
    if running and vars(running)["state"] != AdoptionState.ADOPTED:
        raise WrongReason(
            _(
                "%(animal)s is reserved for %(adopter)s, or on trial there. Record the adoption "
                "on the page of that reservation."
            )
            % {"animal": animal, "adopter": running.adoption.adopter}
        )


def end_when_it_is_back(sender: object, animal: Animal, **_signal: object) -> None:
    """For ``animal_back``: readmitted on its own page, it is with its adopter no longer."""
    if AdopterDeath.objects.of([animal.pk]):
        raise Elsewhere(
            _("%(animal)s died with its adopter. Mark that as wrong first, on the adoption’s page.")
            % {"animal": animal}
        )
    AdoptedAnimal.objects.open().filter(animal=animal).update(ended_on=timezone.localdate())


def reopen_when_it_never_came_back(sender: object, act: Act, **_: object) -> None:
    """For ``readmission_undone``: what ``end_when_it_is_back`` ended goes on."""
    if act.left_why != Animal.Leaving.ADOPTED:
        return
    ended = AdoptedAnimal.objects.filter(
        animal=act.animal, ended_on=timezone.localdate(act.made_at)
    )
    adopted = ended.filter(adoption__events__state=AdoptionState.ADOPTED)
    last = adopted.order_by("-pk").first()
    if last is not None:
        last.ended_on = None
        last.save(update_fields=["ended_on"])
