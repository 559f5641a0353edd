"""What a person does with a shop file beside planning: start one, answer questions, change it, look it over."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from msgspec import Struct

from handwheel.domain.errors import InputError
from handwheel.service.files import Written, write_whole
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.intake.text_file import read_text_file
from handwheel.service.questions.interview import Interview, begin, begin_with, draft_text
from handwheel.service.rewriting import REMOVED, rewritten, with_values
from handwheel.service.templates import TEMPLATES, confirmed, left_to_check, template_text


class Look(Struct, frozen=True, kw_only=True):
    """A shop file that reads: what it holds, in a few words, and what is still as the template had it."""

    holds: tuple[str, ...]
    left: tuple[str, ...]


def look_at(path: Path) -> Look:
    """Read a shop file and say what is in it; raises `InputError` with all its problems."""
    text = read_text_file(path)
    shop = read_shop(text, name=path.name)
    counted = {
        "speeds": shop.lathe.speeds,
        "tools": shop.tools,
        "drills": shop.drills,
        "gauges": shop.gauges,
        "bars": shop.bars,
        "holdings": shop.holdings,
    }
    things = ", ".join(f"{len(of)} {name}" for name, of in counted.items())
    return Look(holds=(shop.lathe.name, things), left=left_to_check(text))


def write_template(name: str, path: Path) -> Written:
    """Write a starting file; an earlier, different file of that name is kept beside it.

    Raises
    ------
    InputError
        If there is no template of that name.
    NotWrittenError
        If it is not on the disk; nothing is changed then.
    """
    return write_whole(path, template_text(_known(name)))


def template(name: str) -> str:
    """Text of a starting file; raises `InputError` if there is none of that name."""
    return template_text(_known(name))


def set_values(path: Path, values: Iterable[str]) -> Written:
    """Change values of a shop file, as ``lathe.motor_power_w=370``; comments stay, and the earlier file is kept beside.

    Raises
    ------
    InputError
        If the file, a path or a value will not do; nothing is changed then.
    NotWrittenError
        If it is not on the disk.
    """
    text = read_text_file(path)
    changes = with_values(values, name=path.name)
    new = rewritten(text, changes, read=read_shop, name=path.name)
    given = [place for place, value in changes.items() if value is not REMOVED and not isinstance(value, dict)]
    return write_whole(path, confirmed(new, given, name=path.name))


def begin_questions(path: Path, *, template: str = "", again: bool = False) -> Interview:
    """Begin the questions about a shop: with the file if it is there, else with a template, or by asking for one.

    Of a draft only what is still open is asked, unless all of it is to be asked again.
    """
    if path.exists():
        if template:
            told = f"{path.name}: is there already; leave --template out to go on with it, or give another name"
            raise InputError((told,))
        return begin_with(read_text_file(path), name=path.name, again=again)
    return begin(name=path.name, template=_known(template) if template else "")


def write_shop(now: Interview, path: Path) -> Written:
    """Write what was answered; an earlier, different file of that name is kept beside it."""
    return write_whole(path, now.text)


def write_draft(now: Interview, path: Path) -> Written:
    """Write what was answered so far, with a note of what that was; an earlier draft is kept beside it."""
    return write_whole(path, draft_text(now))


def draft_path(path: Path) -> Path:
    """Where answers go when the questions are broken off.

    Examples
    --------
    >>> draft_path(Path("my-shop.toml")).name
    'my-shop-draft.toml'
    """
    return path if path.stem.endswith("-draft") else path.with_name(f"{path.stem}-draft.toml")


def _known(name: str) -> str:
    if name not in TEMPLATES:
        raise InputError((f"found the template {name!r}; allowed {', '.join(TEMPLATES)}; write one of them",))
    return name
