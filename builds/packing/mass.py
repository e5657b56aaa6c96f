"""The mass of a packed box, compared with the mass worked out and with the last kit like it."""

from collections.abc import Mapping, Sequence

from builds.packing.lines import PackingLine
from habitats.measures import grams
from habitats.wording import message

# Wrapping, tape and a kitchen scale: within a twentieth two kits weigh the same. Common practice,
# no source.
PLAY = 20


def known_mass(lines: Sequence[PackingLine], packed: Mapping[str, int]) -> tuple[int, int]:
    """What weighs as much as is reckoned, in grams: what is in the box, and all that belongs there.

    Only lines whose mass is known count.
    """
    known = [line for line in lines if line.each_g is not None]
    inside = sum((line.each_g or 0) * packed.get(line.what, 0) for line in known)
    return inside, sum((line.each_g or 0) * line.to_pack for line in known)


def mass_words(weighed_g: int, inside_g: int, last_g: int | None) -> str:
    """What a weighing says, in one sentence; empty where there is nothing to hold it against.

    ``inside_g`` is reckoned of the linens that are in the box, ``last_g`` what the last whole kit
    of the same plan weighed, None if none was weighed.
    """
    if weighed_g < inside_g:
        return message(
            "%(weighed)s is less than the linens in it alone should weigh, %(linens)s. Check that "
            "they are in the box, and weigh again.",
            weighed=grams(weighed_g),
            linens=grams(inside_g),
        )
    if last_g is None:
        return ""
    apart, last = weighed_g - last_g, grams(last_g)
    if abs(apart) * PLAY <= last_g:
        return message("As heavy as the last kit of this plan, which weighed %(last)s.", last=last)
    if apart > 0:
        return message(
            "%(apart)s more than the last kit of this plan, which weighed %(last)s. Go through the "
            "list once more.",
            apart=grams(apart),
            last=last,
        )
    return message(
        "%(apart)s less than the last kit of this plan, which weighed %(last)s. Go through the "
        "list once more.",
        apart=grams(-apart),
        last=last,
    )
