"""What a home has of a person of the team who is erased: how they were reached, and its name."""

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext as _

from habitats.homes.models.homes import Home, HomeContact
from habitats.people.models.erasing import person_erased
from habitats.people.models.named_after import NamedAfter, NameSearch, named_after_asked
from habitats.people.models.people import Person
from habitats.people.models.written_names import names_of, plain


def forget_homes(sender: object, person: Person, **_more: object) -> None:
    """Contacts in their name; of closed homes that nobody else looked after also pets, notes and
    what it is called. Where it is, which enclosures stood there and who lived in them stays.

    A home that they left before it was closed is known to be theirs by its contact.
    """
    names = names_of(person)
    contacts = HomeContact.objects.exclude(full_name="").values_list("home", "full_name")
    in_their_name = [home for home, name in contacts if plain(name) in names]
    shared = Home.objects.filter(people__in=Person.objects.exclude(pk=person.pk))
    alone = Home.objects.filter(models.Q(people=person) | models.Q(pk__in=in_their_name))
    alone = alone.filter(closed_on__isnull=False).exclude(pk__in=shared.values("pk"))
    ours = list(alone.values_list("pk", flat=True))
    HomeContact.objects.filter(home__in=[*ours, *in_their_name]).delete()
    Home.objects.filter(models.Q(pk__in=ours) | models.Q(same_as__in=ours)).update(
        name=models.F("code"), other_pets="", notes=""
    )


def homes_named_after(sender: object, names: NameSearch, **_more: object) -> list[NamedAfter]:
    """For ``named_after_asked``: those that are not merged into another."""
    found = Home.objects.filter(names.within("name"), same_as__isnull=True).by_name()
    return [
        NamedAfter(_("Home"), str(one), reverse("edit_home", args=[one.code]))
        for one in found
        if names.stands_in(one.name)
    ]


def listen() -> None:
    person_erased.connect(forget_homes, dispatch_uid="forget_homes")
    named_after_asked.connect(homes_named_after, dispatch_uid="homes_named_after")
