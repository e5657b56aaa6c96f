"""The forms of an animal show all that they take."""

import pytest

from habitats.animals.forms.animals import AnimalForm, NewAnimalForm


@pytest.mark.parametrize("form", [AnimalForm, NewAnimalForm])
def test_every_field_stands_under_a_heading(form):
    """One under none would be asked of nobody, and emptied at each change."""
    under_headings = {name for _heading, _anchor, names in form.PARTS for name in names}

    assert set(form.base_fields) - under_headings - {"once"} == set()
