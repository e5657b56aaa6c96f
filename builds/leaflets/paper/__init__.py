"""The leaflets: one a role, two pages each, in the reader's language, units and paper size.

page = leaflet_page(LEAFLETS["foster"], rescue, how, link)    # HTML for paper, and its pictures
"""

from builds.leaflets.paper.builder import BUILDER
from builds.leaflets.paper.coordinator import COORDINATOR
from builds.leaflets.paper.foster import FOSTER
from builds.leaflets.paper.laundry import LAUNDRY
from builds.leaflets.paper.printed import leaflet_page
from builds.leaflets.paper.values import Leaflet

__all__ = ["LEAFLETS", "Leaflet", "leaflet_page"]

LEAFLETS = {str(one.role): one for one in (COORDINATOR, BUILDER, FOSTER, LAUNDRY)}
