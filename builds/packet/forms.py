"""Print options of a packet. An option that is not given takes the usual choice of the reader."""

from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from builds.common.paper import Paper
from builds.packet.paper.options import Options, Section
from habitats.common.languages import InALanguage
from habitats.people.models.people import Person

LONGEST_WHO_FOR = 60
COLOUR, BLACK = "colour", "black"
STEPS = [("2", _("As many steps on a page as fit")), ("1", _("One step a page, larger"))]
INKS = [(COLOUR, _("Colours")), (BLACK, _("Black and white"))]


class PacketForm(InALanguage):
    """Options of a packet. The name is only printed: it is kept nowhere."""

    who_for = forms.CharField(
        label=_("Name on the cover"),
        max_length=LONGEST_WHO_FOR,
        required=False,
        help_text=_("It is printed and not saved."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    paper = forms.ChoiceField(
        label=_("Paper"), choices=Person.Paper.choices, widget=forms.RadioSelect
    )
    units = forms.ChoiceField(
        label=_("Lengths in"), choices=Person.Units.choices, widget=forms.RadioSelect
    )
    steps = forms.TypedChoiceField(
        label=_("Steps"), choices=STEPS, coerce=int, widget=forms.RadioSelect
    )
    ink = forms.ChoiceField(label=_("Printer"), choices=INKS, widget=forms.RadioSelect)
    sections = forms.MultipleChoiceField(
        label=_("Sections"),
        choices=[(one.value, one.heading) for one in Section],
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Nothing is ticked. Tick at least one section to print.")},
    )

    @classmethod
    def asked(cls, person: Person, given: QueryDict, *, sent: bool) -> "PacketForm":
        """The form as asked for. A form that was ``sent`` is whole; an address may leave out."""
        usual: dict[str, Any] = {
            "who_for": "",
            "language": get_language(),
            "paper": person.paper,
            "units": person.units,
            "steps": "2",
            "ink": COLOUR,
            "sections": [one.value for one in Section],
        }
        if sent:
            return cls(given)
        known = {name: given.getlist(name) for name in usual if name in given}
        one_each = {
            name: values if name == "sections" else values[-1] for name, values in known.items()
        }
        return cls(usual | one_each)

    def options(self) -> Options:
        """What was chosen; only of a form that is valid."""
        chosen = self.cleaned_data
        return Options(
            paper=Paper(chosen["paper"]),
            units=chosen["units"],
            who_for=chosen["who_for"],
            sections=frozenset(Section(one) for one in chosen["sections"]),
            steps_a_page=chosen["steps"],
            colour=chosen["ink"] == COLOUR,
        )
