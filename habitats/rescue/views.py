"""The rescue's own settings: which rule sets it answers to; and all rule sets beside each other."""

from collections.abc import Callable
from datetime import timedelta
from typing import NamedTuple

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.common.sent import UNPROCESSABLE, form_page, sent_with
from habitats.drawing.floors import floor_square
from habitats.drawing.panels_in_a_row import panels_in_a_row
from habitats.measures import area_needed, length
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.erasing import without_log_in_since
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed
from habitats.rescue.forms import (
    AccessRulesForm,
    CompareForm,
    OwnFiguresForm,
    PanelSizeForm,
    RescueForm,
)
from habitats.rescue.models import facts
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import own_name, rules_of
from habitats.welfare.bands import Bands
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.rule_sets import rule_set, rule_sets_for
from habitats.welfare.space import ANIMAL_WORDS, cautions_of
from habitats.welfare.values import Resident, Species

NUMBERS = (1, 2, 3, 4, 6)
DAYS_A_YEAR, MOST_ERASABLE = 365, 100
SPECIES_WORDS = {
    Species.GUINEA_PIG: gettext_lazy("Guinea pigs"),
    Species.RABBIT: gettext_lazy("Rabbits"),
}


def _ours(_request: HttpRequest) -> Rescue:
    return Rescue.ours()


def _ours_for(_request: HttpRequest, species: str) -> tuple[Rescue, str]:
    return Rescue.ours(), _species(species).value


@require_http_methods(["GET", "POST"])
@based_on(_ours, of_form(RescueForm))
def rescue(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    ours = Rescue.ours()
    form = RescueForm(sent_with(request), instance=ours)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Settings saved. Every enclosure is checked again."))
        # Set-up leads to a field: without a place of its own this answer would open there again.
        return redirect(f"{reverse('rescue')}#top")
    own = [_own(species, Rescue.ours(), person.units) for species in Species]
    status = UNPROCESSABLE if request.method == "POST" else 200
    return render(request, "rescue/rescue.html", {"form": form, "own": own}, status=status)


@require_http_methods(["GET", "POST"])
@based_on(_ours, of_form(AccessRulesForm))
def access_rules(request: HttpRequest) -> HttpResponse:
    """Who needs a second factor, and who is proposed to be erased; nothing is erased by itself."""
    person = coordinator_or_403(request)
    ours = Rescue.ours()
    years = ours.erase_people_after_years
    form = AccessRulesForm(sent_with(request), instance=ours, asked_by=person)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Settings saved."))
        return redirect("access_rules")
    found = []
    if years:
        since = timezone.localdate() - timedelta(days=years * DAYS_A_YEAR)
        found = list(without_log_in_since(since)[:MOST_ERASABLE])
    return form_page(request, "rescue/access_rules.html", form=form, years=years, people=found)


@require_http_methods(["GET", "POST"])
@based_on(_ours, of_form(PanelSizeForm))
def panel_size(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    form = PanelSizeForm(sent_with(request), instance=Rescue.ours(), units=person.units)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Panel size saved. New designs begin with it."))
        return redirect("set_up")
    picture = panels_in_a_row(person.units)
    return form_page(request, "rescue/panel_size.html", form=form, picture=picture)


@require_http_methods(["GET", "POST"])
@based_on(_ours_for, facts.own_figures)
def own_figures(request: HttpRequest, species: str) -> HttpResponse:
    person = coordinator_or_403(request)
    kind, ours = _species(species), Rescue.ours()
    chosen = ours.rules_for(kind)
    context: dict[str, object] = {"animals": _animals(kind)}
    if not chosen:
        return render(request, "rescue/own_figures.html", context)
    figures = ours.own_figures(kind)
    form = OwnFiguresForm(
        sent_with(request),
        base=rule_set(chosen),
        name=own_name(ours.name),
        units=person.units,
        initial=figures or None,
    )
    if accepted(request, form):
        form.keep(ours)
        messages.success(request, _("Own figures saved. Every enclosure is checked against them."))
        return redirect("rescue")
    status = UNPROCESSABLE if request.method == "POST" else 200
    context |= {"form": form, "base": rule_set(chosen), "has_own": bool(figures)}
    return render(request, "rescue/own_figures.html", context, status=status)


@require_POST
@based_on(_ours_for, facts.own_figures)
def drop_own_figures(request: HttpRequest, species: str) -> HttpResponse:
    coordinator_or_403(request)
    refuse_if_changed(request)
    kind, ours = _species(species), Rescue.ours()
    ours.own_rules = {key: value for key, value in ours.own_rules.items() if key != kind.value}
    ours.save(update_fields=["own_rules"])
    messages.success(request, _("Own figures deleted. The space standard applies unchanged."))
    return redirect("rescue")


@require_GET
def rule_sets(request: HttpRequest) -> HttpResponse:
    """Every rule set beside the others, each in its own words: none is blended with another."""
    person = member_or_403(request, Person.Role.BUILDER, Person.Role.FOSTER)
    ours = Rescue.ours()
    form = CompareForm(request.GET)
    grams = form.cleaned_data["grams"] if form.is_valid() else None
    tables = [
        (SPECIES_WORDS[species], _rows(species, ours, grams, person.units), _animals(species))
        for species in Species
    ]
    context = {"form": form, "tables": tables, "numbers": NUMBERS, "grams": grams}
    return render(request, "rescue/rule_sets.html", context)


class RuleSetRow(NamedTuple):
    """``floors``: for each of ``NUMBERS``; with “or more” where the rule set has no figure.
    ``picture``: that for two as a square, to one scale.
    """

    rules: RuleSet
    is_chosen: bool
    floors: tuple[tuple[int, str], ...]
    picture: str
    height: str
    sides: str
    upper: str
    number: str
    cautions: tuple[str, ...]


class Own(NamedTuple):
    ours: Rescue
    species: Species
    words: str
    animals: str
    chosen: RuleSet | None
    has_figures: bool
    floors: tuple[str, ...]

    @property
    def shown(self) -> tuple[Rescue, str]:
        """What the button that deletes them is based on."""
        return self.ours, self.species.value


def _own(species: Species, ours: Rescue, units: str) -> Own:
    chosen = rules_of(ours, species)
    has_figures = bool(ours.own_figures(species))
    floors = _floors(chosen, None, units) if chosen else ()
    return Own(
        ours,
        species,
        str(SPECIES_WORDS[species]),
        _animals(species),
        chosen,
        has_figures,
        floors,
    )


def _animals(species: Species) -> str:
    """As a sentence names them."""
    return ANIMAL_WORDS[species][1]


def _rows(species: Species, ours: Rescue, grams: int | None, units: str) -> list[RuleSetRow]:
    chosen = rules_of(ours, species)
    shown = list(rule_sets_for(species))
    if chosen and chosen.base:
        shown.insert(0, chosen)
    return [_row(one, one == chosen, grams, units) for one in shown]


def _row(rules: RuleSet, is_chosen: bool, grams: int | None, units: str) -> RuleSetRow:
    return RuleSetRow(
        rules=rules,
        is_chosen=is_chosen,
        floors=tuple(zip(NUMBERS, _floors(rules, grams, units), strict=True)),
        picture=_picture(rules, grams, units),
        height=_span(rules.height.height_mm, units) if rules.height else "",
        sides=_sides(rules, units),
        upper=_upper(rules),
        number=_number(rules),
        cautions=cautions_of(rules),
    )


def _upper(rules: RuleSet) -> str:
    if not rules.upper_credit:
        return _("no")
    return _("up to %(share)s of the floor") % {"share": rules.upper_credit}


def _floors(rules: RuleSet, grams: int | None, units: str) -> tuple[str, ...]:
    return tuple(_floor(rules, number, grams, units) for number in NUMBERS)


def _floor(rules: RuleSet, number: int, grams: int | None, units: str) -> str:
    animals = [Resident(weight_g=grams)] * number
    asked = area_needed(rules.required_mm2(animals), units)
    return asked if rules.floor.covers(animals) else _("%(area)s or more") % {"area": asked}


def _picture(rules: RuleSet, grams: int | None, units: str) -> str:
    """The floor for two, to one scale."""
    asked = rules.required_mm2([Resident(weight_g=grams)] * 2)
    name = _("Floor for two by %(standard)s") % {"standard": rules.name}
    return floor_square(asked, name, is_binding=rules.choosable, units=units)


def _span(heights: Bands, units: str) -> str:
    values = [one.value for one in heights.classes]
    return _from_to(min(values), max(values), lambda mm: length(mm, units))


def _sides(rules: RuleSet, units: str) -> str:
    asked = (
        (_("longest %(length)s"), rules.longest_side_mm),
        (_("shortest %(length)s"), rules.shortest_side_mm),
    )
    return ", ".join(words % {"length": length(mm, units)} for words, mm in asked if mm)


def _number(rules: RuleSet) -> str:
    parts = []
    if rules.least_animals > 1:
        parts.append(_("at least %(number)s") % {"number": rules.least_animals})
    if rules.most_animals:
        counts = [one.value for one in rules.most_animals.classes]
        number = _from_to(min(counts), max(counts), str)
        parts.append(_("at most %(number)s, by weight") % {"number": number})
    return ", ".join(parts)


def _from_to(least: int, most: int, words: Callable[[int], str]) -> str:
    if least == most:
        return words(least)
    return _("%(least)s to %(most)s") % {"least": words(least), "most": words(most)}


def _species(name: str) -> Species:
    try:
        return Species(name)
    except ValueError:
        raise Http404(_("There are no space standards for these animals.")) from None
