"""That an animal must not climb, and when it may again."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from habitats.animals.forms.climbing import ClimbingForm
from habitats.animals.models import facts
from habitats.animals.models.animals import Animal
from habitats.animals.pages.rows import animal_seen_by
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.views.based_on import accepted, based_on, row_of


@require_http_methods(["GET", "POST"])
@based_on(row_of(Animal), facts.last_climbing_ban)
def climbing(request: HttpRequest, code: str) -> HttpResponse:
    """The last row counts, as with quarantines."""
    person = coordinator_or_403(request)
    animal, today = animal_seen_by(person, code), timezone.localdate()
    last = animal.climbing_bans.order_by("-pk").first()
    if last is not None and not last.is_on(today):
        last = None
    names = ("since", "until", "said_by", "words")
    form = ClimbingForm(
        sent_with(request),
        animal=animal,
        today=today,
        initial={name: getattr(last, name) for name in names} if last else {},
    )
    if accepted(request, form):
        form.append(by=person)
        messages.success(request, _("Recorded for %(animal)s.") % {"animal": animal})
        return redirect("animal", code=animal.code)
    return form_page(request, "animals/climbing.html", form=form, animal=animal, last=last)
