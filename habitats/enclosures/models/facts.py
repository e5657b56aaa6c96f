"""Facts of enclosures that two people may change at once."""

from django.utils.translation import gettext as _

from habitats.basis import Fact
from habitats.common.facts import fact
from habitats.common.written import given, written
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.living import LIVES_THERE
from habitats.enclosures.models.standing import Standing


def state(enclosure: Enclosure) -> Fact:
    now = enclosure.state_now()
    return fact(enclosure, "state", _("State"), now, EnclosureState(now).label)


def home_of(enclosure: Enclosure) -> Fact:
    standing = _STANDS_IN.first(enclosure=enclosure)
    home = standing.home if standing else None
    return fact(enclosure, "home", _("Stands in"), home.pk if home else None, home or _("no home"))


def resident(enclosure: Enclosure) -> Fact:
    stay = LIVES_THERE.first(enclosure=enclosure)
    group = stay.group if stay else None
    return fact(
        enclosure,
        "group",
        _("Animals there"),
        group.pk if group else None,
        group or _("no animals"),
    )


def as_built(enclosure: Enclosure) -> list[Fact]:
    revision = enclosure.revision
    return [fact(enclosure, "revision", _("Design as built"), revision.pk, revision)]


def use_of(enclosure: Enclosure) -> list[Fact]:
    return [state(enclosure), resident(enclosure)]


def where_it_stands(enclosure: Enclosure) -> list[Fact]:
    return [home_of(enclosure), resident(enclosure)]


def all_of(enclosure: Enclosure) -> list[Fact]:
    """For what changes the whole of it: an alteration, a retirement."""
    return [state(enclosure), home_of(enclosure), resident(enclosure), *as_built(enclosure)]


_STANDS_IN = written(
    lambda: (
        Standing.objects.filter(enclosure=given("enclosure", Enclosure))
        .open()
        .select_related("home")
        .order_by("pk")[:1]
    )
)
