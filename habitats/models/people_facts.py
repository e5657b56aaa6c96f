"""Facts of people that two coordinators may change at once."""

from habitats.basis import Fact
from habitats.models.facts import fact
from habitats.models.people import Person


def password(person: Person) -> list[Fact]:
    return [fact(person, "password", "Password", person.password, "changed")]
