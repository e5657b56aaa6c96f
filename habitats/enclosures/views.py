"""Enclosures: set up from a design, what state they are in, where they stand."""

from datetime import date

from django.contrib import messages
from django.core.paginator import Paginator
from django.core.validators import slug_re
from django.db import models
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.common.written import given, written
from habitats.enclosures.forms import EnclosureForm, FindEnclosuresForm, NewEnclosureForm
from habitats.enclosures.models.enclosures import Enclosure, EnclosureQuerySet
from habitats.enclosures.models.standing import Standing
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, row_of

ENCLOSURES_A_PAGE = 30
COORDINATOR, BUILDER, FOSTER, _LAUNDRY = Person.Role


@require_GET
def enclosures(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, BUILDER, FOSTER)
    today = timezone.localdate()
    seen = Enclosure.objects.visible_to(person, today)
    form = FindEnclosuresForm(request.GET)
    where = Standing.objects.on(today).select_related("home")
    found = (
        form.found(seen)
        .select_related("revision__design")
        .prefetch_related(models.Prefetch("standings", where, to_attr="standing_now"))
        .by_label()
    )
    context = {
        "form": form,
        "enclosures": Paginator(found, ENCLOSURES_A_PAGE).get_page(request.GET.get("page")),
        "any": seen.exists(),
    }
    return render(request, "enclosures/enclosures.html", context)


@require_http_methods(["GET", "POST"])
def new_enclosure(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    asked = {"home": request.GET.get("home"), "design": request.GET.get("design")}
    form = NewEnclosureForm(
        sent_with(request), initial=asked, today=timezone.localdate(), units=person.units
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = form.set_up(by=person)
        except Elsewhere as reason:
            form.add_error("day", str(reason))
        else:
            messages.success(request, _("%(enclosure)s added.") % {"enclosure": made})
            return redirect("enclosure", code=made.code)
    home = request.GET.get("home", "")
    # An address may name anything as a home; what can be no code has no page to go back to.
    back = reverse("home_page", args=[home]) if slug_re.match(home) else reverse("enclosures")
    return form_page(request, "enclosures/new_enclosure.html", form=form, back=back)


@require_GET
def short_link(request: HttpRequest, code: str) -> HttpResponse:
    """What the code on an enclosure's card says; scanned at a stranger's, it says why not."""
    person = member_or_403(request, BUILDER, FOSTER)
    try:
        return redirect("enclosure", code=enclosure_seen_by(person, code).code)
    except Http404:
        sentence = _("No enclosure here has the code %(code)s. Ask a coordinator.")
        if not person.has_role(COORDINATOR, BUILDER):
            sentence = _(
                "No enclosure that you look after has the code %(code)s. Ask a coordinator."
            )
        sentence %= {"code": code.upper()[:20]}
        return render(request, "404.html", {"sentence": sentence}, status=404)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), of_form(EnclosureForm))
def edit_enclosure(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = enclosure_seen_by(person, code)
    label = found.label  # the form writes into the enclosure, also what it then refuses
    form = EnclosureForm(sent_with(request), instance=found)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Changes saved. Print a new enclosure card."))
        return redirect("enclosure", code=found.code)
    return form_page(
        request, "enclosures/edit_enclosure.html", form=form, label=label, code=found.code
    )


def enclosure_seen_by(person: Person, code: str) -> Enclosure:
    """With its state and design. Raises ``Http404`` for one that they do not see."""
    asked = {"code": code.upper()}
    if person.has_role(COORDINATOR, BUILDER):
        found = _OF_CODE.first(**asked)
    elif person.has_role(FOSTER):
        found = _OWN_OF_CODE.first(**asked, person=person, day=timezone.localdate())
    else:
        found = None
    if found is None:
        raise Http404("No enclosure of that code is seen by this person.")
    return found


def _with_all(some: EnclosureQuerySet) -> EnclosureQuerySet:
    return some.filter(code=given("code", str)).with_state().select_related("revision__design")


_OF_CODE = written(lambda: _with_all(Enclosure.objects.all()))
_OWN_OF_CODE = written(
    lambda: _with_all(Enclosure.objects.all()).filter(
        pk__in=Standing.objects.on(given("day", date))
        .filter(home__people=given("person", Person))
        .values("enclosure")
    )
)
