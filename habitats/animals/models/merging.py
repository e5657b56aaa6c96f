"""Two records of one animal become one, with all weights, stays, entries and young."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import NamedTuple

from django.db import models, transaction
from django.dispatch import Signal
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.stays import leave
from habitats.common.days import in_full
from habitats.common.happened import span_ended
from habitats.common.merging import (
    DOUBLE,
    KEPT,
    CannotMerge,
    ContraryFact,
    MergeRules,
    contrary_facts,
    move_relations,
    note_merge,
    refuse_the_same,
    take_over,
)
from habitats.people.models.people import Person

# Two records, ``kept`` and ``double``, are laid beside each other: a receiver answers with a list
# of what else has to be chosen. Then, inside the transaction and before anything is moved, what
# was ``chosen``, and ``by`` whom.
merge_asked, merge_chosen = Signal(), Signal()
STAYS = "stays"
# Worked out of what happened, and made again; memberships are laid beside each other.
WITHOUT = ("membership", "unhoused", "duerow")
RULES = MergeRules(
    left=frozenset(
        ("id", "code", "idempotency_key", "made_by", "made_at", "came_on", "same_as", "species")
    ),
    together=(
        ("born", "born_margin_days"),
        ("is_castrated", "castrated_on", "castrated_before_maturity"),
        ("may_be_pregnant", "with_male_since", "with_male_last"),
        ("sex", "sex_guess"),
        ("left_on", "left_why"),
    ),
    joined=("notes",),
    unique=("own_id", "chip"),
    labels={
        "name": gettext_lazy("Name"),
        "own_id": gettext_lazy("Your own number"),
        "sex": gettext_lazy("Sex"),
        "chip": gettext_lazy("Chip"),
        "colour": gettext_lazy("Colour"),
        "marks": gettext_lazy("Marks"),
        "born": gettext_lazy("Born"),
        "born_margin_days": gettext_lazy("Days either way"),
        "origin": gettext_lazy("Origin"),
        "came_from": gettext_lazy("Where from"),
        "found_by": gettext_lazy("Found by"),
        "condition": gettext_lazy("Condition"),
        "is_castrated": gettext_lazy("Castrated"),
        "castrated_on": gettext_lazy("Castrated on"),
        "mother": gettext_lazy("Mother"),
        "adult_grams": gettext_lazy("Expected adult weight"),
        "photo": gettext_lazy("Photo"),
        "left_on": gettext_lazy("Departure"),
        "left_why": gettext_lazy("Reason"),
    },
)


class _Days(NamedTuple):
    since: date
    until: date | None

    @property
    def end(self) -> date:
        return self.until or date.max


def contrary(kept: Animal, double: Animal) -> list[ContraryFact]:
    """What has to be chosen. Raises ``CannotMerge`` for two that cannot be one animal."""
    _refuse_what_cannot_be(kept, double)
    # Of two photos the kept record's stays: no words could choose between them.
    found = [one for one in contrary_facts(kept, double, RULES) if one.key != "photo"]
    if (kept.left_on is None) != (double.left_on is None):
        words = {KEPT: _departure(kept), DOUBLE: _departure(double)}
        found = [one for one in found if one.key != "left_on"]
        found.append(ContraryFact("left_on", _("Departure"), words[KEPT], words[DOUBLE]))
    if clash := next(_clashes(kept, double), None):
        found.append(ContraryFact(STAYS, _("Where it lived"), *clash))
    for _receiver, more in merge_asked.send(Animal, kept=kept, double=double):
        found += more if isinstance(more, list) else []
    return found


def merge(kept: Animal, double: Animal, chosen: Mapping[str, str], *, by: Person) -> None:
    """One animal, called by the code of the kept one. Raises ``CannotMerge``."""
    with transaction.atomic():
        was = _departure_taken(kept, double, chosen)
        take_over(kept, double, RULES, chosen, lambda: contrary(kept, double))
        merge_chosen.send(Animal, kept=kept, double=double, chosen=chosen, by=by)
        kept.left_on, kept.left_why = was
        kept.came_on = min(kept.came_on, double.came_on)
        note_merge(kept, double, by, name=double.name)
        _check(kept)
        # First, so that nothing unique is there twice.
        double.left_on, double.left_why = double.came_on, Animal.Leaving.DOUBLE
        double.same_as = kept
        double.photo = ""
        double.save()
        kept.save()
        _lay_stays_together(kept, double, chosen.get(STAYS, KEPT), by)
        _refuse_if_gone_and_here(kept)
        move_relations(kept, double, WITHOUT)


def _refuse_what_cannot_be(kept: Animal, double: Animal) -> None:
    names = {"one": kept, "other": double}
    refuse_the_same(kept, double)
    if kept.species != double.species:
        raise CannotMerge(_("%(one)s and %(other)s are of two species.") % names)
    if double.mother_id == kept.pk or kept.mother_id == double.pk:
        raise CannotMerge(_("One of %(one)s and %(other)s is the mother of the other.") % names)


def _check(kept: Animal) -> None:
    """What cannot be of one animal, whichever fact was chosen."""
    if kept.sex == Animal.Sex.MALE and (kept.births.exists() or kept.young.exists()):
        raise CannotMerge(
            _("A litter is recorded, so %(animal)s is no male. Choose female.") % {"animal": kept}
        )
    born = None if kept.born_margin_days else kept.born
    if born and kept.castrated_on and kept.castrated_on < born:
        raise CannotMerge(_("It would be castrated before it was born. Choose another day."))
    if kept.left_on and kept.left_on < kept.came_on:
        raise CannotMerge(_("It would leave before it came. Choose another departure."))


def _refuse_if_gone_and_here(kept: Animal) -> None:
    if kept.left_on and (there := kept.memberships.open().select_related("group").first()):
        raise CannotMerge(
            _("It lives in %(group)s, so it has not left. Choose “in our care”.")
            % {"group": there.group}
        )


def _departure(animal: Animal) -> str:
    if animal.left_on is None:
        return _("in our care")
    words = {"why": animal.get_left_why_display(), "day": in_full(animal.left_on)}
    return _("%(why)s on %(day)s") % words


def _departure_taken(
    kept: Animal, double: Animal, chosen: Mapping[str, str]
) -> tuple[date | None, str]:
    one = double if chosen.get("left_on") == DOUBLE else kept
    return one.left_on, one.left_why


# --- Stays: whose count where both were somewhere ---


def _real(animal: Animal) -> "models.QuerySet[Membership]":
    spans = animal.memberships.exclude(until=models.F("since")).select_related("group")
    return spans.order_by("since", "pk")


def _clashes(kept: Animal, double: Animal) -> Iterator[tuple[str, str]]:
    """Spans of both that share a day in different groups, in words."""
    others = list(_real(double))
    for one in _real(kept):
        for other in others:
            if one.group_id != other.group_id and _share_a_day(one, other):
                yield _lived(one), _lived(other)


def _share_a_day(one: Membership, other: Membership) -> bool:
    return one.since < (other.until or date.max) and other.since < (one.until or date.max)


def _lived(one: Membership) -> str:
    values = {"group": _place(one.group), "since": in_full(one.since)}
    if one.until is None:
        return _("%(group)s, since %(since)s") % values
    return _("%(group)s, %(since)s to %(until)s") % {**values, "until": in_full(one.until)}


def _place(group: Group) -> str:
    """The enclosure where it was last; its own name where it was in none."""
    stay = group.stays.select_related("enclosure").newest_first().first()
    return str(stay.enclosure if stay else group)


def _lay_stays_together(kept: Animal, double: Animal, whose: str, by: Person) -> None:
    """All spans are the kept animal's; those that do not count give way where both have one."""
    counted, other = (kept, double) if whose == KEPT else (double, kept)
    taken = [_Days(one.since, one.until) for one in _real(counted)]
    yielding = list(_real(other))
    left = {one.group for one in yielding if one.until is None}
    for span in yielding:
        pieces = list(_less(_Days(span.since, span.until), taken))
        _cut(span, pieces, by)
    double.memberships.update(animal=kept)
    for one in Membership.objects.filter(animal=kept).select_related("animal"):
        span_ended.send(Membership, instance=one)
    for group in left:
        if not group.memberships.open().exists():
            leave(group, timezone.localdate(), by=by)


def _less(days: _Days, taken: Iterable[_Days]) -> Iterator[_Days]:
    """The days without those that are taken, piece by piece."""
    since = days.since
    for one in sorted(taken):
        if one.end <= since or one.since >= days.end:
            continue
        if since < one.since:
            yield _Days(since, one.since)
        since = one.end
    if since < days.end:
        yield _Days(since, days.until)


def _cut(span: Membership, pieces: list[_Days], by: Person) -> None:
    """The span covers the first piece, or no day; a row more for each other piece."""
    first = pieces[0] if pieces else _Days(span.since, span.since)
    rows = Membership.objects.filter(pk=span.pk)
    if first != (span.since, span.until):
        ended = {"ended_by": by, "ended_at": timezone.now()} if first.until else {}
        rows.update(since=first.since, until=first.until, **ended)
    for piece in pieces[1:]:
        made = span.group.memberships.create(animal=span.animal, since=piece.since, made_by=by)
        if piece.until:
            made.end(piece.until, by)
