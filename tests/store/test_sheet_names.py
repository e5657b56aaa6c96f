"""What a kind of sheet is called: its sides as everywhere, each with its unit (ISO 80000-1)."""

import pytest

from tests.support.sheets import make_kind

pytestmark = pytest.mark.django_db


def test_a_sheet_has_its_sides_as_a_cutting_plan_writes_them():
    kind = make_kind(name="White", width_mm=1000, height_mm=2000)

    assert str(kind).replace("\N{NO-BREAK SPACE}", " ").replace("\N{THIN SPACE}", " ") == (
        "White, 1 000 mm × 2 000 mm"
    )
