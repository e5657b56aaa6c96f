"""Homes: who has enclosures, what fits there, who looks after it, and how to reach them."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from habitats.common import facts
from habitats.common.fields import A_KEY
from habitats.common.merge_pages import MOST_OFFERED, Merging, merging_page
from habitats.common.sent import form_page, sent_with
from habitats.homes.forms.absences import AbsenceEndForm, AbsenceForm
from habitats.homes.forms.homes import ContactForm, HomeForm, NewPersonOfHomeForm
from habitats.homes.models import facts as home_facts
from habitats.homes.models.homes import Home, HomeContact
from habitats.homes.models.merging import cautions, contrary, merge
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed, row_of

HOMES_A_PAGE, STANDINGS_SHOWN = 30, 50
FOSTER = Person.Role.FOSTER


@require_http_methods(["GET", "POST"])
def new_home(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    form = HomeForm(sent_with(request), units=person.units)
    if request.method == "POST" and form.is_valid():
        made = form.take_on(by=person)
        messages.success(
            request,
            _("%(home)s added. Next, add its people and its enclosures.") % {"home": made},
        )
        return redirect("home_page", code=made.code)
    return form_page(request, "homes/new_home.html", form=form)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Home), of_form(HomeForm))
def edit_home(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    home = home_seen_by(person, code)
    name = str(home)  # the form writes into the home, also what it then refuses
    form = HomeForm(sent_with(request), instance=home, units=person.units)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Changes to %(home)s saved.") % {"home": home})
        return redirect("home_page", code=home.code)
    return form_page(request, "homes/edit_home.html", form=form, name=name, code=home.code)


def _contact(_request: HttpRequest, code: str) -> HomeContact:
    """How to reach the home; one that nobody has written yet is empty."""
    home = get_object_or_404(Home, code=code.upper())
    return HomeContact.objects.filter(home=home).first() or HomeContact(home=home)


@never_cache
@require_http_methods(["GET", "POST"])
@based_on(_contact, home_facts.contact)
def home_contact(request: HttpRequest, code: str) -> HttpResponse:
    """How to reach a home: its own people read it, coordinators write it."""
    person = member_or_403(request, FOSTER)
    home = home_seen_by(person, code)
    if not HomeContact.may_be_seen_by(person, home):
        raise PermissionDenied(_("Ask a coordinator if you need to contact this home."))
    contact = HomeContact.objects.filter(home=home).first() or HomeContact(home=home)
    if not person.is_coordinator:
        return render(request, "homes/contact.html", {"home": home, "contact": contact})
    form = ContactForm(sent_with(request), instance=contact)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Contact of %(home)s saved.") % {"home": home})
        return redirect("home_page", code=home.code)
    return form_page(request, "homes/contact.html", form=form, home=home)


@require_http_methods(["GET", "POST"])
def home_people(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    home = home_seen_by(person, code)
    form = NewPersonOfHomeForm(sent_with(request), home=home)
    if request.method == "POST" and form.is_valid():
        added = form.cleaned_data["person"]
        home.people.add(added)
        messages.success(
            request,
            _("%(person)s now looks after %(home)s and sees its animals.")
            % {"person": added, "home": home},
        )
        return redirect("home_people", code=home.code)
    people = home.people.order_by("first_name", "username", "pk")
    return form_page(request, "homes/people.html", form=form, home=home, people=people)


@require_POST
def leave_home(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Somebody no longer looks after a home."""
    person = coordinator_or_403(request)
    home = home_seen_by(person, code)
    leaving = get_object_or_404(home.people, pk=pk)
    home.people.remove(leaving)
    messages.success(
        request,
        _("%(person)s no longer looks after %(home)s or sees its animals.")
        % {"person": leaving, "home": home},
    )
    return redirect("home_people", code=home.code)


@require_http_methods(["GET", "POST"])
def new_absence(request: HttpRequest, code: str) -> HttpResponse:
    """Its own people may say so themselves. ``?instead=7``: that one is changed, or covered."""
    person = member_or_403(request, FOSTER)
    home, today = home_seen_by(person, code), timezone.localdate()
    instead = request.GET.get("instead", "")
    running = home.absences.not_over(today)
    earlier = running.filter(pk=instead).first() if A_KEY.fullmatch(instead) else None
    form = AbsenceForm(sent_with(request), home=home, today=today, earlier=earlier)
    if request.method == "POST" and form.is_valid():
        absence = form.record(by=person)
        words = _("Absence of %(home)s recorded: %(absence)s.")
        messages.success(request, words % {"home": home, "absence": absence.words})
        return redirect("home_page", code=home.code)
    return form_page(request, "homes/new_absence.html", form=form, home=home)


@require_http_methods(["GET", "POST"])
def end_absence(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """They are back, or did not go; one that ended already stays as it is."""
    person = member_or_403(request, FOSTER)
    home, today = home_seen_by(person, code), timezone.localdate()
    absence = get_object_or_404(home.absences.select_related("end"), pk=pk)
    form = AbsenceEndForm(sent_with(request), absence=absence, today=today)
    if request.method == "POST" and form.is_valid():
        form.end(by=person)
        messages.success(request, _("Absence of %(home)s ended.") % {"home": home})
        return redirect("home_page", code=home.code)
    page = {"form": form, "home": home, "absence": absence}
    return form_page(request, "homes/end_absence.html", **page)


@require_POST
@based_on(row_of(Home), facts.closed)
def reopen_home(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    refuse_if_changed(request)
    home = home_seen_by(person, code)
    home.reopen()
    messages.success(request, _("%(home)s is open again.") % {"home": home})
    return redirect("home_page", code=home.code)


@require_http_methods(["GET", "POST"])
def merge_home(request: HttpRequest, code: str) -> HttpResponse:
    """Two records of one home are made one."""
    person = coordinator_or_403(request)
    kept = home_seen_by(person, code)
    others = Home.objects.exclude(pk=kept.pk).filter(same_as__isnull=True)
    words = request.GET.get("words", "").strip() or kept.name
    page = Merging(
        kept=kept,
        double=others.filter(code=request.GET.get("other", "").upper()).first(),
        offered=others.named_like(words).by_name()[:MOST_OFFERED],
        contrary=contrary,
        merge=lambda one, other, chosen: merge(one, other, chosen, by=person),
        page="home_page",
        merge_page="merge_home",
        key=lambda row: row.code,
        moved=_("Enclosures, people, linens and builds of both belong to one home then."),
        cautions=cautions,
    )
    return merging_page(request, page)


def home_seen_by(person: Person, code: str) -> Home:
    """The code of a record that was merged leads to the one that was kept."""
    kept = Home.objects.filter(code=code.upper()).values_list("same_as__code", flat=True).first()
    return get_object_or_404(Home.objects.cared_for_by(person), code=kept or code.upper())
