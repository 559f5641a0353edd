"""Numbers of every metal against a copy of the list as it was collected: all there, none added, none changed."""

from __future__ import annotations

import csv
import re
from importlib.resources import files
from pathlib import Path

HERE = Path(__file__).parent
OWN = {"kd_drilling", "min_depth_under_skin"}
"""Properties that stand in the list as notes, or in another list: compared where they are used."""
PLAIN = re.compile(r"(?:about )?([0-9.]+)(?:-([0-9.]+))?")
LEAST = re.compile(r">=([0-9.]+)")
MOST = re.compile(r"<=([0-9.]+)")
READ_AS = {
    ("ss304", "yield"): ("175", ""),
    ("st_s235", "tensile"): ("360", "510"),
    ("st_s235", "yield"): ("225", ""),
    ("st_c45", "tensile"): ("580", ""),
    ("st_c45", "yield"): ("305", ""),
    ("ci_gjl250", "yield"): ("165", "228"),
    ("ci_gjl250", "alpha"): ("10.0", "10.0"),
    ("ci_gjl250", "min_depth"): ("0.05", "0.05"),
    ("cu_cw614n", "tensile"): ("400", ""),
    ("cu_cw614n", "yield"): ("220", "310"),
    ("cu_cusn8", "tensile"): ("390", ""),
    ("cu_cw307g", "yield"): ("320", ""),
    ("al_6082", "tensile"): ("290", ""),
    ("al_6082", "yield"): ("250", ""),
    ("ti_gr2", "tensile"): ("345", ""),
    ("ti_gr2", "yield"): ("275", "410"),
    ("ti_gr5", "tensile"): ("895", ""),
    ("ti_gr5", "yield"): ("825", ""),
    ("cocr", "tensile"): ("897", ""),
    ("cocr", "yield"): ("517", ""),
    ("nb", "tensile"): ("125", ""),
    ("nb", "yield"): ("73", ""),
    ("ag925", "tensile"): ("210", "270"),
    ("ag925", "yield"): ("125", "125"),
    ("pt950", "tensile"): ("275", "440"),
    ("pt950", "e_modulus"): ("168", "168"),
    ("pt950", "poisson"): ("0.38", "0.38"),
    ("pt950", "alpha"): ("9", "9"),
    ("pt950", "conductivity"): ("71", "71"),
    ("pt950", "specific_heat"): ("133", "133"),
    ("ptfe", "alpha"): ("119", "131"),
    ("pa66", "tensile"): ("55", "80"),
    ("pa66", "e_modulus"): ("1.5", "3.3"),
}
"""Cells that say more than a number or a range, and what of them is kept: the weaker of two states, or both ends."""


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(text.splitlines()))


def listed() -> dict[tuple[str, str], str]:
    text = (HERE / "metal_values.csv").read_text(encoding="utf-8")
    return {(row["metal"], row["property"]): row["as_collected"] for row in rows(text)}


def kept() -> dict[tuple[str, str], tuple[str, str]]:
    text = files("handwheel.data").joinpath("materials.csv").read_text(encoding="utf-8")
    return {(row["material"], row["property"]): (row["low"], row["high"]) for row in rows(text)}


def ends(place: tuple[str, str], written: str) -> tuple[str, str]:
    """Low and high end that a cell stands for; an empty one is open."""
    if place in READ_AS:
        return READ_AS[place]
    if least := LEAST.fullmatch(written):
        return least[1], ""
    if most := MOST.fullmatch(written):
        return "", most[1]
    plain = PLAIN.fullmatch(written)
    assert plain is not None, (place, written)
    return plain[1], plain[2] or plain[1]


def as_numbers(pair: tuple[str, str]) -> tuple[float | None, ...]:
    return tuple(float(end) if end else None for end in pair)


def test_every_number_that_was_collected_is_in_the_table_and_no_other() -> None:
    """The list of values with its sources in words; where each came from stands in the table, row by row."""
    wanted = {place: as_numbers(ends(place, written)) for place, written in listed().items()}
    found = {place: as_numbers(pair) for place, pair in kept().items() if place[1] not in OWN}
    assert len({metal for metal, _ in wanted}) == 34
    assert found == wanted


def test_what_is_read_otherwise_really_is_no_plain_number() -> None:
    for place, (low, high) in READ_AS.items():
        written = listed()[place]
        assert not any(form.fullmatch(written) for form in (PLAIN, LEAST, MOST)), place
        assert all(end in written for end in (low, high) if end), (place, written)
