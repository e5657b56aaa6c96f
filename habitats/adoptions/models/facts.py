"""Facts of adoptions that two people may change at once."""

from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import Adoption
from habitats.adoptions.models.follow_ups import AdoptionFollowUp, AdoptionFollowUpDone
from habitats.basis import Fact
from habitats.common.days import in_full
from habitats.common.facts import NONE, fact


def last_event(adoption: Adoption) -> list[Fact]:
    last = adoption.events.order_by("-pk").first()
    return [
        fact(
            adoption,
            "last_event",
            _("Last entry"),
            last.pk if last else None,
            last.words if last else NONE,
        )
    ]


def answered(follow_up: AdoptionFollowUp) -> list[Fact]:
    done = AdoptionFollowUpDone.objects.filter(follow_up=follow_up).first()
    words = _("not asked yet")
    if done:
        words = _("asked on %(day)s") % {"day": in_full(done.on)}
    return [fact(follow_up, "done", _("Follow-up"), done.pk if done else None, words)]
