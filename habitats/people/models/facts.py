"""Facts of people that two coordinators may change at once."""

from habitats.basis import Fact
from habitats.common.facts import fact
from habitats.people.models.people import Person


def password(person: Person) -> list[Fact]:
    return [fact(person, "password", "Password", person.password, "changed")]
