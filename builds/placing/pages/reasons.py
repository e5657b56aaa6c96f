"""Why a group moves, or waits, in words."""

from django.utils.translation import gettext as _

from builds.placing.models.case_today import RescueToday
from builds.placing.pages.words import Naming
from habitats.placement.suiting import Asking, Suiting
from habitats.placement.values import AHEAD_DAYS, Miss, MissReason, Placing
from habitats.wording import joined

PRESSING = (MissReason.UNSAFE, MissReason.TOO_SMALL)


class Reasons:
    def __init__(
        self, rescue: RescueToday, suiting: Suiting, placing: Placing, naming: Naming
    ) -> None:
        self._rescue, self._suiting, self._naming = rescue, suiting, naming
        self._readings = rescue.readings.values()
        self._comes = {
            stay.place.enclosure: stay.groups[0]
            for stay in placing.stays
            if stay.place and stay.place.enclosure
        }

    def of(self, ref: str) -> str:
        """What speaks against where the group lives, or for whom it makes room."""
        there = self._rescue.lives_in.get(ref)
        if there is None:
            is_away = any(one.group and one.group.code == ref for one in self._readings)
            return _("Their home is away.") if is_away else _("They have no enclosure.")
        asking = Asking.one(self._suiting.groups[ref])
        misses = list(self._suiting.misses(asking, self._suiting.standing(there)))
        pressing = [one for one in misses if one.reason in PRESSING]
        if pressing:
            return self._drives_out(there, pressing[0])
        if misses:
            words = [self._naming.miss(one) for one in misses]
            return _("Where they live: %(reasons)s.") % {"reasons": joined("; ", words)}
        return self._makes_room(ref, there)

    def _drives_out(self, there: str, miss: Miss) -> str:
        if miss.reason is MissReason.UNSAFE:
            return _("Their enclosure is unsafe.")
        if self._rescue.readings[there].passes is False:
            words = _("Their enclosure is %(area)s too small.")
        else:
            words = _("Within %(days)d days their enclosure will be %(area)s too small.")
        return words % {"area": self._naming.area(miss.lacking_mm2), "days": AHEAD_DAYS}

    def _makes_room(self, ref: str, there: str) -> str:
        comes = self._comes.get(there, ref)
        if comes != ref:
            return _("Makes room for %(group)s.") % {"group": self._naming.group(comes)}
        return _("Makes room in the home.")
