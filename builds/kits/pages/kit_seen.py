"""What views of kits share: the kit a person may see, its receipt, the address of a link."""

from django.http import Http404
from django.urls import reverse
from django.utils.translation import gettext as _

from builds.building.views.builds import build_seen_by
from builds.kits.models.kit_links import KitLink
from builds.kits.models.receipts import KitReceipt
from builds.plans.models.builds import Build
from habitats.people.models.people import Person


def kit_seen_by(person: Person, code: str) -> Build:
    """The kit, if the person may see it; else there is no such page."""
    found = build_seen_by(person, code)
    if not found.is_kit:
        raise Http404(_("This build has no adopter, so it is not a kit."))
    return found


def receipt_of(build: Build) -> KitReceipt | None:
    """None as long as it is not handed over."""
    return KitReceipt.objects.filter(build=build).first()


def link_address(link: KitLink) -> str:
    """Where it is opened, from the root of the site."""
    return reverse("builds:adopter", args=[link.token])
