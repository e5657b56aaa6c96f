"""A kit of ours is checked as the enclosure of an adoption."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.kits.forms.kit_adoption import KitAdoptionForm
from builds.kits.models.kits import Packing
from builds.kits.pages.kit_seen import kit_seen_by
from habitats.adoptions.models.adoptions import Adoption
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.steps import OPEN
from habitats.common.idempotency import get_or_make
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403


@require_http_methods(["GET", "POST"])
def kit_adoption(request: HttpRequest, code: str) -> HttpResponse:
    """Choose the adoption; its page then says whether the kit is enough for the animals."""
    person = coordinator_or_403(request)
    found = kit_seen_by(person, code)
    revision = Packing(found).plan.revision
    going = Adoption.objects.in_state(*OPEN).filter(species=revision.design.species)
    offered = going.with_names().latest_first()
    form = KitAdoptionForm(sent_with(request), offered=offered)
    if request.method == "POST" and form.is_valid():
        adoption: Adoption = form.cleaned_data["adoption"]
        get_or_make(
            HomeCheck.objects,
            form.cleaned_data["once"],
            adoption=adoption,
            kind=HomeCheck.Kind.KIT,
            on=timezone.localdate(),
            revision=revision,
            note=found.code,
            made_by=person,
        )
        messages.success(request, _("Enclosure saved. The result is below."))
        return redirect("adoption", code=adoption.code)
    return form_page(request, "kits/adoption.html", build=found, form=form, any=offered.exists())
