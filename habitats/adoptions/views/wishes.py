"""The waiting list, and who fits each wish."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.adoptions.forms.wishes import NewWishForm, WantedAnimalsForm
from habitats.adoptions.models.wishes import MOST_CANDIDATES, EnoughMatches, Wish, matches_of
from habitats.common.idempotency import made_before
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, row_of
from habitats.rescue.models.rescue import Rescue

WISHES_A_PAGE = 20
# Of a wish in the list one more than it names; of one on its own page, those longest in our care.
IN_THE_LIST, ON_ITS_PAGE = EnoughMatches(fits=4, near=0), EnoughMatches(fits=20, near=10)
ALL = EnoughMatches(fits=MOST_CANDIDATES, near=10)


@require_GET
def wishes(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    found = Wish.objects.open().select_related("adopter").longest_first()
    page = Paginator(found, WISHES_A_PAGE).get_page(request.GET.get("page"))
    shown = list(page.object_list)
    matches = matches_of(shown, timezone.localdate(), Rescue.ours(), IN_THE_LIST)
    context = {"page": page, "rows": [(one, matches[one.pk].fits) for one in shown]}
    return render(request, "adoptions/wishes.html", context)


@require_http_methods(["GET", "POST"])
def new_wish(request: HttpRequest) -> HttpResponse:
    person, today = coordinator_or_403(request), timezone.localdate()
    who = NewWishForm(
        sent_with(request), today=today, initial={"adopter": request.GET.get("adopter", "").upper()}
    )
    form = WantedAnimalsForm(sent_with(request))
    if request.method == "POST" and who.is_valid() and form.is_valid():
        made = _written_down(who, form, person)
        messages.success(request, _("On the waiting list. Who fits is below."))
        return redirect("wish", pk=made.pk)
    return form_page(request, "adoptions/new_wish.html", form=form, who=who)


@require_GET
def wish(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Wish.objects.select_related("adopter"), pk=pk)
    today, enough = timezone.localdate(), ALL if request.GET.get("shown") == "all" else ON_ITS_PAGE
    matches = matches_of([found], today, Rescue.ours(), enough)[found.pk]
    events = found.events.select_related("made_by", "adoption__adopter").newest_first()
    context = {
        "wish": found,
        "events": list(events.prefetch_related("adoption__animals__animal")),
        "fits": matches.fits,
        "near": matches.near,
        "may_be_more": len(matches.fits) == ON_ITS_PAGE.fits and enough is ON_ITS_PAGE,
    }
    return render(request, "adoptions/wish.html", context)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Wish, "pk"), of_form(WantedAnimalsForm))
def edit_wish(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Wish, pk=pk)
    form = WantedAnimalsForm(sent_with(request), instance=found)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Wish saved."))
        return redirect("wish", pk=found.pk)
    return form_page(request, "adoptions/edit_wish.html", form=form, wish=found)


@require_POST
def close_wish(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Wish, pk=pk)
    Wish.objects.open().filter(pk=found.pk).update(closed_on=timezone.localdate())
    messages.success(request, _("Off the waiting list."))
    return redirect("adopter", code=found.adopter.code)


def _written_down(who: NewWishForm, form: WantedAnimalsForm, by: Person) -> Wish:
    """Once, also where two clicks come at the same moment: the second waits for the first."""
    key = who.cleaned_data["once"]
    with transaction.atomic():
        made = made_before(Wish.objects, key)
        if made is None:
            made = form.save(commit=False)
            made.adopter = who.the_adopter(by=by)
            made.made_by, made.idempotency_key = by, key
            made.since = who.cleaned_data["since"]
            made.save()
    return made
