"""An enclosure with an upper level in a foster's home, and what somebody may see in it."""

import pytest

from habitats.structure.lattice import Side
from tests.support.designs import ramp_from

GROUND = ("######", "######")
UPPER = ("....##", "....##")


@pytest.fixture
def loft(make_home, make_enclosure, foster):
    """Two levels with a ramp between them, in the foster's home."""
    home = make_home("Wren", area="Ferry Road", people=[foster])
    ramp = ramp_from(1, 4, Side.W)
    return make_enclosure("Loft", home, plan=GROUND, upper=UPPER, ramps=(ramp,))


@pytest.fixture
def report(foster, day):
    """`report(loft, urgency="unsafe")`: a fault seen yesterday."""
    from habitats.faults.models import faults

    def make(enclosure, kind="tie", urgency="soon", **facts):
        facts = {"on": day(-1), "by": foster, **facts}
        return faults.report(enclosure, kind, urgency, **facts)

    return make


@pytest.fixture
def media(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return tmp_path
