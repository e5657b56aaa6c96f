"""Starter designs: shown for one size of panel, and copied."""

import uuid
from dataclasses import replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from builds.designs.forms.starters import CopyStarterForm, StarterPanelForm, usual_panel
from builds.designs.pages.starters import StarterPage
from builds.making.starters import Starter
from habitats.common.sent import status_of
from habitats.designs.models.designs import Design
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.structure.read import LONGEST_NAME


@require_GET
def starter_designs(request: HttpRequest) -> HttpResponse:
    """For the panel that the address names, else for that of the newest design."""
    person = coordinator_or_403(request)
    usual = usual_panel()
    sent = request.GET if "size_mm" in request.GET else None
    form = StarterPanelForm(sent, units=person.units, panel=usual)
    panel = form.panel() if form.is_valid() else usual
    page = StarterPage(panel, Rescue.ours(), person.units)
    context = {"form": form, "page": page, "once": uuid.uuid4()}
    return render(request, "designs/starters.html", context, status=status_of(form))


@require_POST
def copy_starter(request: HttpRequest) -> HttpResponse:
    """A design of the rescue's own, on the drawing board."""
    person = coordinator_or_403(request)
    form = CopyStarterForm(request.POST)
    found = _asked(form, person) if form.is_valid() else None
    if found is None:
        messages.error(request, _("There is no such starter design. Choose one of these."))
        return redirect("builds:starter_designs")
    name = str(found.shape.name)[:LONGEST_NAME]
    key = uuid.uuid5(form.cleaned_data["once"], found.code)
    made = Design.objects.draw(replace(found.shape, name=name), by=person, idempotency_key=key)
    messages.success(request, _("“%(name)s” is yours now. Change it as you like.") % {"name": name})
    return redirect("builds:board", code=made.code)


def _asked(form: CopyStarterForm, person: Person) -> Starter | None:
    page = StarterPage(form.panel(), Rescue.ours(), person.units)
    return next((one for one in page.starters if one.code == form.cleaned_data["code"]), None)
