"""Forms about linens for coordinators: find some, new ones in number, what becomes of one."""

from datetime import date
from typing import Any

from django import forms
from django.db import models, transaction
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext, pgettext_lazy

from habitats import measures
from habitats.common.fields import (
    DayField,
    LengthField,
    OnceField,
    choose_among,
    use_today,
    use_units,
)
from habitats.linens.forms.scans import LinenStateForm, state_choices
from habitats.linens.models.linens import (
    LARGEST_MM,
    LEAST_MM,
    STATES,
    Linen,
    LinenKind,
    LinenQuerySet,
)
from habitats.linens.models.new_linens import cutting_for, key_of
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import LinenSize, Spot
from habitats.measures import METRIC
from habitats.people.models.people import Person
from habitats.rotation.labels import LABEL_LENGTH
from habitats.rotation.states import State, may_follow

MOST_AT_ONCE = 200
ANY = gettext_lazy("Any")
NEW_CLOTH, WASHED_BEFORE = "new", "washed"


def sizes_in_use(pool: Pool | None = None) -> "models.QuerySet[Any]":
    """Sizes, those that most spots ask for first; each has ``asked``.

    ``pool``: before all others those of the homes that it supplies.
    """
    asked = models.Count("spots", filter=models.Q(spots__gone_on__isnull=True))
    of_pool = Spot.objects.filter(
        gone_on__isnull=True,
        enclosure__standings__until__isnull=True,
        enclosure__standings__home__pool=pool,
        size=models.OuterRef("pk"),
    )
    first = models.Exists(of_pool) if pool else models.Value(True)
    sizes = LinenSize.objects.annotate(asked=asked, is_near=first)
    return sizes.order_by("-is_near", "-asked", "sort", "length_mm", "pk")


def size_words(size: LinenSize, units: str) -> str:
    """A size as its reader measures: ``Liner 700 mm × 1 400 mm``."""
    sides = measures.size((size.width_mm, size.length_mm), measures.lengths_in(units))
    return f"{size.get_sort_display()} {sides}"


class SizeField(forms.ModelChoiceField):
    """A size in the reader's units; of ``sizes_in_use`` with how many places ask for it."""

    units = METRIC

    def label_from_instance(self, obj: Any) -> str:
        words, asked = size_words(obj, self.units), getattr(obj, "asked", None)
        if asked is None:
            return words
        if not asked:
            return _("%(size)s, no place") % {"size": words}
        places = ngettext("%(size)s, %(number)d place", "%(size)s, %(number)d places", asked)
        return places % {"size": words, "number": asked}


class FindLinensForm(forms.Form):
    """Which linens to list; what makes no sense finds all that are counted on."""

    STATES_SHOWN = [("", gettext_lazy("All in use")), *STATES]

    words = forms.CharField(
        label=pgettext_lazy("of a linen", "Label"), max_length=20, required=False
    )
    pool = forms.ModelChoiceField(
        Pool.objects.none(), label=gettext_lazy("Pool"), required=False, empty_label=ANY
    )
    state = forms.ChoiceField(label=gettext_lazy("State"), choices=STATES_SHOWN, required=False)
    size = SizeField(
        LinenSize.objects.none(), label=gettext_lazy("Size"), required=False, empty_label=ANY
    )
    kind = forms.ModelChoiceField(
        LinenKind.objects.none(), label=gettext_lazy("Kind"), required=False, empty_label=ANY
    )
    worn = forms.BooleanField(label=gettext_lazy("Worn out"), required=False)

    def __init__(self, *args: Any, person: Person, **options: Any) -> None:
        super().__init__(*args, **options)
        choose_among(self, "pool", Pool.objects.visible_to(person).by_name())
        choose_among(
            self, "size", LinenSize.objects.order_by("sort", "length_mm", "width_mm", "pk")
        )
        choose_among(self, "kind", LinenKind.objects.order_by("name"))
        self.fields["size"].units = person.units  # type: ignore[attr-defined]

    def found(self, linens: LinenQuerySet) -> LinenQuerySet:
        given = self.cleaned_data if self.is_valid() else {}
        state = given.get("state")
        found = linens.in_state(state) if state else linens.live()
        for name in ("pool", "size", "kind"):
            if given.get(name):
                found = found.filter(**{name: given[name]})
        if given.get("words"):
            found = found.filter(label__startswith=_marks(given["words"]))
        if given.get("worn"):
            found = found.filter(washes__gte=models.F("kind__most_washes"))
        return found


def _marks(words: str) -> str:
    """A label or its beginning, as it is stored."""
    return "".join(words.upper().split()).replace("-", "")[:LABEL_LENGTH]


class NewLinensForm(forms.Form):
    """So many linens of a kind and size, each with a label of its own."""

    once = OnceField()
    pool = forms.ModelChoiceField(
        Pool.objects.none(),
        label=gettext_lazy("Pool"),
        empty_label=gettext_lazy("Choose a pool"),
    )
    kind = forms.ModelChoiceField(
        LinenKind.objects.none(),
        label=gettext_lazy("Kind"),
        empty_label=gettext_lazy("Choose a kind"),
    )
    size = SizeField(
        LinenSize.objects.none(),
        label=gettext_lazy("Finished size"),
        required=False,
        empty_label=gettext_lazy("Another size, below"),
    )
    width_mm = LengthField(
        label=gettext_lazy("Width"), bounds=(LEAST_MM, LARGEST_MM), required=False
    )
    length_mm = LengthField(
        label=gettext_lazy("Length"), bounds=(LEAST_MM, LARGEST_MM), required=False
    )
    number = forms.IntegerField(
        label=gettext_lazy("Number"),
        min_value=1,
        max_value=MOST_AT_ONCE,
        initial=1,
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value"),
            format_lazy(gettext_lazy("Enter a whole number from 1 to {most}."), most=MOST_AT_ONCE),
        ),
    )
    washed = forms.ChoiceField(
        label=gettext_lazy("Washed before"),
        choices=[
            (NEW_CLOTH, gettext_lazy("No: cut oversize, to shrink in the first wash")),
            (WASHED_BEFORE, gettext_lazy("Yes: washed, and of the finished size")),
        ],
        initial=NEW_CLOTH,
        widget=forms.RadioSelect,
    )
    on = DayField(label=gettext_lazy("Made or bought on"))

    def __init__(self, *args: Any, units: str, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        choose_among(self, "pool", Pool.objects.live().by_name())
        kinds = LinenKind.objects.filter(put_away_on__isnull=True).order_by("name")
        choose_among(self, "kind", kinds)
        there = list(kinds[:2])
        if len(there) == 1 and not self.initial.get("kind"):
            self.initial["kind"] = there[0].pk
        choose_among(self, "size", sizes_in_use(self.initial.get("pool")))
        self.fields["size"].units = units  # type: ignore[attr-defined]
        use_units(self, units)
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        size, kind = given.get("size"), given.get("kind")
        own = [given.get(name) for name in ("width_mm", "length_mm")]
        if size is None and not all(own) and not self._is_wrong("size", "width_mm", "length_mm"):
            self.add_error("size", _("Choose a size, or enter a width and a length."))
        elif size is not None and any(own):
            self.add_error("size", _("Choose a size, or enter a width and a length, not both."))
        elif size is not None and kind is not None and size.sort != kind.sort:
            self.add_error(
                "size",
                _(
                    "%(kind)s is used as: %(used)s. This size is for: %(sort)s. Choose another "
                    "size, or another kind."
                )
                % {
                    "kind": kind,
                    "used": kind.get_sort_display(),
                    "sort": size.get_sort_display(),
                },
            )
        return given

    def _is_wrong(self, *names: str) -> bool:
        return any(name in self.errors for name in names)

    def wanted_size(self) -> LinenSize:
        """The size of a valid form, made if nobody asked for it before."""
        given = self.cleaned_data
        chosen: LinenSize | None = given["size"]
        return chosen or LinenSize.of(given["kind"].sort, given["width_mm"], given["length_mm"])

    def make(self, *, by: Person) -> list[Linen]:
        """All of them, or none. Sent twice, they are made once."""
        given, size = self.cleaned_data, self.wanted_size()
        is_washed = given["washed"] == WASHED_BEFORE
        cut = None if is_washed else cutting_for(given["kind"], size).piece
        with transaction.atomic():
            return [
                Linen.objects.make(
                    given["kind"],
                    size,
                    given["pool"],
                    given["on"],
                    by=by,
                    cut=cut,
                    washed=is_washed,
                    idempotency_key=key_of(given["once"], number),
                )
                for number in range(given["number"])
            ]


class CoordinatorStateForm(LinenStateForm):
    """What a coordinator says of a linen: what anybody may, and that it is retired."""

    def __init__(self, *args: Any, linen: Linen, today: date, **options: Any) -> None:
        super().__init__(*args, linen=linen, today=today, **options)
        choices = coordinator_choices(linen)
        self.fields["state"].choices = choices  # type: ignore[attr-defined]
        if State.SET_ASIDE not in dict(choices):
            del self.fields["suspicion"]


def coordinator_choices(linen: Linen) -> list[tuple[str, str]]:
    found = state_choices(linen)
    if may_follow(State(linen.state), State.RETIRED):
        found.append((State.RETIRED.value, _("Retired for good")))
    return found


class MoveLinenForm(forms.Form):
    """To which other pool one linen goes."""

    once = OnceField()
    to = forms.ModelChoiceField(
        Pool.objects.none(),
        label=gettext_lazy("New pool"),
        empty_label=gettext_lazy("Choose a pool"),
    )
    on = DayField(label=gettext_lazy("Day"))

    def __init__(self, *args: Any, linen: Linen, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        choose_among(self, "to", Pool.objects.live().exclude(pk=linen.pool_id).by_name())
        use_today(self, today)
