"""Means of holding for the tests: one of each kind, strong enough, and shops that own nothing else."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.shop import Shop
from tests.planner.jobs import lean_shop, only_holdings

COVERING = ("step-spigot", "plate-and-tailstock")
"""Kinds that press on the face: the flat plate has to make it before."""


def means_of(kind: str, **strength: object) -> HoldingMeans:
    """Means of a kind, for rings of Ø 5 to 60 mm."""
    plain = HoldingMeans(
        id=f"my-{kind}",
        kind=kind,
        name=f"the shop's {kind}",
        low_dia_mm=5.0,
        high_dia_mm=60.0,
        grip_mm=4.0,
        runout_mm=0.01,
        ready_s=300.0,
        max_rpm=1000.0,
    )
    return replace(plain, **strength)


MEANS = {
    "soft-jaws": means_of("soft-jaws", force_n=1300.0, wrap_deg=112.0),
    "pot": means_of("pot", force_n=1300.0),
    "collet": means_of("collet", force_n=1300.0, sizes_mm=(20.0, 23.0, 25.4), closes_mm=0.2, body_dia_mm=45.0),
    "stub-mandrel": means_of("stub-mandrel"),
    "expanding-mandrel": means_of("expanding-mandrel", pressure_n_mm2=20.0),
    "step-spigot": means_of("step-spigot", force_n=3000.0),
    "plate-and-tailstock": means_of("plate-and-tailstock", force_n=4000.0),
    "glue-arbor": means_of("glue-arbor", bond_n_mm2=10.0),
}
"""One of each kind that turns the ring."""


def shop_with(lathe: str, *means: HoldingMeans) -> Shop:
    """Demo shop that owns only these means; the flat plate too if one of them covers the face."""
    shop = lean_shop(lathe)
    plates = only_holdings(shop, "flat-plate").holdings if any(item.kind in COVERING for item in means) else ()
    return replace(shop, holdings=(*means, *plates))
