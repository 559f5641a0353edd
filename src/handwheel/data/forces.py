"""What the sources say of the cutting force of a material: every opinion, none averaged away."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.loader import load_table
from handwheel.data.materials import Material, Property, materials_of_force_group
from handwheel.data.materials import material as table_material

if TYPE_CHECKING:
    from handwheel.data.loader import Standing
    from handwheel.data.ranges import DataRange

_FACTOR_COLUMNS = ("feed_mm_rev", "factor", "standing", "source_key", "place")


class ForceModel(Struct, frozen=True, kw_only=True):
    """One opinion about the specific cutting force of a material.

    With ``mc`` it is a Kienzle set: the two ``kc`` are kc1.1, at chip thickness and width 1 mm. Without ``mc`` it
    is a power constant: the two ``kc`` hold at feed 0.30 mm/rev, and ``feed_factors`` (pairs of feed in mm/rev and
    factor, rising feed) carry it to other feeds. ``from_group`` says that the value belongs to a relative, and
    ``words`` is the sentence to print for it.
    """

    label: str
    kc_low_n_mm2: float
    kc_high_n_mm2: float
    mc: float | None
    feed_factors: tuple[tuple[float, float], ...]
    from_group: bool
    words: str
    standing: Standing
    source_key: str
    place: str


def force_models(material: Material) -> tuple[ForceModel, ...]:
    """Every opinion about the cutting force of a material, its own first.

    Parameters
    ----------
    material : Material
        As `handwheel.data.materials.material` returns it.

    Returns
    -------
    tuple of ForceModel
        The main Kienzle set, the alternative one, the handbook's power constant, as far as they exist. A material
        without a Kienzle set of its own also gets the opinions about its force group, marked ``from_group``; an
        unknown one gets those about every metal that it may be.

    Notes
    -----
    The spread of the opinions is the honest uncertainty of a force forecast (25 to 45 % for steels, more for
    copper and titanium); the larger force rules limits.

    Examples
    --------
    >>> from handwheel.data.materials import material
    >>> [model.label for model in force_models(material("st_c45"))]
    ['kc1.1 1500 N/mm2, mc 0.22', 'kc1.1 2220 N/mm2, mc 0.14', 'kc 2240 N/mm2 at 0.30 mm/rev']
    >>> all(model.from_group for model in force_models(material("nb")))
    True
    """
    of_tables = table_material(material.key) is material
    return _of_tables(material.key) if of_tables else _gathered(material)


@cache
def _of_tables(key: str) -> tuple[ForceModel, ...]:
    """Opinions about a material of the tables, gathered once: planning asks for them hundreds of times."""
    return _gathered(table_material(key))


def _gathered(material: Material) -> tuple[ForceModel, ...]:
    if material.is_unknown:
        return _member_models(material)
    own = _own_models(material)
    if any(model.mc is not None for model in own):
        return own
    return own + _group_models(material)


@cache
def power_feed_factors() -> tuple[tuple[float, float], ...]:
    """Feed factors of the power constants: pairs of feed [mm/rev] and factor, rising feed.

    References
    ----------
    [MH31] machining power, feed factors C (from memory).

    Examples
    --------
    >>> power_feed_factors()[0]
    (0.05, 1.4)
    """
    rows = load_table("power_feed_factors.csv", _FACTOR_COLUMNS)
    return tuple((float(row["feed_mm_rev"]), float(row["factor"])) for row in rows)


def _own_models(material: Material) -> tuple[ForceModel, ...]:
    models = []
    for kc_name, mc_name in ((Property.KC11, Property.MC), (Property.KC11_ALT, Property.MC_ALT)):
        kc, mc = material.find(kc_name), material.find(mc_name)
        if kc is not None and mc is not None:
            models.append(_kienzle(kc, mc))
    constant = material.find(Property.KC_AT_H030)
    if constant is not None:
        models.append(_power_constant(constant))
    return tuple(models)


def _kienzle(kc: DataRange, mc: DataRange) -> ForceModel:
    return _model(kc, label=f"kc1.1 {kc.words}, mc {mc.words}", mc=mc.least, feed_factors=())


def _power_constant(kc: DataRange) -> ForceModel:
    return _model(kc, label=f"kc {kc.words} at 0.30 mm/rev", mc=None, feed_factors=power_feed_factors())


def _model(kc: DataRange, *, label: str, mc: float | None, feed_factors: tuple[tuple[float, float], ...]) -> ForceModel:
    return ForceModel(
        label=label,
        kc_low_n_mm2=kc.least,
        kc_high_n_mm2=kc.most,
        mc=mc,
        feed_factors=feed_factors,
        from_group=False,
        words=f"{label} ({kc.source_key}, {kc.standing.value}: {kc.place})",
        standing=kc.standing,
        source_key=kc.source_key,
        place=kc.place,
    )


def _member_models(material: Material) -> tuple[ForceModel, ...]:
    """Opinions about every metal that an unknown one may be; the largest force among them rules."""
    return tuple(
        replace(model, from_group=True, words=f"{material.name}, if it is {member.name}: {model.words}")
        for member in map(table_material, material.members)
        for model in force_models(member)
    )


def _group_models(material: Material) -> tuple[ForceModel, ...]:
    found: dict[str, ForceModel] = {}
    for member in materials_of_force_group(material.force_group):
        if member.key == material.key:
            continue
        for model in _own_models(member):
            words = f"{material.name}: {material.force_group_note}. {model.words}, for {member.name}"
            found.setdefault(model.label, replace(model, from_group=True, words=words))
    return tuple(found.values())
