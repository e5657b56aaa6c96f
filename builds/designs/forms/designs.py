"""Forms about whole designs: begin one, name it, search, import one."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from builds.designs.forms.steps import SPECIES
from habitats.common.fields import LengthField, LineField, OnceField, use_units
from habitats.designs.models.designs import DesignQuerySet
from habitats.designs.models.structures import faults_of
from habitats.strict_json import NotReadable, load
from habitats.structure.design import Design, Level, PanelSize, Species
from habitats.structure.faults import BadDesign
from habitats.structure.lattice import Cell
from habitats.structure.read import (
    LONGEST_NAME,
    MOST_COLS,
    MOST_ROWS,
    PANEL_MM,
    SQUARES,
    design_from,
)
from habitats.structure.sources import common_panels

LARGEST_FILE = 1_000_000
MOST_FAULTS_TOLD = 40


class NewDesignForm(forms.Form):
    """A first rectangle to draw on from."""

    once = OnceField()
    name = LineField(label=_("Name"), max_length=LONGEST_NAME)
    species = forms.ChoiceField(label=_("Species"), choices=SPECIES)
    size_mm = LengthField(
        label=_("Panel, joint to joint"),
        bounds=PANEL_MM,
    )
    squares = forms.IntegerField(
        label=_("Mesh squares a side"), min_value=SQUARES[0], max_value=SQUARES[1], initial=9
    )
    cols = forms.IntegerField(
        label=_("Cells from west to east"),
        min_value=1,
        max_value=MOST_COLS,
        initial=3,
        help_text=_("A cell is the floor that is one panel wide and one panel deep."),
    )
    rows = forms.IntegerField(
        label=_("Cells from north to south"),
        min_value=1,
        max_value=MOST_ROWS,
        initial=2,
        help_text=_(
            "This makes a rectangle. Change it on the drawing board: it says how many animals fit."
        ),
    )

    def __init__(self, *args: Any, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)
        self.fields["size_mm"].help_text = gettext(
            "Always measure yours: five panels in a row, divided by five. Common sizes are "
            "%(sizes)s."
        ) % {"sizes": common_panels(units)}

    def shape(self) -> Design:
        given = self.cleaned_data
        rows, cols = given["rows"], given["cols"]
        cells = frozenset(Cell(row, col) for row in range(rows) for col in range(cols))
        return Design(
            name=given["name"],
            species=Species(given["species"]),
            panel=PanelSize(given["size_mm"], given["squares"]),
            rows=rows,
            cols=cols,
            levels=(Level(0, 1, cells),),
        )


class NameForm(forms.Form):
    name = LineField(label=_("Name"), max_length=LONGEST_NAME)


class FindForm(forms.Form):
    words = forms.CharField(label=_("Name or code"), required=False, max_length=LONGEST_NAME)
    species = forms.ChoiceField(
        label=_("Species"), required=False, choices=[("", _("all")), *SPECIES]
    )

    def found(self, designs: DesignQuerySet) -> DesignQuerySet:
        """Those that are asked for; all where the question makes no sense."""
        given = self.cleaned_data if self.is_valid() else {}
        if given.get("words"):
            designs = designs.named_like(given["words"].strip())
        return designs.for_species(given["species"]) if given.get("species") else designs


class ImportForm(forms.Form):
    """A design file, chosen or pasted. ``shape()`` is what it holds; faults name their places."""

    once = OnceField()
    file = forms.FileField(
        label=_("Design file"),
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
        help_text=_("A .json file of the form enclosure-design/1, up to 1 MB."),
    )
    text = forms.CharField(
        label=_("Or its text, pasted"),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false"}),
    )
    as_draft = forms.BooleanField(
        label=_("Import as a draft, and correct its faults on the drawing board"), required=False
    )
    can_be_draft = False

    def clean(self) -> None:
        file, text = self.cleaned_data.get("file"), self.cleaned_data.get("text")
        field = "file" if file is not None else "text"
        if file is None and not text:
            self.add_error("file", _("Choose a design file, or paste its text below."))
            return
        try:
            data = _bytes_of(file) if file is not None else _text_bytes(text or "")
            self._shape = _read(data)
        except BadDesign as bad:
            self._tell(field, [str(fault) for fault in bad.faults])
            return
        except (NotReadable, UnicodeEncodeError) as fault:
            self.add_error(field, str(fault))
            return
        faults = faults_of(self._shape)
        if faults and not self.cleaned_data["as_draft"]:
            self.can_be_draft = True
            self._tell(field, [str(fault) for fault in faults])

    def shape(self) -> Design:
        return self._shape

    def _tell(self, field: str, sentences: list[str]) -> None:
        for sentence in sentences[:MOST_FAULTS_TOLD]:
            self.add_error(field, sentence)
        if len(sentences) > MOST_FAULTS_TOLD:
            self.add_error(field, _more(len(sentences) - MOST_FAULTS_TOLD))


def _more(count: int) -> str:
    return ngettext("And %(count)d more.", "And %(count)d more.", count) % {"count": count}


def _read(data: bytes) -> Design:
    return design_from(load(data, LARGEST_FILE))


def _bytes_of(file: UploadedFile) -> bytes:
    # One byte more than allowed tells that there is more, without reading it all.
    return file.read(LARGEST_FILE + 1)


def _text_bytes(text: str) -> bytes:
    return text.encode("utf-8", "replace")
