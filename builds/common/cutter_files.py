"""Which side of the sheet lies up in a file for a cutter: asked for in its address."""

from django.http import Http404, QueryDict
from django.utils.translation import gettext as _

from builds.making.lying import SideUp

ENDINGS = {SideUp.INSIDE: "", SideUp.OUTSIDE: "-outside-up"}


def side_up(given: QueryDict) -> SideUp:
    """As the address says, else the inside. Raises ``Http404`` for a side that no sheet has."""
    asked = given.get("up", SideUp.INSIDE)
    if asked not in ENDINGS:
        raise Http404(_("A sheet has an inside and an outside, no other side."))
    return SideUp(asked)


def ending_of(up: SideUp) -> str:
    """What the file's name ends with, so that the two are not mistaken for each other."""
    return ENDINGS[up]
