"""They lived together before they came: recorded where it is asked, or later, on their pages."""

from collections.abc import Sequence
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from habitats.animals.forms.groups import MOST_CHOSEN, chosen_animals
from habitats.animals.forms.lived_together import LivedTogetherForm
from habitats.animals.models import facts
from habitats.animals.models.animals import Animal
from habitats.animals.models.came_together import new_in_quarantine, share_quarantine
from habitats.animals.pages.rows import animal_seen_by
from habitats.common.sent import form_page, sent_with
from habitats.homes.forms.home_field import A_CODE
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.wording import by_number, listed


@require_POST
def lived_together_here(request: HttpRequest) -> HttpResponse:
    """Said beside the refusal of a group, which is then asked about once more."""
    person = coordinator_or_403(request)
    asked = request.POST.getlist("animal")[:MOST_CHOSEN]
    _shared(request, list(chosen_animals(asked)), person)
    group, into = request.POST.get("group", ""), request.POST.get("into", "")
    if A_CODE.fullmatch(group):
        newcomer = urlencode({"animal": request.POST.get("newcomer", "")})
        return redirect(f"{reverse('admit', args=[group])}?{newcomer}")
    chosen = urlencode({"animal": asked, "into": into}, doseq=True)
    return redirect(f"{reverse('new_group')}?{chosen}")


@require_http_methods(["GET", "POST"])
@based_on(row_of(Animal), facts.last_quarantine)
def lived_together(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    animal, new = animal_seen_by(person, code), new_in_quarantine(timezone.localdate())
    if animal not in new:
        messages.info(request, _("%(animal)s is not in quarantine now.") % {"animal": animal})
        return redirect("animal", code=animal.code)
    form = LivedTogetherForm(sent_with(request), animal=animal, new=new)
    if accepted(request, form):
        _shared(request, [animal, *form.cleaned_data["others"]], person)
        return redirect("animal", code=animal.code)
    return form_page(request, "animals/lived_together.html", form=form, animal=animal)


def _shared(request: HttpRequest, animals: Sequence[Animal], by: Person) -> None:
    found = share_quarantine(animals, timezone.localdate(), by=by)
    names = listed(sorted((one.name for one in found), key=by_number))
    words = _("%(animals)s are in quarantine together now: apart from others, not from each other.")
    messages.success(request, words % {"animals": names})
    sexes = {one.sex for one in found if not one.is_castrated or one.sex == Animal.Sex.FEMALE}
    if sexes >= {Animal.Sex.FEMALE, Animal.Sex.MALE}:
        messages.warning(
            request,
            _(
                "Entire males and females lived together: ask a vet whether a female is pregnant, "
                "and record under Edit that she may be."
            ),
        )
