"""The demo's story as values: its homes, what stands in them, who lives there. All invented.

Days are counted back from the day on which the demo is brought in.
"""

from typing import NamedTuple

FEMALE, MALE, CASTRATED = "F", "M", "c"
BUILT_DAYS, MOVED_IN_DAYS = 400, 300
QUARANTINE_DAYS = 14


class ToldArrival(NamedTuple):
    """How an animal came, as the form of an intake asks it."""

    origin: str
    came_from: str
    found_by: str
    colour: str
    marks: str
    condition: str
    own_id: str
    chip: str = ""


class ToldAnimal(NamedTuple):
    """``mark``: its sex, or that he is castrated. ``weighed``: so many days ago for the last time.

    ``came`` None: with its group. ``with_male``: the first and last day of that. ``away``: parted
    from its group on the first day, and with it again from the second. ``fell``: its last weight
    is far below the one before. ``is_apart``: in quarantine since it came. ``arrival`` None: what
    was known of it then is not written down.
    """

    name: str
    mark: str = FEMALE
    age: int = 700
    weighed: int = 6
    came: int | None = None
    castrated: int = 200
    mother: str = ""
    with_male: tuple[int, int] | None = None
    away: tuple[int, int] | None = None
    fell: bool = False
    is_apart: bool = False
    arrival: ToldArrival | None = None


def _given_up(colour: str, marks: str, condition: str, own_id: str, chip: str = "") -> ToldArrival:
    """One of a pair that was given up."""
    return ToldArrival(
        "given up", "a flat in Larkrise", "its keeper", colour, marks, condition, own_id, chip
    )


def _found(colour: str, marks: str, condition: str, own_id: str) -> ToldArrival:
    """One of a pair that was left in a box today."""
    return ToldArrival(
        "found", "a box by the weir, Millrace", "Hedda Brook", colour, marks, condition, own_id
    )


class ToldEnclosure(NamedTuple):
    """``since``: the animals live there for so many days; ``checked``: its last safety check.

    ``before``: those who lived there until then, and were adopted. ``state`` empty: it follows from
    who lives there.
    """

    label: str
    design: str
    animals: tuple[ToldAnimal, ...] = ()
    since: int = MOVED_IN_DAYS
    checked: int = 12
    before: tuple[str, ...] = ()
    state: str = ""
    species: str = "guinea_pig"


class ToldHome(NamedTuple):
    """``has_pool``: it washes for itself; the others draw from the depot."""

    name: str
    surname: str
    area: str
    most: int
    width_mm: int
    depth_mm: int
    enclosures: tuple[ToldEnclosure, ...]
    other_pets: str = ""
    pet_kinds: str = ""
    most_animals: int | None = None
    known_species: str = ""
    has_stairs: bool = False
    is_depot: bool = False
    has_pool: bool = False


def _pair(one: str, other: str, weighed: int = 6) -> tuple[ToldAnimal, ...]:
    """A sow and a castrated boar, the usual company."""
    return (
        ToldAnimal(one, age=640, weighed=weighed),
        ToldAnimal(other, CASTRATED, age=820, weighed=weighed),
    )


def _sows(*names: str, weighed: int = 6) -> tuple[ToldAnimal, ...]:
    return tuple(
        ToldAnimal(name, age=520 + 90 * at, weighed=weighed) for at, name in enumerate(names)
    )


BRAMBLE = _given_up("black", "white nose", "well fed", "N-102", "900099000000017")
COCOA = _given_up("chocolate", "none", "well fed, long nails", "N-103")

HOMES: tuple[ToldHome, ...] = (
    ToldHome(
        "Ines",
        "Calloway",
        "Larkrise",
        3,
        3200,
        1500,
        (
            ToldEnclosure(
                "Piano corner",
                "Three floors by the door",
                (
                    ToldAnimal("Biscuit", age=900, weighed=1, fell=True),
                    ToldAnimal("Clover", age=880, weighed=1),
                ),
                before=("Dandelion", "Sparrow"),
            ),
            ToldEnclosure(
                "Window seat",
                "Bay window",
                (*_sows("Nettle", "Mustard", weighed=23), ToldAnimal("Thimble", CASTRATED)),
            ),
            ToldEnclosure("Under the shelf", "Long wall with a loft", _pair("Sorrel", "Pebble")),
        ),
        has_pool=True,
    ),
    ToldHome(
        "The depot",
        "",
        "Millrace",
        8,
        3200,
        2100,
        (
            ToldEnclosure(
                "Isolation 1",
                "Quarantine pair",
                (
                    ToldAnimal("Bramble", age=210, weighed=2, is_apart=True, arrival=BRAMBLE),
                    ToldAnimal("Cocoa", age=240, weighed=2, is_apart=True, arrival=COCOA),
                ),
                since=9,
            ),
            ToldEnclosure("Isolation 2", "Quarantine pair", checked=5),
            ToldEnclosure("Rack room", "Long wall with a loft", _pair("Juniper", "Fig")),
        ),
        is_depot=True,
    ),
    ToldHome(
        "Sunniva",
        "Quarrie",
        "Ash Lane",
        3,
        3200,
        1500,
        (
            ToldEnclosure(
                "Quiet room",
                "Bay window",
                (
                    ToldAnimal("Parsnip", age=400, weighed=3, came=55, with_male=(63, 56)),
                    ToldAnimal("Quince", age=760),
                ),
                since=55,
            ),
            ToldEnclosure("Stair foot", "Under the stairs", _pair("Rhubarb", "Sesame"), checked=27),
        ),
        has_stairs=True,
    ),
    ToldHome(
        "Kofi",
        "Ardent",
        "Saltmarsh",
        4,
        2200,
        1300,
        (
            ToldEnclosure(
                "Fireside",
                "Under the stairs",
                (
                    ToldAnimal("Truffle", age=330, weighed=2),
                    ToldAnimal("Umber", MALE, age=22, weighed=1, came=22, mother="Truffle"),
                    ToldAnimal("Violet", age=22, weighed=1, came=22, mother="Truffle"),
                ),
                since=70,
            ),
            ToldEnclosure(
                "Book corner",
                "Round the pillar",
                (
                    ToldAnimal("Ginger", MALE, age=540),
                    ToldAnimal("Pepper", MALE, age=560, away=(60, 12)),
                ),
                since=90,
            ),
            ToldEnclosure("Garden wall", "Bay window", _pair("Ember", "Dumpling"), checked=29),
        ),
        other_pets="an old cat",
        known_species="guinea_pig,rabbit",
    ),
    ToldHome(
        "Perpetua",
        "Loxwood",
        "Ash Lane",
        2,
        3200,
        2100,
        (
            ToldEnclosure(
                "Garden door",
                "Rabbit yard",
                (
                    ToldAnimal("Hazel", age=600, weighed=8),
                    ToldAnimal("Rowan", CASTRATED, age=640, weighed=8),
                ),
                since=120,
                species="rabbit",
            ),
        ),
    ),
    ToldHome(
        "Idris",
        "Vane",
        "Saltmarsh",
        2,
        2200,
        2100,
        (
            ToldEnclosure(
                "Bookcase",
                "Round the pillar",
                (
                    *_sows("Poppy", "Saffron"),
                    ToldAnimal("Maple", age=300, weighed=4, came=4, is_apart=True),
                ),
                before=("Wren", "Finch"),
            ),
        ),
    ),
    ToldHome(
        "Marigold",
        "Peverell",
        "Millrace",
        2,
        2200,
        1100,
        (
            ToldEnclosure(
                "Hall",
                "Bay window",
                (
                    ToldAnimal("Barley", CASTRATED, age=260, castrated=21),
                    ToldAnimal("Oats", CASTRATED, age=260, castrated=21),
                ),
                since=60,
            ),
            ToldEnclosure("Corridor", "Long wall with a loft", _sows("Lily", "Primrose")),
        ),
        other_pets="two budgerigars",
        pet_kinds="bird",
        most_animals=8,
        known_species="guinea_pig",
    ),
    ToldHome(
        "Anselm",
        "Thrupp",
        "Larkrise",
        3,
        3200,
        2100,
        (
            ToldEnclosure(
                "Rabbit parlour",
                "Rabbit room",
                (
                    ToldAnimal("Bracken", age=900, weighed=10),
                    ToldAnimal("Fern", CASTRATED, age=910, weighed=10),
                ),
                species="rabbit",
            ),
            ToldEnclosure("Alcove", "Under the stairs", _sows("Tansy", "Mallow", "Sage")),
        ),
    ),
    ToldHome(
        "Zuleika",
        "Marchmain",
        "Upper Tarn",
        4,
        3200,
        2100,
        (
            ToldEnclosure("Attic", "Three floors by the door", _pair("Clove", "Cumin"), checked=26),
            ToldEnclosure("Landing", "Long wall with a loft", checked=33),
            ToldEnclosure("Skylight", "Bay window", state="planned"),
        ),
        has_stairs=True,
    ),
    ToldHome(
        "Thaddeus",
        "Oxley",
        "Saltmarsh",
        4,
        3200,
        1500,
        (
            ToldEnclosure("Workroom", "Bay window", _sows("Almond", "Cashew", "Pecan")),
            ToldEnclosure("Boot room", "Long wall with a loft", state="repair"),
            ToldEnclosure("Larder", "Quarantine pair", state="building"),
        ),
    ),
    ToldHome(
        "Noor",
        "Hallam",
        "Ash Lane",
        2,
        3200,
        1500,
        (
            ToldEnclosure("Porch", "Three floors by the door", _pair("Thyme", "Basil")),
            ToldEnclosure("Sofa end", "Round the pillar", _sows("Rosemary", "Chervil")),
        ),
        has_pool=True,
    ),
    ToldHome(
        "Clementine",
        "Rook",
        "Millrace",
        3,
        3200,
        1500,
        (
            ToldEnclosure(
                "Nursery",
                "Under the stairs",
                (
                    ToldAnimal("Walnut", age=420, weighed=1),
                    ToldAnimal("Yarrow", MALE, age=16, weighed=1, came=16, mother="Walnut"),
                    ToldAnimal("Anise", age=16, weighed=1, came=16, mother="Walnut"),
                ),
                since=80,
            ),
            ToldEnclosure("South wall", "Bay window", _pair("Lavender", "Mint"), checked=20),
            ToldEnclosure(
                "Bay seat",
                "Long wall with a loft",
                _pair("Bergamot", "Caraway"),
                before=("Lark", "Plover"),
            ),
        ),
    ),
)
# In no enclosure: a group that came in today.
IN_A_CARRIER = (
    ToldAnimal(
        "Marmalade",
        age=420,
        weighed=0,
        is_apart=True,
        arrival=_found("red and white", "white left foot", "thin, dry skin", "N-104"),
    ),
    ToldAnimal(
        "Nutmeg",
        age=430,
        weighed=0,
        is_apart=True,
        arrival=_found("brown agouti", "torn right ear", "calm, long nails", "N-105"),
    ),
)

# What is amiss, and what Today says of it; all other animals live as they should.
AMISS = {
    "Porch": "unsafe",
    "Fireside": "part",
    "Bookcase": "company",
    "Garden door": "floor",
}
