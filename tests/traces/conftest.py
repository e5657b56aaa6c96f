"""A small rescue in which Clover is suspected: two homes, a pool, linens that went round."""

import uuid

import pytest


@pytest.fixture
def wren(make_home, foster):
    return make_home("Wren", area="Eastgate", people=[foster])


@pytest.fixture
def ada(make_home):
    return make_home("Ada", area="Harbour")


@pytest.fixture
def pool(make_pool, wren, ada):
    found = make_pool(home=wren)
    ada.pool = found
    ada.save()
    return found


@pytest.fixture
def north(make_enclosure, wren):
    return make_enclosure("North wall", wren)


@pytest.fixture
def east(make_enclosure, ada):
    return make_enclosure("East wall", ada)


@pytest.fixture
def spot(north):
    return north.spots.filter(size__sort="liner").first()


@pytest.fixture
def linen(make_linen, pool, spot):
    return make_linen(pool, spot.size)


@pytest.fixture
def clover(make_group, make_animal, north, day):
    return make_group(make_animal("Clover"), make_animal("Thyme"), enclosure=north, since=day(-30))


@pytest.fixture
def start(coordinator, day):
    """`start(clover)`: a trace of it since ten days ago."""
    from habitats.traces.models.traces import Trace

    def begin(suspect, since=None, suspicion="ringworm", **more):
        return Trace.objects.begin(suspect, since or day(-10), suspicion, by=coordinator, **more)

    return begin


@pytest.fixture
def spread(clover, north, east, spot, pool, make_linen, make_group, make_animal, day, coordinator):
    """A linen went from Clover's enclosure to another home; others lie there or were washed."""
    from habitats.linens.models.changes import change
    from habitats.linens.models.loads import Load

    basil = make_group(make_animal("Basil"), enclosure=east, since=day(-40))
    carrier, second, third, other = (make_linen(pool, spot.size) for _ in range(4))
    far = east.spots.filter(size=spot.size).first()
    everyday = pool.programmes.get(name="Everyday")
    change(spot, carrier, day(-9), by=coordinator)
    change(spot, second, day(-6), by=coordinator)
    other.set_state("soiled", day(-6), by=coordinator)
    carrier.refresh_from_db()
    load = Load.objects.start(pool, [carrier, other], everyday, day(-5), by=coordinator)
    for step, ago in (("take_out", -5), ("mark_dry", -4), ("bring_back", -4)):
        getattr(load, step)(day(ago), by=coordinator, idempotency_key=uuid.uuid4())
    carrier.refresh_from_db()
    change(far, carrier, day(-3), by=coordinator)
    change(spot, third, day(-2), by=coordinator)
    for one in (carrier, second, third, other):
        one.refresh_from_db()
    return {"basil": basil, "carrier": carrier, "second": second, "third": third, "other": other}
