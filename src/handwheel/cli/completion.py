"""The command ``completion``, with what the Tab key offers: files of the right kind, steps, metals."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

OK = 0
SHELLS = ("bash", "zsh", "fish")
VARIABLE = "_HANDWHEEL_COMPLETE"
"""By this variable of the environment a shell asks for what could come next."""


class FileOf(click.Path):
    """A file of which only those with one ending are offered."""

    def __init__(self, suffix: str) -> None:
        """Take the ending, such as ``.toml``."""
        super().__init__(dir_okay=False, path_type=Path)
        self.suffix = suffix

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        """Offer files with that ending and folders; where there is no such file the shell offers what it has."""
        from click.shell_completion import CompletionItem

        del ctx, param
        before, slash, begun = incomplete.rpartition("/")
        files, folders = [], []
        try:
            for path in sorted(Path(f"{before}{slash}" or ".").iterdir()):
                if path.name.startswith(begun) and (begun or not path.name.startswith(".")):
                    name = f"{before}{slash}{path.name}"
                    if path.is_dir():
                        folders.append(f"{name}/")
                    elif path.suffix == self.suffix:
                        files.append(name)
        except OSError:
            files = []
        return [CompletionItem(name) for name in (*files, *folders)] if files else [CompletionItem(incomplete, "file")]


TOML_FILE, PLAN_FILE = FileOf(".toml"), FileOf(".json")


def steps_of_plan(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the numbers of the steps of the plan that stands before them, each with its id."""
    import json

    from click.shell_completion import CompletionItem

    del param

    try:
        plan = json.loads(Path(ctx.params["plan_file"]).read_text(encoding="utf-8"))
        steps = dict.fromkeys(act["step"] for act in plan["sheet"]["acts"])
    except (OSError, ValueError, KeyError, TypeError):
        return []
    numbered = ((str(number), step) for number, step in enumerate(steps, start=1))
    return [CompletionItem(number, help=step) for number, step in numbered if number.startswith(incomplete)]


def metals(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the keys of the catalogue."""
    from click.shell_completion import CompletionItem

    from handwheel.service.metals import catalogue_names

    del ctx, param

    return [CompletionItem(key, help=name) for key, name in catalogue_names().items() if key.startswith(incomplete)]


@click.command(short_help="Let the Tab key complete what you type.")
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def completion(ctx: click.Context, shell: str) -> int:
    """Print what lets the Tab key complete commands, options, files and steps.

    In bash put  eval "$(handwheel completion bash)"  into ~/.bashrc, once.

    In zsh put  eval "$(handwheel completion zsh)"  into ~/.zshrc, after compinit.

    In fish write it to ~/.config/fish/completions/handwheel.fish.
    """
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    if kind is None:
        msg = f"nothing is known of {shell}; one of {', '.join(SHELLS)}"
        raise click.UsageError(msg)
    click.echo(kind(ctx.find_root().command, {}, "handwheel", VARIABLE).source())
    return OK
