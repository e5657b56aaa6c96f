"""What the address of the page says of the coordinator's own wishes, and what was proposed."""

import re
import uuid
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.placing.models.builds_today import DesignOffer
from builds.placing.models.by_hand import ByHand
from builds.placing.models.case_today import RescueToday
from builds.placing.models.what_if import MOST_MORE, WhatIf
from habitats.common.fields import OnceField
from habitats.homes.models.homes import Home
from habitats.placement.moves import ProposedMove
from habitats.placement.values import USUAL_ORDER, Goal, Pin
from habitats.structure.design import Species

BETWEEN = "."  # codes hold letters and figures only
HOME = "home-"  # before the code of a home, where a wish is about all of it
YES = "yes"
NUMBER = re.compile("[1-9][0-9]?")
LONGEST_CODE = 20
MOST = 200  # wishes; more is no page that anybody made


def by_hand_in(query: QueryDict, rescue: RescueToday) -> ByHand:
    """What is not there any more is passed over: the page then shows one wish less."""
    return ByHand(
        tuple(_pins(query.getlist("stays"), rescue)),
        tuple(_pins(query.getlist("not"), rescue)),
        frozenset(code for code in query.getlist("away")[:MOST] if code in rescue.homes),
        _order(query.getlist("goal")),
        is_together_in(query),
    )


def is_together_in(query: QueryDict) -> bool:
    return query.get("together") == YES


def pairs_of(by_hand: ByHand) -> list[tuple[str, str]]:
    """The wishes as names and values, of an address or of the fields of a form."""
    order = by_hand.order if by_hand.order != USUAL_ORDER else ()
    return [
        *(("stays", _wished(one)) for one in by_hand.pins),
        *(("not", _wished(one)) for one in by_hand.forbidden),
        *(("away", code) for code in sorted(by_hand.away)),
        *(("goal", one.value) for one in order),
        *([("together", YES)] if by_hand.is_together else []),
    ]


def what_if_in(query: QueryDict) -> WhatIf:
    """What makes no sense asks nothing; codes of what is not there do nothing."""
    number = query.get("number", "")
    species = query.get("pairs", "")
    design = query.get("more", "")[:LONGEST_CODE]
    return WhatIf(
        design,
        min(int(number), MOST_MORE) if design and NUMBER.fullmatch(number) else 0,
        query.get("at", "")[:LONGEST_CODE],
        frozenset(code for code in query.getlist("gone")[:MOST] if code),
        Species(species) if species in list(Species) else None,
    )


def asked_of(what_if: WhatIf) -> list[tuple[str, str]]:
    """As ``pairs_of``."""
    more = [("more", what_if.design), ("number", str(what_if.number)), ("at", what_if.home)]
    return [
        *(more if what_if.number else []),
        *(("gone", code) for code in sorted(what_if.gone)),
        *([("pairs", what_if.pairs.value)] if what_if.pairs else []),
    ]


def query_of(by_hand: ByHand, what_if: WhatIf | None = None, **more: str) -> str:
    asked = asked_of(what_if) if what_if else []
    return f"?{urlencode([*pairs_of(by_hand), *asked, *more.items()])}"


def proposal_of(moves: Sequence[ProposedMove]) -> str:
    """The moves, as they are sent with "Record all moves"."""
    return ",".join(_paired(one.group, one.to.enclosure if one.to else "") for one in moves)


def proposed_in(proposal: str) -> list[tuple[str, str]]:
    """Groups and where each goes, in their order; empty: into a carrier."""
    return [_parted(one) for one in proposal.split(",")]


def _wished(pin: Pin) -> str:
    return _paired(pin.group, pin.enclosure or f"{HOME}{pin.home}")


def _paired(group: str, enclosure: str | None) -> str:
    return f"{group}{BETWEEN}{enclosure or ''}"


def _parted(words: str) -> tuple[str, str]:
    group, _dot, enclosure = words.partition(BETWEEN)
    return group, enclosure


def _pins(given: Iterable[str], rescue: RescueToday) -> Iterator[Pin]:
    for one in list(given)[:MOST]:
        group, place = _parted(one)
        pin = pin_of(group, place)
        if rescue.has(pin):
            yield pin


def pin_of(group: str, place: str) -> Pin:
    """``place``: the code of an enclosure, or that of a home with ``HOME`` before it."""
    if place.startswith(HOME):
        return Pin(group, home=place.removeprefix(HOME))
    return Pin(group, place)


def _order(given: Sequence[str]) -> tuple[Goal, ...]:
    """As named, those that are not at the end; what makes no sense is the usual order."""
    known = [one.value for one in Goal]
    named = [Goal(one) for one in dict.fromkeys(given) if one in known]
    return (*named, *(one for one in USUAL_ORDER if one not in named))


Named = Sequence[tuple[str, str]]  # code and name of each


class TypedChoice(forms.CharField):
    """One of many, typed by a part of its name; cleans to its code.

    The browser offers the names of the ``<datalist>`` called ``listed``: it needs no script.
    """

    MOST_NAMED = 4

    def __init__(self, label: Any, listed: str) -> None:
        widget = forms.TextInput(attrs={"list": listed, "autocomplete": "off"})
        super().__init__(label=label, max_length=300, widget=widget)
        self.named: Named = ()

    @staticmethod
    def offer(form: forms.BaseForm, **named: Named) -> None:
        """What there is today for each of these fields of a form."""
        for name, given in named.items():
            field = form.fields[name]
            assert isinstance(field, TypedChoice)
            field.named = given

    def prepare_value(self, value: Any) -> Any:
        """A link names it by its code; people read its name."""
        return dict(self.named).get(value, value)

    def clean(self, value: Any) -> str:
        words: str = super().clean(value)
        typed = words.casefold()
        named = [(code, name.casefold()) for code, name in self.named]
        for found in (
            [code for code, _name in named if code == words],
            [code for code, name in named if name == typed],
            [code for code, name in named if typed in name],
        ):
            if len(found) == 1:
                return found[0]
            if found:
                raise forms.ValidationError(self._which(words, found))
        raise forms.ValidationError(
            _("“%(words)s” is not in this list. Type a part of the name, and choose.")
            % {"words": words}
        )

    def _which(self, words: str, found: Sequence[str]) -> str:
        names = dict(self.named)
        named = "; ".join(names[code] for code in found[: self.MOST_NAMED])
        values = {"words": words, "names": named}
        if len(found) > self.MOST_NAMED:
            return _("“%(words)s” could be: %(names)s; and others. Type more of it.") % values
        return _("“%(words)s” could be: %(names)s. Type more of it.") % values


class PairWishForm(forms.Form):
    """A group that has to be in a place, or must not be there."""

    IN, OUT = "in", "out"

    group = TypedChoice(gettext_lazy("Group"), "wish-groups")
    how = forms.ChoiceField(
        label=gettext_lazy("Wish"),
        choices=[(IN, gettext_lazy("has to be in")), (OUT, gettext_lazy("not in"))],
    )
    place = TypedChoice(gettext_lazy("Place"), "wish-places")

    def __init__(self, query: QueryDict, groups: Named, places: Named) -> None:
        super().__init__(query if "how" in query else None)
        TypedChoice.offer(self, group=groups, place=places)

    def added_to(self, by_hand: ByHand) -> ByHand:
        """Who has to be somewhere has to be nowhere else."""
        if not self.is_bound or not self.is_valid():
            return by_hand
        given = self.cleaned_data
        pin = pin_of(given["group"], given["place"])
        if given["how"] == self.OUT:
            return replace(by_hand, forbidden=(*by_hand.forbidden, pin))
        pins = (one for one in by_hand.pins if one.group != pin.group)
        return replace(by_hand, pins=(*pins, pin))


class HomeAwayForm(forms.Form):
    """A home that takes nobody."""

    takes_nobody = TypedChoice(
        gettext_lazy("A home that takes nobody, as during a holiday"), "wish-homes"
    )

    def __init__(self, query: QueryDict, homes: Named) -> None:
        super().__init__(query if "takes_nobody" in query else None)
        TypedChoice.offer(self, takes_nobody=homes)

    def added_to(self, by_hand: ByHand) -> ByHand:
        if not self.is_bound or not self.is_valid():
            return by_hand
        return replace(by_hand, away=by_hand.away | {self.cleaned_data["takes_nobody"]})


class BuildProposedForm(forms.Form):
    """Which of the proposed builds is planned: its design, its home, and the group for it."""

    once = OnceField()
    build = forms.CharField(max_length=40)
    group = forms.CharField(max_length=20)

    @property
    def key(self) -> str:
        """As its step has it."""
        return str(self.cleaned_data.get("build", ""))

    @property
    def idempotency_key(self) -> uuid.UUID:
        """The page has one for all of its builds."""
        given = self.cleaned_data
        return uuid.uuid5(given["once"], f"{given.get('build')} {given.get('group')}")

    def found(self, rescue: RescueToday) -> tuple[DesignOffer | None, Home | None, str]:
        self.is_valid()
        design, home = _parted(self.key)
        group = str(self.cleaned_data.get("group", ""))
        return rescue.designs.get(design), rescue.homes.get(home), group


class UnionProposedForm(forms.Form):
    """Which of those proposed are one group from now on."""

    once = OnceField()
    union = forms.CharField(max_length=60)
    is_introduced = forms.BooleanField(required=False)

    @property
    def idempotency_key(self) -> uuid.UUID:
        """The page has one for all of its unions."""
        return uuid.uuid5(self.cleaned_data["once"], str(self.cleaned_data.get("union")))

    @property
    def refs(self) -> tuple[str, ...]:
        return tuple(str(self.cleaned_data.get("union", "")).split(BETWEEN))
