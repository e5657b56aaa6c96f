"""A role's leaflet as PDF, for all who are logged in: help is no secret."""

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from builds.common.paper import print_of, shown
from builds.leaflets.paper import LEAFLETS, leaflet_page
from habitats.common.kept_prints import kept_pdf_from
from habitats.common.public_address import public_address
from habitats.people.access import signed_in
from habitats.rescue.models.rescue import Rescue


@require_GET
def leaflet_pdf(request: HttpRequest, role: str) -> HttpResponse:
    person = signed_in(request)
    if role not in LEAFLETS:
        raise Http404(_("There is no leaflet for this role."))
    link = public_address(request, reverse("help"))
    page = leaflet_page(LEAFLETS[role], Rescue.ours(), print_of(person, request.GET), link)
    return shown(kept_pdf_from(page), f"help-{role}.pdf")
