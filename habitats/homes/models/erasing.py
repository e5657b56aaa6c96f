"""What a home has of a person of the team who is erased: how they were reached."""

from habitats.homes.models.homes import Home, HomeContact
from habitats.people.models.erasing import person_erased
from habitats.people.models.people import Person


def forget_contact(sender: object, person: Person, **_more: object) -> None:
    """Of closed homes that nobody else looked after: the name, address and phone are theirs."""
    shared = Home.objects.filter(people__in=Person.objects.exclude(pk=person.pk))
    alone = person.homes.filter(closed_on__isnull=False).exclude(pk__in=shared.values("pk"))
    HomeContact.objects.filter(home__in=alone.values("pk")).delete()


def listen() -> None:
    person_erased.connect(forget_contact, dispatch_uid="forget_contact")
