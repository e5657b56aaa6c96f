"""A group moves: every enclosure that could take it, and the verdict before and after."""

from collections.abc import Collection, Sequence
from datetime import date
from functools import cached_property
from typing import NamedTuple

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Case, Q, QuerySet, When
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import pgettext
from django.views.decorators.http import require_http_methods

from habitats.animals.forms.groups import FindPlacesForm, MoveForm, found_enclosure
from habitats.animals.models import facts
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.companions import companions_of
from habitats.animals.models.groups import Group
from habitats.animals.models.home_limits import LimitPassed
from habitats.animals.models.places import places_of_groups
from habitats.animals.models.stays import move_in
from habitats.animals.pages.acts import with_undo
from habitats.animals.pages.members import called, group_seen_by, members_of, structure_in
from habitats.animals.pages.told_once import litters_told
from habitats.animals.views.at_the_door import at_the_door, show_limits
from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.homes.models.homes import Home
from habitats.people.access import coordinator_or_403
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.readings.models.readings import Reading
from habitats.readings.pages import who
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of, rules_of
from habitats.rescue.pages.compared import Reader, Seat, Shown, shown, verdict_card
from habitats.rescue.pages.verdicts import VerdictCard
from habitats.residence.pages.home_cautions import GroupComing, HomesThere
from habitats.structure.structure import Structure
from habitats.traces.pages.notes import Suspicions
from habitats.welfare.ahead import residents_on
from habitats.welfare.companion import Companion
from habitats.welfare.quarantine import in_quarantine
from habitats.welfare.space import judged
from habitats.welfare.values import Room

# What is asked for does not hang on what is there.
NO_ROOM = Room(ground_mm2=1)
PLACES_A_PAGE = 30


class PlaceRow(NamedTuple):
    """``after`` None: nothing can be judged. ``reason``: why it cannot take them, or empty."""

    reading: Reading
    enclosure: Enclosure
    home: Home | None
    after: VerdictCard | None
    cautions: tuple[str, ...]
    reason: str


@require_http_methods(["GET", "POST"])
@based_on(row_of(Group), facts.company_and_place)
def move_group(request: HttpRequest, code: str) -> HttpResponse:
    """Where to; and then, with an enclosure chosen, whether it is to be."""
    person = coordinator_or_403(request)
    group, today = group_seen_by(person, code), timezone.localdate()
    asked = (request.POST or request.GET).get("enclosure", "")
    move = GroupMove(group, companions_of(members_of(group, today)), person.units, today)
    if not move.companions:
        messages.error(request, _("There are no animals in this group to move. Add animals first."))
        return redirect("group", code=group.code)
    if not asked:
        return render(request, "residence/choose_place.html", _choosing(request, move))
    enclosure = found_enclosure(asked)
    if enclosure is None:
        raise Http404(_("No enclosure has this code."))
    if move.place.enclosure == enclosure:
        messages.info(request, _("They live in %(enclosure)s already.") % {"enclosure": enclosure})
        return redirect("group", code=group.code)
    form = MoveForm(sent_with(request), is_enough=move.is_enough_in(enclosure), today=today)
    if accepted(request, form) and _moved(request, form, group, enclosure):
        words = _("They live in %(enclosure)s now.") % {"enclosure": enclosure}
        messages.success(request, with_undo(words, person))
        return redirect(_came_from(request) or reverse("group", args=[group.code]))
    home = _home_of(enclosure, today)
    if home:
        show_limits(request, move.limits_passed(home))
    context = {"then": _came_from(request), **_moving(move, enclosure, home)}
    return form_page(request, "residence/move.html", form=form, **context)


def _came_from(request: HttpRequest) -> str:
    """The page with the list of moves, to go on with the next one; empty: it came from elsewhere.

    The address sends it, so only an address of our own is gone to.
    """
    then = (request.POST or request.GET).get("then", "")
    is_ours = url_has_allowed_host_and_scheme(then, allowed_hosts={request.get_host()})
    return then if is_ours else ""


def _moving(move: "GroupMove", enclosure: Enclosure, home: Home | None) -> dict[str, object]:
    """Into this enclosure: its verdict and cautions."""
    cautions = (
        *move.litters(),
        *move.suspicions.of_enclosure(enclosure),
        *move.cautions(enclosure, home, move.there([home.pk] if home else [])),
    )
    return {
        "enclosure": enclosure,
        "home": home,
        "floors": move.floors(enclosure),
        "cautions": cautions,
        **move.context(),
    }


class GroupMove:
    """A group that is to move, and what the chosen rule set says of a place for it."""

    def __init__(
        self, group: Group, companions: Sequence[Companion], units: str, today: date
    ) -> None:
        self.group, self.companions, self.today = group, companions, today
        self.rescue = Rescue.ours()
        self.reader = Reader(today, self.rescue, units)
        self.suspicions = Suspicions(today)
        self.place = places_of_groups([group], today)[group.pk]

    def context(self) -> dict[str, object]:
        return {
            "group": self.group,
            "called": self.called,
            "place": self.place,
            "is_chosen": self.asked_mm2() is not None,
            "suspected": self.suspicions.of_group(self.group, self.called),
        }

    @property
    def called(self) -> str:
        return called(self.group, [one.name for one in self.companions])

    def verdict_now(self) -> VerdictCard | None:
        return verdict_card(self._now(), self.reader)

    def verdict_in(self, enclosure: Enclosure) -> VerdictCard | None:
        return verdict_card(self._then(enclosure), self.reader)

    def is_enough_in(self, enclosure: Enclosure) -> bool:
        """Also where nothing judges it."""
        after = self.verdict_in(enclosure)
        return after is None or after.verdict.passes is not False

    def floors(self, enclosure: Enclosure) -> list[Shown]:
        return shown([self._now(), self._then(enclosure)], self.reader)

    def asked_mm2(self) -> int | None:
        """The floor that the rule set asks for, wherever they are; None where none judges."""
        rules = rules_of(self.rescue, self.companions[0].species)
        if rules is None or any(one.species != rules.species for one in self.companions):
            return None
        residents = residents_on(self.companions, self.today)
        return judged(rules, rules.species, NO_ROOM, residents).required_mm2

    def litters(self) -> list[str]:
        """Which of them may have a litter, and up to when."""
        return litters_told(self.companions, self.today)

    def there(self, homes: Collection[int]) -> HomesThere:
        return HomesThere(homes, self.today, without=self.group.pk)

    def cautions(
        self, enclosure: Enclosure, home: Home | None, there: HomesThere
    ) -> tuple[str, ...]:
        """Of the enclosure and of the home in which it stands."""
        structure = enclosure.structure()
        of_home = self._coming.cautions(home, there, structure) if home else ()
        return (*self._of_climbing(structure), *of_home)

    def limits_passed(self, home: Home) -> list[LimitPassed]:
        """What of the cautions is a limit of the home."""
        return list(self._coming.limits_passed(home, self.there([home.pk])))

    @cached_property
    def _coming(self) -> GroupComing:
        limits = limits_of(self.rescue)
        apart = [one.name for one in self.companions if in_quarantine(one, self.today, limits)]
        return GroupComing(self.companions, apart)

    @cached_property
    def _must_not_climb(self) -> list[ClimbingBan]:
        found = ClimbingBan.objects.all().in_groups([self.group.pk], self.today)
        return found.get(self.group.pk, [])

    def _of_climbing(self, structure: Structure | None) -> list[str]:
        has_a_ramp = structure is not None and structure.ramps
        return [ban.ramp_caution for ban in self._must_not_climb] if has_a_ramp else []

    def _now(self) -> Seat:
        place = self.place.enclosure
        label = _("Now: in no enclosure")
        if place:
            label = _("Now: %(enclosure)s") % {"enclosure": place}
        return Seat(label, structure_in(self.place), self.companions)

    def _then(self, enclosure: Enclosure) -> Seat:
        return Seat(
            _("Then: %(enclosure)s") % {"enclosure": enclosure},
            enclosure.structure(),
            self.companions,
        )


def _moved(request: HttpRequest, form: MoveForm, group: Group, enclosure: Enclosure) -> bool:
    """Whether they moved; if it cannot be, the form says why."""
    given, by = form.cleaned_data, coordinator_or_403(request)
    try:
        with at_the_door(request):
            move_in(group, enclosure, given["since"], by=by, idempotency_key=given["once"])
    except Elsewhere as reason:
        form.add_error("since", str(reason))
        return False
    return True


def _choosing(request: HttpRequest, move: GroupMove) -> dict[str, object]:
    form = FindPlacesForm(request.GET)
    given = form.cleaned_data if form.is_valid() else {}
    shows_others = bool(given.get("shown"))
    found = _places(move, given.get("words", ""), shows_others)
    page = Paginator(found, PLACES_A_PAGE).get_page(request.GET.get("page"))
    rows = _rows(list(page.object_list), move)
    fits = any(row.after is None or row.after.verdict.passes for row in rows)
    return {
        "form": form,
        "page": page,
        "shows_others": shows_others,
        "before": move.verdict_now(),
        "rows": rows,
        # Those with floor enough come first: none here, none on later pages.
        "none_is_enough": bool(rows) and not (fits or shows_others or given.get("words")),
        **move.context(),
    }


def _places(move: GroupMove, words: str, others: bool) -> QuerySet[Reading]:
    """Free and standing ones, the tightest that has the floor asked for first; or all others."""
    free = Q(state=EnclosureState.STANDING, group__isnull=True, unsafe_faults=0)
    found = Reading.objects.fresh(move.today).exclude(group=move.group)
    found = found.exclude(free) if others else found.filter(free)
    if words:
        named = Q(enclosure__label__icontains=words) | Q(enclosure__code=words.upper())
        homes = Q(home__name__icontains=words) | Q(home__area__icontains=words)
        found = found.filter(named | homes)
    too_small = Case(When(ground_mm2__lt=move.asked_mm2() or 0, then=1), default=0)
    return found.select_related("enclosure__revision", "home").order_by(
        too_small, "ground_mm2", "enclosure__label", "pk"
    )


def _rows(readings: Sequence[Reading], move: GroupMove) -> list[PlaceRow]:
    there = move.there([one.home_id for one in readings if one.home_id])
    return [
        PlaceRow(
            one,
            one.enclosure,
            one.home,
            move.verdict_in(one.enclosure),
            (
                *move.suspicions.of_enclosure(one.enclosure),
                *move.cautions(one.enclosure, one.home, there),
            ),
            _reason(one),
        )
        for one in readings
    ]


def _home_of(enclosure: Enclosure, today: date) -> Home | None:
    standing = enclosure.standings.on(today).select_related("home").first()
    return standing.home if standing else None


def _reason(reading: Reading) -> str:
    """Why nobody can move in; empty if somebody can."""
    if reading.group_id:
        if not reading.residents:
            return pgettext("an enclosure", "Occupied")
        return _("Occupied by %(animals)s") % {"animals": who(reading)}
    if reading.unsafe_faults:
        return _("Unsafe until it is mended")
    state = EnclosureState(reading.state)
    return "" if state is EnclosureState.STANDING else str(state.label)
