"""The people of a home leave: animals, enclosures, linens and builds are handed on in one form."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group
from habitats.animals.models.stays import Stay
from habitats.animals.pages.members import members_of
from habitats.animals.views.at_the_door import at_the_door
from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.standing import home_of
from habitats.homes.forms.home_field import OfferedInput
from habitats.homes.models.handing_on import left_at
from habitats.homes.models.homes import Home
from habitats.homes.views import home_seen_by
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading
from habitats.residence.forms import OFFERED, HandOnForm, LeftEnclosure
from habitats.residence.views.moving import GroupMove
from habitats.wording import listed

MOST_PLACES = 200


@require_http_methods(["GET", "POST"])
def hand_on(request: HttpRequest, code: str) -> HttpResponse:
    """What is not chosen stays listed until the home can be closed."""
    person = coordinator_or_403(request)
    home, today = home_seen_by(person, code), timezone.localdate()

    def judge(group: Group, enclosure: Enclosure) -> list[str]:
        return _cautions(group, enclosure, person)

    form = HandOnForm(
        sent_with(request),
        home=home,
        left=_left(home),
        things=left_at(home),
        free=_free(home),
        judge=judge,
        reader=person,
        today=today,
    )
    if form.is_bound and form.is_valid() and _handed_on(request, form, person):
        messages.success(request, _handed_on_words(home))
        return redirect("hand_on", code=home.code)
    offered = {"offered": OfferedInput().offers(), "list_id": OFFERED}
    return form_page(request, "residence/hand_on.html", form=form, home=home, **offered)


def _handed_on(request: HttpRequest, form: HandOnForm, by: Person) -> bool:
    try:
        with at_the_door(request):
            form.hand_on(by=by)
    except Elsewhere as reason:
        form.add_error(None, str(reason))
        return False
    return True


def _handed_on_words(home: Home) -> str:
    if _left(home) or left_at(home):
        return _("Handed on. What is listed below is still open.")
    return _("All is handed on. The home can be closed.")


def _left(home: Home) -> list[LeftEnclosure]:
    """What stands there now, with who lives in it: the same few questions for all."""
    standing = home.standings.open().select_related("enclosure__revision").order_by("pk")
    enclosures = [one.enclosure for one in standing]
    stays = Stay.objects.open().filter(enclosure__in=enclosures).select_related("group")
    groups = {one.enclosure_id: one.group for one in stays}
    animals = animals_by_group([one.pk for one in groups.values()], timezone.localdate())
    found = []
    for enclosure in enclosures:
        group = groups.get(enclosure.pk)
        names = [one.name for one in animals.get(group.pk, [])] if group else []
        found.append(LeftEnclosure(enclosure, group, str(listed(names))))
    return found


def _free(home: Home) -> list[tuple[Enclosure, str]]:
    """Where a group could move: what stands free elsewhere, by home and label."""
    fresh = Reading.objects.fresh(timezone.localdate())
    free = fresh.filter(state=EnclosureState.STANDING, group__isnull=True, unsafe_faults=0)
    rows = free.exclude(home=home).select_related("enclosure__revision", "home")
    ordered = rows.order_by("home__name", "enclosure__label", "pk")[:MOST_PLACES]
    return [(one.enclosure, _place(one)) for one in ordered]


def _place(one: Reading) -> str:
    if one.home is None:
        return _("%(enclosure)s, in no home") % {"enclosure": one.enclosure}
    return _("%(enclosure)s, %(home)s") % {"enclosure": one.enclosure, "home": one.home}


def _cautions(group: Group, enclosure: Enclosure, person: Person) -> list[str]:
    """As a move asks: the space, possible litters, suspicions, quarantine."""
    today = timezone.localdate()
    move = GroupMove(group, companions_of(members_of(group, today)), person.units, today)
    after, told = move.verdict_in(enclosure), list(move.litters())
    if after is not None and after.verdict.passes is False:
        words = _("%(animals)s: %(enclosure)s is too small by your space standard.")
        told.append(words % {"animals": move.called, "enclosure": enclosure})
    home = home_of(enclosure)
    told += move.suspicions.of_enclosure(enclosure)
    told += move.cautions(enclosure, home, move.there([home.pk] if home else []))
    return told
