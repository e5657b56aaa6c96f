"""The demo's overrides: one that holds, and one whose reason holds no longer."""

from datetime import date
from random import Random
from typing import NamedTuple

from django.db import transaction

from builds.demo.rows import Network
from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group, Membership, Override
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import objections_to

SEED = 23


class ToldOverride(NamedTuple):
    """Of the group with this animal; given so many days ago."""

    animal: str
    code: str
    ago: int
    reason: str


OVERRIDES = (
    ToldOverride("Parsnip", "possible_litter", 10, "The vet felt two young, and is on call."),
    # He was parted from the other since, and came back.
    ToldOverride("Ginger", "two_males", 80, "They grew up together and share one hay rack."),
)


@transaction.atomic
def fill_overrides(by: Person, today: date) -> None:
    """Write down what a coordinator decided; nothing where anybody did already."""
    if Override.objects.exists():
        return
    net = Network(by, today, Random(SEED))
    for told in OVERRIDES:
        living = Membership.objects.open().filter(animal__name=told.animal).first()
        if living:
            _override(net, told, living.group)
    net.write()
    Reading.objects.forget()


def _override(net: Network, told: ToldOverride, group: Group) -> None:
    companions = companions_of(animals_by_group([group.pk], net.today)[group.pk])
    for objection in objections_to(companions, net.today, Rescue.ours()):
        if objection.code == told.code:
            net.happened(
                Override,
                group=group,
                key=objection.key,
                sentence=objection.sentence,
                reason=told.reason,
                is_block=False,
                made_at=net.moment(told.ago),
            )
