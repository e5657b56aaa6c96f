"""What pages of kits show of things that two people may change at once."""

from typing import NamedTuple

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
    told = fact(line.build, f"packed {line.what}", part_name(line.what).capitalize(), line.number)
    return [told._replace(words=f"{line.number} in the box")]


def linens_of_kit(kit: Kit) -> list[Fact]:
    names = ("linen_sets", "liner_kind", "towel_kind")
    return [one._replace(of=f"kit of build {kit.build_id}") for one in fields_of(kit, names)]


def follow_up_days(build: Build) -> list[Fact]:
    last = build.follow_ups.last_words().order_by("number").values_list("number", "on")
    days = ",".join(f"{number}:{on}" for number, on in last)
    words = ", ".join(f"{on:%-d %B %Y}" for _number, on in last if on)
    return [fact(build, "follow_ups", "Days to ask on", days, words)]


class Asked(NamedTuple):
    build: Build
    number: int


def follow_up_done(asked: Asked) -> list[Fact]:
    done = FollowUpDone.objects.filter(build=asked.build, number=asked.number).first()
    words = f"asked on {done.on:%-d %B %Y}" if done else "not asked yet"
    name = f"follow-up {asked.number}"
    return [fact(asked.build, name, "Follow-up", done.pk if done else None, words)]
