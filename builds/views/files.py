"""Design files: out as they are, in with every fault named."""

import json
import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from builds.forms.designs import ImportForm
from habitats.access import coordinator_or_403, member_or_403
from habitats.models import Design, Person
from habitats.structure.read import document_of


@require_GET
def design_file(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    designs = Design.objects.visible_to(person).with_revision()
    design = get_object_or_404(designs, code=code.upper())
    text = json.dumps(document_of(design.shape()), ensure_ascii=False, indent=2) + "\n"
    name = f"{slugify(design.name)[:40] or 'design'}-{design.code}.json"
    return HttpResponse(
        text,
        content_type="application/json; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


@require_http_methods(["GET", "POST"])
def import_design(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    form = ImportForm(request.POST or None, request.FILES or None, initial={"once": uuid.uuid4()})
    if request.method == "POST" and form.is_valid():
        made = Design.objects.draw(form.shape(), by=person, once=form.cleaned_data["once"])
        return redirect("builds:board" if made.faults() else "builds:design", code=made.code)
    status = 422 if request.method == "POST" else 200
    return render(request, "builds/import_design.html", {"form": form}, status=status)
