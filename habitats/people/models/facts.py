"""Facts of people that two coordinators may change at once."""

from django.utils.translation import gettext as _

from habitats.basis import Fact
from habitats.common.facts import fact
from habitats.people.models.people import Person


def password(person: Person) -> list[Fact]:
    return [fact(person, "password", _("Password"), person.password, _("changed"))]
