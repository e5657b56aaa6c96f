"""A pool with its laundry, kinds of goods, and linens of our own making."""

import pytest


@pytest.fixture
def make_pool(coordinator):
    from habitats.linens.models.pools import Pool

    def make(name="Wren's cupboard", home=None, **figures):
        pool = Pool.objects.set_up(name, home, **figures)
        pool.programmes.create(name="Everyday", temperature_c=40, minutes=30)
        pool.programmes.create(name="Hot", temperature_c=60, minutes=20)
        return pool

    return make


@pytest.fixture
def make_kind():
    from habitats.linens.models.linens import LinenKind

    def make(name="Two layers of fleece", **facts):
        facts = {"sort": "liner", "layers": 2, "grams_per_m2": 300, **facts}
        return LinenKind.objects.create(name=name, **facts)

    return make


@pytest.fixture
def make_linen(coordinator, day, make_kind):
    """`make_linen(pool, size)`: one that was washed before; `state="soiled"` and it is."""
    from habitats.linens.models.linens import Linen, LinenKind

    def make(pool, size, state="clean", on=None, **facts):
        kind = LinenKind.objects.filter(sort=size.sort).first() or make_kind(
            name=f"Goods for {size.sort}s", sort=size.sort
        )
        facts = {"washed": True, **facts}
        linen = Linen.objects.make(kind, size, pool, on or day(-60), by=coordinator, **facts)
        if state != linen.state:
            linen.set_state(state, on or day(-60), by=coordinator)
        return linen

    return make
