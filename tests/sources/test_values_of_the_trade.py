"""The trade's values, as somebody from the trade would say them, and how each is known.

No value here is taken from the code: each was written down by hand. Those marked PRACTICE are
common practice without a source; so is the table itself. Who changes a value changes it here too.
"""

import pytest

from builds.cited import every_figure
from habitats.source import Known

FIGURES = {one.code: one for one in every_figure()}
PRACTICE, MEMORY, PRIMARY = Known.PRACTICE, Known.MEMORY, Known.PRIMARY

TRADE = (
    ("panel_sizes", PRACTICE, ["355 mm, 350 mm, 305 mm and 300 mm", "always measure"]),
    # 4 by 8 feet of 304.8 mm are 1 219 by 2 438 mm.
    ("stock_sheet", MEMORY, ["1 220 mm × 2 440 mm"]),
    ("tray_walls", PRACTICE, ["150 mm"]),
    ("join_overlap", PRACTICE, ["50 mm"]),
    ("tabs_and_flaps", PRACTICE, ["30 mm or more"]),
    ("strip_holes", PRACTICE, ["8 mm wide"]),
    ("cable_ties", PRACTICE, ["about 200 mm", "80 N or more"]),
    ("ramp_ties", PRACTICE, ["4 at each overlap, 2 at the head, 2 at the foot"]),
    ("spare_ties", PRACTICE, ["10 %"]),
    ("spare_tape", PRACTICE, ["10 %"]),
    ("ramp_strip", PRACTICE, ["50 mm from each long edge"]),
    ("ramp_towel", PRACTICE, ["4 layers", "200 mm"]),
    ("slope_above_practice", PRACTICE, ["about 25°"]),
    ("narrow_ramp", PRACTICE, ["100 mm or more"]),
    ("low_doorway", PRACTICE, ["guinea pigs 200 mm, rabbits 280 mm"]),
    ("long_span", PRACTICE, ["2 panels at most"]),
    ("out_of_reach", PRACTICE, ["700 mm from an open side"]),
    ("low_walls", PRIMARY, ["300 mm or more"]),
    ("mesh_floors", PRIMARY, ["never bare wire"]),
    ("pups_and_wire", PRACTICE, ["no published limit was found"]),
)


@pytest.mark.parametrize(("code", "known", "said"), TRADE, ids=[code for code, *_ in TRADE])
def test_a_value_of_the_trade_is_the_one_that_is_told(code, known, said):
    told = "; ".join(map(str, FIGURES[code].values)).replace("\N{NO-BREAK SPACE}", " ")

    assert FIGURES[code].source.known is known
    for words in said:
        assert words in told
