"""The page of all commands, made of the program's own help."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from handwheel.cli.main import STATUS, handwheel
from tests.docs.markdown import made_by, page, table

if TYPE_CHECKING:
    from collections.abc import Iterator

NAME = "commands.md"
MORE = {
    "bench": "[go through a job at the lathe](../how-to/at-the-lathe.md)",
    "beliefs": "[what this lathe has taught](../theory/beliefs.md), "
    "[keep what you learn](../shop-file.md#keep-what-you-learn)",
    "check": "[what the check refuses](../check.md)",
    "checkup": "[measure your lathe](../how-to/measure-your-lathe.md)",
    "completion": "[on the terminal](../terminal.md)",
    "demo": "[the sheets it makes](../sheets/band-inch-lathe.txt)",
    "diagnose": "[something is wrong](../how-to/something-is-wrong.md)",
    "draw": "[drawings](../drawings.md)",
    "explain": "[why a number is what it is](../explaining.md)",
    "metal": "[metals](../theory/metals.md)",
    "plan": "[your first part](../first-part.md), [the sheet on paper](../paper.md), "
    "[plans side by side](../comparing.md), [mm or inches, British or American](../wording.md), "
    "[when there is no plan](../refusals.md)",
    "rescue": "[past the limit](../how-to/past-the-limit.md)",
    "rehearse": "[rehearse a plan](../how-to/rehearse.md), [the virtual lathe](../theory/virtual-lathe.md)",
    "schema": "[let your editor help](../shop-file.md#let-your-editor-help)",
    "shop": "[how to write your shop file](../shop-file.md)",
    "size": "[ring sizes](../theory/ring-sizes.md)",
}
"""Where more is said of each command."""


def commands() -> dict[str, click.Command]:
    """Every command by its name, in the order of the alphabet."""
    assert isinstance(handwheel, click.Group)
    return dict(sorted(handwheel.commands.items()))


def options(command: click.Command) -> list[click.Option]:
    """Options of a command as its help lists them."""
    return [each for each in command.params if isinstance(each, click.Option)]


def names(option: click.Option) -> str:
    """Every way to write an option."""
    return ", ".join(f"`{name}`" for name in (*option.opts, *option.secondary_opts))


def takes(option: click.Option) -> str:
    """What stands behind an option."""
    if option.is_flag:
        return "-"
    if isinstance(option.type, click.Choice):
        return " or ".join(f"`{choice}`" for choice in option.type.choices)
    return option.metavar or option.type.name


def condition(option: click.Option) -> str:
    """Whether it must be given, else what holds without it."""
    if option.required:
        return "must be given"
    given = option.default
    return f"`{given}`" if isinstance(given, str) else "-"


def usage(name: str, command: click.Command) -> str:
    """First line of the help, without the word before it."""
    parent = click.Context(handwheel, info_name="handwheel")
    return command.get_usage(click.Context(command, info_name=name, parent=parent)).removeprefix("Usage: ")


def paragraphs(command: click.Command) -> str:
    """Words of the help, each paragraph on a line of its own."""
    return "\n\n".join(" ".join(piece.split()) for piece in (command.help or "").split("\n\n"))


def section(name: str, command: click.Command) -> Iterator[str]:
    """Blocks that describe one command."""
    yield f"## handwheel {name}"
    yield f"```text\n{usage(name, command)}\n```"
    yield paragraphs(command)
    rows = [(names(each), takes(each), condition(each), each.help or "") for each in options(command)]
    if rows:
        yield table(("option", "takes", "else", "what it does"), rows)
    yield f"More: {MORE[name]}."


def pages() -> dict[str, str]:
    """The page by its name."""
    both = [(names(each), each.help or "") for each in options(handwheel)]
    blocks = [block for name, command in commands().items() for block in section(name, command)]
    return {
        NAME: page(
            "Commands",
            made_by("tests.docs.generated"),
            "`handwheel COMMAND --help` says the same on the terminal.",
            " ".join(STATUS.split()),
            "These stand before the command:",
            table(("option", "what it does"), [*both, ("`-h`, `--help`", "Say what there is, and end.")]),
            *blocks,
        )
    }
