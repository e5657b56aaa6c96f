"""Facts of homes that two people may change at once."""

from django.utils.translation import gettext as _

from habitats.basis import Fact
from habitats.common.facts import fields_of
from habitats.homes.models.homes import HomeContact


def contact(found: HomeContact) -> list[Fact]:
    """Of the home, since a contact nobody has written yet has no row of its own."""
    of = f"contact of home {found.home_id}"
    labels = {
        "full_name": _("Full name"),
        "phone": _("Phone"),
        "email": _("Email"),
        "address": _("Address"),
    }
    return [one._replace(of=of) for one in fields_of(found, labels, labels)]
