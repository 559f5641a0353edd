"""Repeated passes: equal rounds of acts that differ in one setting are shown once, with a table of the settings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.acts import Cut, Move, Setting, SettingKind
from handwheel.domain.part import Units
from handwheel.report.layout import ActText, act_lines, caution_lines, table, with_note
from handwheel.report.numbers import exact_text
from handwheel.report.setting_text import engraved_text, fine_lengths, from_zero_text, side_of_zero
from handwheel.report.situation import Means, dial_of, lies_behind, position_of
from handwheel.report.words import HANDLE_WORDS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from handwheel.domain.shop import Dial
    from handwheel.report.steps import NumberedAct

FEWEST_SAVED = 3
"""A table pays when it saves the text of at least so many acts."""

LONGEST_ROUND = 8
SMALL_BOX = "[_____]"


class Passes(Struct, frozen=True, kw_only=True):
    """Rounds of acts, each beginning with the `Move` whose setting is its own; all else is alike."""

    rounds: tuple[tuple[NumberedAct, ...], ...]


def with_passes(acts: Sequence[NumberedAct], *, width: int) -> Iterator[NumberedAct | Passes]:
    """Yield the acts in order, with repeated rounds gathered where their table fits the width."""
    place = 0
    while place < len(acts):
        found = passes_at(acts[place:])
        if found is None or max(map(len, table_lines(found))) > width:
            yield acts[place]
            place += 1
        else:
            yield found
            place += sum(map(len, found.rounds))


def passes_at(acts: Sequence[NumberedAct]) -> Passes | None:
    """Return the rounds that begin at the first of these acts, if there are enough of them."""
    if not _may_lead(acts[0]):
        return None
    for size in range(2, min(LONGEST_ROUND, len(acts) // 2) + 1):
        rounds = tuple(_equal_rounds(acts, size))
        if (len(rounds) - 1) * size >= FEWEST_SAVED and any(isinstance(item.act, Cut) for item in rounds[0]):
            return Passes(rounds=rounds)
    return None


def passes_lines(passes: Passes, *, width: int) -> Iterator[str]:
    """Lay out repeated passes: the round once, act by act, then a line for each pass."""
    first, last = passes.rounds[0], passes.rounds[-1]
    yield ""
    yield (
        f"  PASSES {first[0].number} to {last[-1].number}: a to {_label(len(first) - 1)} "
        f"for each of the {len(passes.rounds)} lines of the table"
    )
    for place, item in enumerate(first):
        yield from caution_lines(item.act.cautions, width=width)
        text = _round_text(item, passes)
        yield from act_lines(_label(place), with_note(text, item.act.note), width=width)
    yield from table_lines(passes)
    yield ""


def table_lines(passes: Passes) -> list[str]:
    """One line for each pass: handle, dial, distance from 0, size after it in both units; the hand is above."""
    leader = passes.rounds[0][0]
    side = _side(leader)
    unit = _heading(leader)
    names = (f"{unit} mm", f"{unit} in")
    if leader.scene.lengths.units is Units.INCH:
        names = (names[1], names[0])
    deep = ("deep",) if _depths_differ(passes) else ()
    figure = ("figure",) if any(_figure(items[0]) != "0" for items in passes.rounds) else ()
    own = () if _dial(leader).settable else ("my DIAL",)
    head = ("", "handle", "DIAL", *figure, *own, side, *names, *deep)
    rows = [_row(items, with_depth=bool(deep), with_figure=bool(figure), with_own=bool(own)) for items in passes.rounds]
    left = {1, len((*figure, *own)) + 3}
    return table([head, *rows], right=frozenset(range(len(head))) - left, indent="  ")


def _row(items: Sequence[NumberedAct], *, with_depth: bool, with_figure: bool, with_own: bool) -> tuple[str, ...]:
    leader = items[0]
    setting, scene = _setting(leader), leader.scene
    distance = from_zero_text(
        position_of(setting, scene.shop), marks_per_turn=_dial(leader).marks, hand=setting.approach
    )
    shown = abs(setting.expected_mm)
    lengths = fine_lengths(setting.handle, scene)
    sizes = (lengths.mm(shown), lengths.inch(shown))
    if scene.lengths.units is Units.INCH:
        sizes = (sizes[1], sizes[0])
    row = (
        leader.number,
        HANDLE_WORDS[setting.handle],
        exact_text(setting.marks),
        *((_figure(leader),) if with_figure else ()),
        *((SMALL_BOX,) if with_own else ()),
        distance.partition(" mark")[0].replace(" turns", "").replace(" turn", ""),
        *sizes,
    )
    return (*row, scene.lengths.mm(_cut(items).depth_mm)) if with_depth else row


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
