"""Repeated passes: equal rounds of acts that differ in one setting are shown once, with a table of the settings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.acts import Cut, Move, Setting, SettingKind
from handwheel.domain.wording import UnitsShown
from handwheel.report.numbers import exact_text
from handwheel.report.pieces import ActRow, ActText
from handwheel.report.setting_text import engraved_text, fine_lengths, from_zero_text, side_of_zero
from handwheel.report.situation import Means, dial_of, lies_behind, position_of
from handwheel.report.wording import in_own_order, units_shown
from handwheel.report.words import HANDLE_WORDS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from handwheel.domain.slides import Dial
    from handwheel.report.steps import NumberedAct

FEWEST_SAVED = 3
"""A table pays when it saves the text of at least so many acts."""

LONGEST_ROUND = 8
SMALL_BOX = "[_____]"


class Passes(Struct, frozen=True, kw_only=True):
    """Rounds of acts, each beginning with the `Move` whose setting is its own; all else is alike."""

    rounds: tuple[tuple[NumberedAct, ...], ...]


class Column(Struct, frozen=True, kw_only=True):
    """A column of a table of passes: its name, and whether it holds figures, which stand under each other."""

    name: str
    is_figure: bool = True


DIAL_COLUMN = Column(name="DIAL")
"""The column that the hand sets by."""


class PassesBlock(Struct, frozen=True, kw_only=True):
    """Repeated passes as they stand on a sheet: a heading, the acts of a round, a row of the table for each pass."""

    heading: str
    round: tuple[ActRow, ...]
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


def with_passes(
    acts: Sequence[NumberedAct], *, fits: Callable[[PassesBlock], bool]
) -> Iterator[NumberedAct | PassesBlock]:
    """Yield the acts in order, with repeated rounds gathered where their table fits the sheet."""
    place = 0
    while place < len(acts):
        found = passes_at(acts[place:])
        block = None if found is None else passes_block(found)
        if found is None or block is None or not fits(block):
            yield acts[place]
            place += 1
        else:
            yield block
            place += sum(map(len, found.rounds))


def passes_at(acts: Sequence[NumberedAct]) -> Passes | None:
    """Return the rounds that begin at the first of these acts, if there are enough of them."""
    if not _may_lead(acts[0]):
        return None
    for size in range(2, min(LONGEST_ROUND, len(acts) // 2) + 1):
        if not _may_lead(acts[size]):
            continue  # no second round begins there
        rounds = tuple(_equal_rounds(acts, size))
        if (len(rounds) - 1) * size >= FEWEST_SAVED and any(isinstance(item.act, Cut) for item in rounds[0]):
            return Passes(rounds=rounds)
    return None


def act_row(item: NumberedAct) -> ActRow:
    """Words of an act, with its cautions and its note."""
    return _row_of(item, number=item.number, text=item.text)


def passes_block(passes: Passes) -> PassesBlock:
    """Word repeated passes: handle, dial, distance from 0, size after it in the units shown; the hand is above."""
    first, last = passes.rounds[0], passes.rounds[-1]
    deep = _depths_differ(passes)
    figure = any(_figure(items[0]) != "0" for items in passes.rounds)
    own = not _dial(first[0]).settable
    return PassesBlock(
        heading=(
            f"PASSES {first[0].number} to {last[-1].number}: a to {_label(len(first) - 1)} "
            f"for each of the {len(passes.rounds)} lines of the table"
        ),
        round=tuple(
            _row_of(item, number=_label(place), text=_round_text(item, passes)) for place, item in enumerate(first)
        ),
        columns=(
            Column(name=""),
            Column(name="handle", is_figure=False),
            DIAL_COLUMN,
            *((Column(name="figure"),) if figure else ()),
            *((Column(name="my DIAL"),) if own else ()),
            Column(name=_side(first[0]), is_figure=False),
            *(
                Column(name=name)
                for name in in_own_order(
                    f"{_heading(first[0])} mm", f"{_heading(first[0])} in", first[0].scene.lengths.units
                )
            ),
            *((Column(name="deep in" if units_shown() is UnitsShown.INCH else "deep"),) if deep else ()),
        ),
        rows=tuple(_row(items, with_depth=deep, with_figure=figure, with_own=own) for items in passes.rounds),
    )


def _row_of(item: NumberedAct, *, number: str, text: ActText) -> ActRow:
    return ActRow(number=number, text=text, cautions=item.act.cautions, note=item.act.note)


def _row(items: Sequence[NumberedAct], *, with_depth: bool, with_figure: bool, with_own: bool) -> tuple[str, ...]:
    leader = items[0]
    setting, scene = _setting(leader), leader.scene
    distance = from_zero_text(
        position_of(setting, scene.shop), marks_per_turn=_dial(leader).marks, hand=setting.approach
    )
    shown = abs(setting.expected_mm)
    lengths = fine_lengths(setting.handle, scene)
    sizes = in_own_order(lengths.mm(shown), lengths.inch(shown), lengths.units)
    row = (
        leader.number,
        HANDLE_WORDS[setting.handle],
        exact_text(setting.marks),
        *((_figure(leader),) if with_figure else ()),
        *((SMALL_BOX,) if with_own else ()),
        distance.partition(" mark")[0].replace(" turns", "").replace(" turn", ""),
        *sizes,
    )
    if not with_depth:
        return row
    depth_mm = _cut(items).depth_mm
    in_inch = units_shown() is UnitsShown.INCH
    return (*row, scene.lengths.inch(depth_mm) if in_inch else scene.lengths.mm(depth_mm))


def _round_text(item: NumberedAct, passes: Passes) -> ActText:
    text = item.text
    if item is passes.rounds[0][0]:
        to_table = f"to the DIAL of the table; beside it turns + marks {_side(item)}"
        return ActText(verb=text.verb, lines=(text.lines[0], (to_table,)))
    if item.act is _cut(passes.rounds[0]) and _depths_differ(passes):
        return _without_depth(text)
    return text


def _may_lead(item: NumberedAct) -> bool:
    if not isinstance(item.act, Move) or item.act.setting.kind is not SettingKind.MARKS:
        return False
    return item.act.setting.marks != 0 or item.act.setting.turns != 0


def _equal_rounds(acts: Sequence[NumberedAct], size: int) -> Iterator[tuple[NumberedAct, ...]]:
    pattern = _pattern(acts[:size])
    for start in range(0, len(acts) - size + 1, size):
        candidate = tuple(acts[start : start + size])
        if not _may_lead(candidate[0]) or _pattern(candidate) != pattern:
            return
        yield candidate


def _pattern(items: Sequence[NumberedAct]) -> tuple[object, ...]:
    """Everything that must be alike in all rounds; what is printed alike is alike."""
    leader = items[0]
    setting, scene = _setting(leader), leader.scene
    alike = (setting.turns < 0, setting.expected_mm < 0, setting.back_off_marks, leader.text.lines[0])
    behind = lies_behind(setting, scene.before, scene.shop)
    return (alike, behind, _said(leader), *((_said(item), _shown(item, items)) for item in items[1:]))


def _said(item: NumberedAct) -> tuple[object, ...]:
    return (item.act.cautions, item.act.note)


def _shown(item: NumberedAct, items: Sequence[NumberedAct]) -> ActText:
    """Text of an act without what may differ from round to round: the depth of the first cut."""
    is_first_cut = item is next((one for one in items if isinstance(one.act, Cut)), None)
    return _without_depth(item.text) if is_first_cut else item.text


def _side(leader: NumberedAct) -> str:
    setting = _setting(leader)
    return side_of_zero(position_of(setting, leader.scene.shop), setting.approach)


def _dial(leader: NumberedAct) -> Dial:
    return dial_of(leader.scene.shop, _setting(leader).handle)


def _figure(leader: NumberedAct) -> str:
    """Figure engraved at the mark, where it is not the count and the collar can be set so that it counts; else 0."""
    dial = _dial(leader)
    figure = engraved_text(_setting(leader).marks, dial, leader.scene.shop.units) if dial.settable else ""
    return figure or "0"


def _without_depth(text: ActText) -> ActText:
    *before, amount = text.lines
    return ActText(verb=text.verb, lines=(*before, ("depth: see the table", *amount[1:])))


def _setting(item: NumberedAct) -> Setting:
    if not isinstance(item.act, Move):
        msg = f"act {item.act.id!r} leads a round of passes but sets nothing"
        raise TypeError(msg)
    return item.act.setting


def _cut(items: Sequence[NumberedAct]) -> Cut:
    return next(item.act for item in items if isinstance(item.act, Cut))


def _depths_differ(passes: Passes) -> bool:
    return len({items[0].scene.lengths.mm(_cut(items).depth_mm) for items in passes.rounds}) > 1


def _heading(leader: NumberedAct) -> str:
    setting, scene = _setting(leader), leader.scene
    match scene.after.means.get(setting.zero, Means.DIAMETER):
        case Means.DIAMETER:
            return "Ø"
        case Means.DEPTH:
            return "below"
        case Means.ALONG:
            return "behind" if setting.expected_mm < 0 else "in front"


def _label(place: int) -> str:
    return "abcdefgh"[place]
