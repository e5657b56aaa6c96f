"""Animals: found, taken in, looked at, changed."""

from collections.abc import Sequence
from datetime import date

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.animals.forms.animal_events import StrikeForm
from habitats.animals.forms.animals import AnimalForm, NewAnimalForm, PhotoForm
from habitats.animals.forms.find_animals import FindAnimalsForm
from habitats.animals.forms.identity import unless_taken
from habitats.animals.models import facts
from habitats.animals.models.acts import Act
from habitats.animals.models.animals import Animal
from habitats.animals.models.bonding import BondingAttempt
from habitats.animals.models.came_together import new_in_quarantine
from habitats.animals.models.companions import companion_of, companions_of, with_facts
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.places import NOWHERE, AnimalPlace, history_of, places_of
from habitats.animals.pages.acts import act_rows, last_of, not_undoable, with_undo
from habitats.animals.pages.left_behind import left_behind
from habitats.animals.pages.rows import animal_seen_by, rows_of
from habitats.animals.pages.weight_plot import has_guide, weight_plot
from habitats.animals.pages.words import age_words, looks, sex_in_a_line, species_words
from habitats.chips import in_groups
from habitats.common.name_order import InNameOrder
from habitats.common.sent import UNPROCESSABLE, form_page, sent_with
from habitats.people.access import coordinator_or_403, member_or_403, signed_in
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import dues_of, limits_of
from habitats.welfare.ahead import Due
from habitats.welfare.litters import litter_words

ANIMALS_A_PAGE, WEIGHINGS_A_PAGE = 30, 20
# Years of weekly weights; a plot of more would tell no more.
MOST_PLOTTED = 400
HISTORY_SHOWN = 50
FOSTER = Person.Role.FOSTER


@require_GET
def animals(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    today = timezone.localdate()
    seen = Animal.objects.visible_to(person, today)
    form = FindAnimalsForm(request.GET)
    found = InNameOrder(form.found(seen, today).with_weight())
    page = Paginator(found, ANIMALS_A_PAGE).get_page(request.GET.get("page"))
    rows = rows_of(page.object_list, today)
    context = {
        "form": form,
        "page": page,
        "rows": rows,
        "one_species": len({row.species for row in rows}) == 1,
        "any": seen.exists(),
    }
    return render(request, "animals/animals.html", context)


@require_http_methods(["GET", "POST"])
def new_animal(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    today = timezone.localdate()
    form = NewAnimalForm(sent_with(request), today=today, initial=_of_a_litter(request, today))
    if request.method == "POST" and form.is_valid():
        animal = unless_taken(lambda: form.take_in(by=person), [form])
        if animal:
            words = _("%(animal)s added. Choose its group next.") % {"animal": animal}
            messages.success(request, with_undo(words, person))
            return redirect("animal", code=animal.code)
    return form_page(request, "animals/new_animal.html", form=form)


@require_GET
def animal(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    found = animal_seen_by(person, code)
    if found.code != code.upper():
        return redirect("animal", code=found.code)
    return animal_page(request, found)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Animal), of_form(AnimalForm))
def edit_animal(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = animal_seen_by(person, code)
    name = str(found)  # the form writes into the animal, also what it then refuses
    form = AnimalForm(sent_with(request), instance=found, today=timezone.localdate())
    if accepted(request, form) and unless_taken(form.save, [form], found):
        messages.success(request, _("%(animal)s saved.") % {"animal": found})
        return redirect("animal", code=found.code)
    return form_page(request, "animals/edit_animal.html", form=form, name=name, code=found.code)


@require_GET
def animal_photo(request: HttpRequest, code: str) -> FileResponse:
    """The photo, for those who may see the animal."""
    person = member_or_403(request, FOSTER)
    found = animal_seen_by(person, code)
    try:
        opened = found.photo.open("rb")
    except (ValueError, FileNotFoundError) as none:
        raise Http404(_("There is no photo of this animal.")) from none
    answer = FileResponse(opened, content_type="image/jpeg")
    # Its address carries the photo's own name, so a new one is a new address.
    answer["Cache-Control"] = "private, max-age=86400"
    return answer


@require_POST
@based_on(row_of(Animal), facts.photo)
def keep_photo(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    found = animal_seen_by(person, code)
    form = PhotoForm(request.POST, request.FILES)
    if not accepted(request, form):
        return animal_page(request, found, photo=form)
    found.keep_photo(form.cleaned_data["photo"])
    messages.success(
        request, _("Photo of %(animal)s saved, without place, time and camera.") % {"animal": found}
    )
    return redirect("animal", code=found.code)


@require_POST
@based_on(row_of(Animal), facts.photo)
def drop_photo(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    refuse_if_changed(request)
    found = animal_seen_by(person, code)
    found.drop_photo()
    messages.success(request, _("Photo of %(animal)s deleted.") % {"animal": found})
    return redirect("animal", code=found.code)


def animal_page(
    request: HttpRequest, found: Animal, *, photo: PhotoForm | None = None
) -> HttpResponse:
    """All that is known of an animal."""
    today = timezone.localdate()
    context = {
        "animal": found,
        "today": today,
        "species": species_words(found),
        "age": age_words(found, today),
        "sex": sex_in_a_line(found),
        "looks": looks(found),
        "chip": in_groups(found.chip) if found.chip else "",
        **_weights(found, request.GET.get("page")),
        **_company(found, today),
        **_recorded(found, today),
        "left_behind": left_behind(found, today) if signed_in(request).is_coordinator else None,
        "strike": StrikeForm(),
        "photo": photo or PhotoForm(),
        "photo_is_lost": found.photo_is_lost(),
    }
    return render(request, "animals/animal.html", context, status=UNPROCESSABLE if photo else 200)


def _weights(found: Animal, page: str | None) -> dict[str, object]:
    plotted = list(found.weighings.standing().latest_first()[:MOST_PLOTTED])[::-1]
    weighings = found.weighings.select_related("strike__made_by", "made_by").latest_first()
    return {
        "last": plotted[-1] if plotted else None,
        "plot": weight_plot(found, plotted, limits_of(Rescue.ours())),
        "has_guide": has_guide(found),
        "weighings": Paginator(weighings, WEIGHINGS_A_PAGE).get_page(page),
    }


def _company(found: Animal, today: date) -> dict[str, object]:
    """Where it lives, with whom, and what follows from both."""
    place = places_of([found.pk], today).get(found.pk, NOWHERE)
    together = _together(found, place, today)
    return {
        "place": place,
        "others": [one.name for one in together if one.pk != found.pk],
        "together": [one for one in together if one.pk != found.pk],
        "litter": _litter(found, together, today),
        "dues": _dues(found, together, today),
    }


def _recorded(found: Animal, today: date) -> dict[str, object]:
    """What was recorded of it, the newest first."""
    attempts = BondingAttempt.objects.of(found).select_related("one", "other", "made_by")
    return {
        "births": found.births.select_related("made_by").order_by("-on", "-pk"),
        "young": found.young.by_name(),
        "quarantines": found.quarantines.select_related("made_by").order_by("-pk"),
        "is_new_in_quarantine": new_in_quarantine(today).filter(pk=found.pk).exists(),
        "climbing_bans": found.climbing_bans.select_related("made_by").order_by("-pk"),
        "attempts": attempts.newest_first()[:HISTORY_SHOWN],
        "history": history_of(found, HISTORY_SHOWN),
        "acts": act_rows(last_of(Act.objects.of_animals([found]))),
        "not_undoable": not_undoable(found),
    }


def _together(found: Animal, place: AnimalPlace, today: date) -> list[Animal]:
    """The animals it lives with, itself among them, loaded ``with_facts``."""
    if place.group:
        return animals_by_group([place.group.pk], today)[place.group.pk]
    return list(with_facts(Animal.objects.filter(pk=found.pk), today))


def _dues(found: Animal, together: Sequence[Animal], today: date) -> tuple[Due, ...]:
    """What is due for this animal, as one of its group."""
    if not found.is_here:
        return ()
    dues = dues_of(companions_of(together), today, Rescue.ours())
    return tuple(one for one in dues if found.code in one.animals)


def _litter(found: Animal, together: Sequence[Animal], today: date) -> str | None:
    """That she may have a litter; None if she may not, or is no longer ours."""
    if not found.is_here:
        return None
    (itself,) = (one for one in together if one.pk == found.pk)
    return litter_words(companion_of(itself), today)


def _of_a_litter(request: HttpRequest, today: date) -> dict[str, object]:
    """For one of a litter: its mother, and what follows from her."""
    mother = Animal.objects.filter(code=request.GET.get("mother", "").upper()).first()
    if mother is None:
        return {}
    litter = mother.births.order_by("-on", "-pk").first()
    born = litter.on if litter else today
    return {
        "mother_code": mother.code,
        "species": mother.species,
        "born": born,
        "came_on": born,
        "is_apart": False,
    }
