"""Facts of homes that two people may change at once."""

from habitats.basis import Fact
from habitats.common.facts import fields_of
from habitats.homes.models.homes import HomeContact


def contact(found: HomeContact) -> list[Fact]:
    """Of the home, since a contact nobody has written yet has no row of its own."""
    of = f"contact of home {found.home_id}"
    names = ("full_name", "phone", "email", "address")
    return [one._replace(of=of) for one in fields_of(found, names)]
