"""What pages of kits show of things that two people may change at once."""

from typing import NamedTuple

from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from builds.kits.models.follow_ups import FollowUpDone
from builds.kits.models.kits import Kit
from builds.making.part_names import part_name
from builds.plans.models.builds import Build
from habitats.basis import Fact
from habitats.common.facts import fact, fields_of


class Packed(NamedTuple):
    """How many of one line are in the box of a build's kit."""

    build: Build
    what: str
    number: int


def packed(line: Packed) -> list[Fact]:
    told = fact(line.build, f"packed {line.what}", capfirst(part_name(line.what)), line.number)
    return [told._replace(words=_("%(number)d in the box") % {"number": line.number})]


def linens_of_kit(kit: Kit) -> list[Fact]:
    names = ("linen_sets", "liner_kind", "towel_kind")
    return [one._replace(of=f"kit of build {kit.build_id}") for one in fields_of(kit, names)]


def follow_up_days(build: Build) -> list[Fact]:
    last = build.follow_ups.last_words().order_by("number").values_list("number", "on")
    days = ",".join(f"{number}:{on}" for number, on in last)
    words = ", ".join(date_format(on, _("j F Y")) for _number, on in last if on)
    return [fact(build, "follow_ups", _("Follow-up days"), days, words)]


class Asked(NamedTuple):
    build: Build
    number: int


def follow_up_done(asked: Asked) -> list[Fact]:
    done = FollowUpDone.objects.filter(build=asked.build, number=asked.number).first()
    words = _("not asked yet")
    if done:
        words = _("asked on %(day)s") % {"day": date_format(done.on, _("j F Y"))}
    name = f"follow-up {asked.number}"
    return [fact(asked.build, name, _("Follow-up"), done.pk if done else None, words)]
