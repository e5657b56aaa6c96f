"""What a scan finds: a linen's label is a link, which a phone's own camera reads."""

from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from habitats.common.sent import form_page, sent_with
from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.forms.scans import LinenStateForm, ScanForm, state_choices
from habitats.linens.models import facts
from habitats.linens.models.dues import LinenDue, dues_of
from habitats.linens.models.linens import InvalidTransition, Linen
from habitats.linens.models.releasing import release_of
from habitats.linens.models.spots import Spot
from habitats.linens.models.tasks import next_wash_words
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.rotation.states import State

COORDINATOR, _BUILDER, FOSTER, LAUNDRY = Person.Role
MOST_SPOTS = 20
NOT_FOUND, UNPROCESSABLE = 404, 422


@require_GET
def scan(request: HttpRequest) -> HttpResponse:
    """A label typed by hand, where no camera is at hand: on to its linen."""
    person, today = member_or_403(request, FOSTER, LAUNDRY), timezone.localdate()
    sent = request.GET if "label" in request.GET else None
    form = ScanForm(sent, seen=Linen.objects.visible_to(person, today))
    if form.is_valid():
        return redirect("linen_link", label=form.cleaned_data["label"].label)
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "linens/scan.html", {"form": form}, status=status)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Linen, "label"), facts.state_of_linen)
def linen_link(request: HttpRequest, label: str) -> HttpResponse:
    """One linen in the hand: what it is, where it could go, what may be said of it."""
    person, today = member_or_403(request, FOSTER, LAUNDRY), timezone.localdate()
    scanned = ScanForm({"label": label}, seen=Linen.objects.visible_to(person, today))
    if not scanned.is_valid():
        # What typing it says, with the field to type it in.
        return render(request, "linens/scan.html", {"form": scanned}, status=NOT_FOUND)
    linen = scanned.cleaned_data["label"]
    form = LinenStateForm(sent_with(request), linen=linen, today=today)
    if accepted(request, form) and _set_state(form, linen, person):
        messages.success(
            request,
            _("%(linen)s is now marked “%(state)s”. %(then)s")
            % {"linen": linen, "state": linen.state_words, "then": _then(linen, today)},
        )
        return redirect("linen_link", label=linen.label)
    cared_for = Enclosure.objects.cared_for_by(person, today)
    context = {
        "linen": linen,
        "form": form,
        "choices": state_choices(linen),
        "then": _then(linen, today),
        "release": release_of(linen) if linen.suspicion else None,
        "dues": _where_it_could_go(linen, person, today),
        "looks_after": person.has_role(COORDINATOR, FOSTER),
        "may_change": linen.spot and cared_for.filter(pk=linen.spot.enclosure_id).exists(),
        "today": today,
    }
    return form_page(request, "linens/linen_link.html", **context)


def _set_state(form: LinenStateForm, linen: Linen, person: Person) -> bool:
    given = form.cleaned_data
    try:
        linen.set_state(given["state"], given["on"], by=person, **form.more())
    except InvalidTransition as refused:
        form.add_error(None, str(refused))
        return False
    return True


def _then(linen: Linen, today: date) -> str:
    """Where it goes next, in a sentence."""
    sentences = {
        State.NEW: _("Put it with the soiled linens of %(pool)s for its first wash; %(washed)s."),
        State.SOILED: _("Put it with the soiled linens of %(pool)s; %(washed)s."),
        State.SET_ASIDE: _(
            "Put it into a closed bag of its own at %(pool)s, with its label outside: it is washed "
            "apart."
        ),
        State.CLEAN: _("Its place is with the clean linens of %(pool)s."),
        State.FIRST_WASHED: _("Measure it, dry and flat, before you return it to the cupboard."),
        State.RETIRED: _("It is no longer used."),
    }
    washed = next_wash_words(linen.pool, today)
    return sentences.get(State(linen.state), "") % {"pool": linen.pool, "washed": washed}


def _where_it_could_go(linen: Linen, person: Person, today: date) -> list[LinenDue]:
    """Spots of its size that the person looks after, those that are due first."""
    if linen.state != State.CLEAN or not person.has_role(COORDINATOR, FOSTER):
        return []
    enclosures = Enclosure.objects.cared_for_by(person, today)
    spots = Spot.objects.filter(size=linen.size, enclosure__in=enclosures.values("pk"))
    return dues_of(spots, today)[:MOST_SPOTS]
