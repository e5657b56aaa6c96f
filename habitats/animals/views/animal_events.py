"""What happens to an animal: quarantines, leaving and coming back."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from habitats.animals.forms.animal_events import LeavingForm, QuarantineForm
from habitats.animals.models import facts
from habitats.animals.models.animals import Animal
from habitats.animals.models.came_together import sharing_quarantine
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.home_limits import judged_at_the_door
from habitats.animals.models.joining import WrongReason, discharge, take_back
from habitats.animals.pages.acts import with_undo
from habitats.animals.pages.rows import animal_seen_by
from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.views.based_on import accepted, based_on, refuse_if_changed, row_of
from habitats.welfare.litters import litter_words
from habitats.wording import by_number, listed


@require_http_methods(["GET", "POST"])
@based_on(row_of(Animal), facts.last_quarantine)
def quarantine(request: HttpRequest, code: str) -> HttpResponse:
    """Begin one, or change how long the present one lasts: the last row counts."""
    person = coordinator_or_403(request)
    animal = animal_seen_by(person, code)
    last, today = animal.quarantines.order_by("-pk").first(), timezone.localdate()
    form = QuarantineForm(
        sent_with(request),
        animal=animal,
        sharing=sharing_quarantine(last, today) if last else [],
        today=today,
        initial={
            name: getattr(last, name) for name in ("why", "since", "until", "together", "note")
        }
        if last
        else {"why": "intake", "since": animal.came_on},
    )
    if accepted(request, form):
        form.append(by=person)
        names = sorted((one.name for one in form.about()), key=by_number)
        messages.success(
            request, _("Quarantine of %(animal)s recorded.") % {"animal": listed(names)}
        )
        return redirect("animal", code=animal.code)
    return form_page(request, "animals/quarantine.html", form=form, animal=animal, last=last)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Animal), facts.in_care)
def leaving(request: HttpRequest, code: str) -> HttpResponse:
    """The animal leaves the rescue's care, and its group with it."""
    person = coordinator_or_403(request)
    animal, today = animal_seen_by(person, code), timezone.localdate()
    asked = {name: request.GET[name] for name in ("why", "on") if name in request.GET}
    form = LeavingForm(sent_with(request), today=today, initial=asked)
    if accepted(request, form):
        try:
            discharge(animal, form.cleaned_data["on"], form.cleaned_data["why"], by=person)
        except WrongReason as reason:
            form.add_error("why", str(reason))
        except Elsewhere as reason:
            form.add_error("on", str(reason))
        else:
            words = _("Departure of %(animal)s recorded. Its page stays.") % {"animal": animal}
            messages.success(request, with_undo(words, person))
            return redirect("animal", code=animal.code)
    (companion,) = companions_of(with_facts(Animal.objects.filter(pk=animal.pk), today))
    litter = litter_words(companion, today)
    return form_page(request, "animals/leaving.html", form=form, animal=animal, litter=litter)


@require_POST
@based_on(row_of(Animal), facts.in_care)
def come_back(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    refuse_if_changed(request)
    animal = animal_seen_by(person, code)
    try:
        with judged_at_the_door():
            take_back(animal, timezone.localdate(), by=person)
    except Elsewhere as reason:
        messages.error(request, str(reason))
    else:
        words = _("%(animal)s is in our care again. Choose its group next.") % {"animal": animal}
        messages.success(request, with_undo(words, person))
    return redirect("animal", code=animal.code)
