"""Words of the screen that leaflets quote: each stands on the page that it is said to stand on.

The walks that open every address ask this of each page, so that none is opened again for it.
"""

import re
from html import unescape

from builds.leaflets.paper import LEAFLETS


def not_read_at(name: str, role: str, page: str) -> list[str]:
    """What this role's leaflet quotes from the address, and the page does not say."""
    said = {" ".join(unescape(one).split()) for one in re.findall(r">([^<>]+)<", page)}
    quoted = [str(one.words) for one in LEAFLETS[role].quoted if one.at == name]
    return [words for words in quoted if words not in said]
