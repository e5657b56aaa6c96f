"""Facts of faults that two people may change at once."""

from habitats.basis import Fact
from habitats.common.facts import fact
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.facts import as_built
from habitats.faults.models.faults import Fault


def open_faults(enclosure: Enclosure) -> list[Fact]:
    """Altered or mended meanwhile, a repair would be planned of what is not there."""
    faults = list(enclosure.faults.open().order_by("pk"))
    keys = ",".join(str(one.pk) for one in faults)
    words = "; ".join(str(one) for one in faults)
    return [*as_built(enclosure), fact(enclosure, "faults", "Open faults", keys, words)]


def mended(fault: Fault) -> list[Fact]:
    done = getattr(fault, "mended", None)
    words = f"mended on {done.on:%-d %B %Y}" if done else "open"
    return [fact(fault, "mended", "This fault", done.pk if done else None, words)]
