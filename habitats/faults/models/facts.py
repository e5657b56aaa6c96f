"""Facts of faults that two people may change at once."""

from django.utils.translation import gettext as _

from habitats.basis import Fact
from habitats.common import days
from habitats.common.facts import fact
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.facts import as_built
from habitats.faults.models.faults import Fault


def open_faults(enclosure: Enclosure) -> list[Fact]:
    """Altered or mended meanwhile, a repair would be planned of what is not there."""
    faults = list(enclosure.faults.open().order_by("pk"))
    keys = ",".join(str(one.pk) for one in faults)
    words = "; ".join(map(str, faults))
    return [*as_built(enclosure), fact(enclosure, "faults", _("Open faults"), keys, words)]


def mended(fault: Fault) -> list[Fact]:
    done = getattr(fault, "mended", None)
    words = _("mended on %(day)s") % {"day": days.in_full(done.on)} if done else _("open")
    return [fact(fault, "mended", _("This fault"), done.pk if done else None, words)]
