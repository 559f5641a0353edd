"""The gathering of problems: which errors of the domain are told, and what is handed on."""

from __future__ import annotations

import pytest

from handwheel.domain.errors import ImpossiblePartError, InputError
from handwheel.service.intake.problems import Problems


def refuse() -> int:
    msg = "ring: has no width; give it one"
    raise ImpossiblePartError(msg)


def test_an_error_of_the_domain_becomes_a_problem_of_its_key() -> None:
    problems = Problems("ring.toml")
    assert problems.build("width", refuse) is None
    with pytest.raises(InputError, match=r"^ring.toml: width: ring: has no width; give it one$"):
        problems.settle(1)


def test_an_error_of_the_domain_about_a_stand_in_is_not_told() -> None:
    problems = Problems("ring.toml")

    def refuse_what_was_read_badly() -> int:
        problems.add("width", found="nothing", allowed="a length", do="write one")
        return refuse()

    assert problems.build("as a whole", refuse_what_was_read_badly) is None
    with pytest.raises(InputError, match=r"^ring.toml: width: found nothing; allowed a length; write one$"):
        problems.settle(1)


def test_without_problems_what_was_made_is_handed_on() -> None:
    problems = Problems("ring.toml")
    assert problems.settle(problems.build("width", lambda: 7)) == 7
