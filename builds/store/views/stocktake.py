"""A stocktake on the phone: numbers, then the differences, then it is saved."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.store.forms.stocktake import StocktakeForm
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.stocktakes import StockChanged, Stocktake, differences
from habitats.people.access import member_or_403
from habitats.people.models.people import Person

UNPROCESSABLE, CONFLICT = 422, 409
CHANGE, WRITE = "change", "write"
LONGEST_NUMBER = 12


@require_http_methods(["GET", "POST"])
def count_place(request: HttpRequest, code: str) -> HttpResponse:
    """``step`` says how far it is: empty to see the differences, then to change or write them."""
    person = member_or_403(request, Person.Role.BUILDER)
    place = get_object_or_404(Place.objects.live(), code=code.upper())
    sent = request.POST if request.method == "POST" else None
    form = StocktakeForm(sent, place=place)
    if sent is None or not form.is_valid() or sent.get("step") == CHANGE:
        status = UNPROCESSABLE if form.errors else 200
        return render(request, "store/count.html", {"place": place, "form": form}, status=status)
    if sent.get("step") != WRITE:
        return _differences(request, place, form)
    try:
        _write(place, form, sent.get("thought", ""), person)
    except StockChanged as reason:
        return _differences(request, place, form, reason=str(reason))
    messages.success(request, _("The count of “%(place)s” is saved.") % {"place": place})
    return redirect("builds:place", code=place.code)


def _write(place: Place, form: StocktakeForm, thought: str, by: Person) -> None:
    counted = form.counted()
    Stocktake.objects.take(
        place,
        counted,
        by=by,
        idempotency_key=form.cleaned_data["once"],
        thought=_thought(thought, counted),
    )


def _differences(
    request: HttpRequest, place: Place, form: StocktakeForm, *, reason: str = ""
) -> HttpResponse:
    rows = differences(place, form.counted())
    thought = " ".join(f"{row.item.pk}:{row.thought}" for row in rows)
    context = {
        "place": place,
        "form": form,
        "rows": rows,
        "is_alike": not any(row.change for row in rows),
        "once": form.cleaned_data["once"],
        "sent": _kept(form),
        "thought": thought,
        "reason": reason,
    }
    return render(request, "store/differences.html", context, status=CONFLICT if reason else 200)


def _kept(form: StocktakeForm) -> list[tuple[str, str]]:
    """The numbers as they were typed, to be sent again; nothing that was left empty."""
    names = [name for name in form.fields if name != "once"]
    return [(name, form.data[name]) for name in names if form.data.get(name)]


def _thought(text: str, counted: dict[Item, int]) -> dict[Item, int]:
    """What was thought when it was shown; what cannot be read was thought to be none."""
    counts = dict(part.partition(":")[::2] for part in text.split())
    return {item: _number(counts.get(str(item.pk), "")) for item in counted}


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) <= LONGEST_NUMBER else 0
