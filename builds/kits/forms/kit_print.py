"""How the printed set of a kit is to be. What is not said takes the reader's usual choice."""

from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from builds.common.paper import Paper
from builds.kits.paper import SECTIONS, Leaf
from builds.packet.forms import BLACK, COLOUR, INKS
from builds.packet.paper import Options, Section
from habitats.common.languages import InALanguage
from habitats.people.models.people import Person


class KitPrintForm(InALanguage):
    paper = forms.ChoiceField(
        label=_("Paper"), choices=Person.Paper.choices, widget=forms.RadioSelect
    )
    units = forms.ChoiceField(
        label=_("Lengths in"), choices=Person.Units.choices, widget=forms.RadioSelect
    )
    ink = forms.ChoiceField(label=_("Printer"), choices=INKS, widget=forms.RadioSelect)
    leaves_asked = forms.MultipleChoiceField(
        label=_("Papers"),
        choices=[(one.value, one.heading) for one in Leaf],
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Nothing is ticked. Tick at least one paper.")},
    )

    @classmethod
    def asked(cls, person: Person, given: QueryDict) -> "KitPrintForm":
        """The form as the address asks for it; what it leaves out is as usual."""
        usual: dict[str, Any] = {
            "language": get_language(),
            "paper": person.paper,
            "units": person.units,
            "ink": COLOUR,
            "leaves_asked": [one.value for one in Leaf],
        }
        for name in usual:
            if name in given:
                values = given.getlist(name)
                usual[name] = values if name == "leaves_asked" else values[-1]
        return cls(usual)

    def leaves(self) -> frozenset[Leaf]:
        return frozenset(Leaf(one) for one in self.cleaned_data["leaves_asked"])

    def options(self, who_for: str) -> Options:
        return set_options(
            self.leaves(),
            paper=self.cleaned_data["paper"],
            units=self.cleaned_data["units"],
            who_for=who_for,
            colour=self.cleaned_data["ink"] != BLACK,
        )


def set_options(
    leaves: frozenset[Leaf], *, paper: str, units: str, who_for: str, colour: bool = True
) -> Options:
    """The options of the packet within the set: all of it, or nothing but what pages say."""
    sections = SECTIONS if Leaf.PACKET in leaves else frozenset[Section]()
    return Options(
        paper=Paper(paper), units=units, who_for=who_for, sections=sections, colour=colour
    )
