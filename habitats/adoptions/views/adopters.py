"""Adopters: found, written down, looked at."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from habitats.adoptions.forms.adopters import AdopterForm, FindAdoptersForm, NewAdopterForm
from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.merging import contrary, merge
from habitats.adoptions.models.wishes import Wish
from habitats.common.merge_pages import MOST_OFFERED, Merging, merging_page
from habitats.common.name_order import InNameOrder
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.views.based_on import accepted, based_on, of_form, row_of

ADOPTERS_A_PAGE, ADOPTIONS_SHOWN = 50, 50


@require_GET
def adopters(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    form = FindAdoptersForm(request.GET)
    found = form.found(Adopter.objects.all()).prefetch_related("adoptions__animals__animal")
    page = Paginator(InNameOrder(found.by_name()), ADOPTERS_A_PAGE).get_page(
        request.GET.get("page")
    )
    context = {"form": form, "page": page, "any": Adopter.objects.exists()}
    return render(request, "adoptions/adopters.html", context)


@require_http_methods(["GET", "POST"])
def new_adopter(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    form = NewAdopterForm(sent_with(request))
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        facts = {name: given[name] for name in ("name", "phone", "email", "address", "notes")}
        made = Adopter.objects.write_down(by=person, idempotency_key=given["once"], **facts)
        messages.success(request, _("Adopter saved."))
        return redirect("adopter", code=made.code)
    return form_page(request, "adoptions/new_adopter.html", form=form)


@require_GET
def adopter(request: HttpRequest, code: str) -> HttpResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Adopter.objects.select_related("same_as"), code=code.upper())
    if found.same_as:
        return redirect("adopter", code=found.same_as.code)
    adoptions = found.adoptions.with_state().with_names().latest_first()
    context = {
        "adopter": found,
        "adoptions": adoptions[:ADOPTIONS_SHOWN],
        "wishes": Wish.objects.filter(adopter=found).longest_first()[:ADOPTIONS_SHOWN],
        "today": timezone.localdate(),
    }
    return render(request, "adoptions/adopter.html", context)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Adopter), of_form(AdopterForm))
def edit_adopter(request: HttpRequest, code: str) -> HttpResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Adopter.objects.select_related("same_as"), code=code.upper())
    if found.same_as:
        return redirect("edit_adopter", code=found.same_as.code)
    if found.erased_on:
        return redirect("adopter", code=found.code)
    name = str(found)  # the form writes into the row, also what it then refuses
    form = AdopterForm(sent_with(request), instance=found)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Adopter saved."))
        return redirect("adopter", code=found.code)
    return form_page(request, "adoptions/edit_adopter.html", form=form, name=name, code=found.code)


@require_http_methods(["GET", "POST"])
def merge_adopter(request: HttpRequest, code: str) -> HttpResponse:
    """Two records of one adopter are made one."""
    person = coordinator_or_403(request)
    kept = get_object_or_404(Adopter.objects.by_name(), code=code.upper())
    others = Adopter.objects.by_name().exclude(pk=kept.pk)
    words = request.GET.get("words", "").strip() or kept.name
    page = Merging(
        kept=kept,
        double=others.filter(code=request.GET.get("other", "").upper()).first(),
        offered=others.named_like(words).by_name().distinct()[:MOST_OFFERED],
        contrary=contrary,
        merge=lambda one, other, chosen: merge(one, other, chosen, by=person),
        page="adopter",
        merge_page="merge_adopter",
        key=lambda row: row.code,
        moved=_("Adoptions and wishes of both are kept in one record."),
    )
    return merging_page(request, page)
