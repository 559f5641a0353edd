"""Makes the plain files of ``docs`` into a site: their links, the sheets, and the README beside them."""

from __future__ import annotations

import posixpath
import re
from pathlib import Path
from typing import TYPE_CHECKING

from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File

if TYPE_CHECKING:
    from collections.abc import Callable

    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.files import Files
    from mkdocs.structure.pages import Page

LINK = re.compile(r"(?<!!)\[([^\]]*)\]\(([^)\s#]+)(#[^)\s]*)?\)")
"""A link of Markdown: its text, its file, its section."""

OUTSIDE = re.compile(
    r"""<(?:script|img|iframe|source)[^>]*\ssrc=["']?(?:https?:)?//|"""
    r"""<link[^>]*\srel=["']?(?:stylesheet|preload|preconnect|icon)[^>]*\shref=["']?(?:https?:)?//|"""
    r"""<link[^>]*\shref=["']?(?:https?:)?//[^>]*\srel=["']?(?:stylesheet|preload|preconnect|icon)"""
)
"""Something that a page would load from another place than the site itself."""

BESIDE = {"README.md": "about.md", "CHANGELOG.md": "changelog.md"}
"""Files of the repository's root that are pages of the site, by their names there."""

SHEETS = "sheets"
SHEETS_TITLE = "Whole sheets"


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the pages that no file of ``docs`` holds: the README, the changelog, a page for every sheet."""
    docs = Path(config.docs_dir)
    for name, page in BESIDE.items():
        text = (docs.parent / name).read_text(encoding="utf-8")
        files.append(File.generated(config, page, content=turned_to_docs(text)))
    sheets = sorted((docs / SHEETS).glob("*.txt"))
    for sheet in sheets:
        content = sheet_page(sheet.stem, sheet.read_text(encoding="utf-8"))
        files.append(File.generated(config, f"{SHEETS}/{sheet.stem}.md", content=content))
        known = files.get_file_from_path(f"{SHEETS}/{sheet.name}")
        if known is not None:
            files.remove(known)
    lines = [f"- [{title_of(sheet.stem)}]({sheet.stem}.md)" for sheet in sheets]
    content = "\n".join(
        (f"# {SHEETS_TITLE}", "", "Planned, proven and checked, as the terminal prints them.", "", *lines)
    )
    files.append(File.generated(config, f"{SHEETS}/index.md", content=content + "\n"))
    return files


def on_page_markdown(markdown: str, page: Page, config: MkDocsConfig, files: Files) -> str:
    """Turn the links of a page to what stands on the site; of what does not, the words stay."""
    del config
    there = {file.src_uri for file in files}
    return outside_code(markdown, lambda text: LINK.sub(lambda found: turned(found, page.file.src_uri, there), text))


def on_post_build(config: MkDocsConfig) -> None:
    """Refuse a site of which a page loads anything from outside."""
    site = Path(config.site_dir)
    loading = [path.name for path in site.rglob("*.html") if OUTSIDE.search(path.read_text(encoding="utf-8"))]
    if loading:
        msg = f"these pages load something from outside: {', '.join(sorted(loading))}; mend mkdocs.yml"
        raise PluginError(msg)


def turned(found: re.Match[str], source: str, there: set[str]) -> str:
    """Give one link as the site needs it."""
    words, target, section = found[1], found[2], found[3] or ""
    if "://" in target:
        return found[0]
    path = posixpath.normpath(posixpath.join(posixpath.dirname(source), target))
    outside = path.removeprefix("../")
    if path.startswith("../") and outside in BESIDE:
        path = BESIDE[outside]
    elif path.startswith(f"{SHEETS}/") and path.endswith(".txt"):
        path = f"{path.removesuffix('.txt')}.md"
    elif path == SHEETS:
        path = f"{SHEETS}/index.md"
    elif path.startswith("../"):
        return words
    else:
        return found[0]
    if path not in there:
        return found[0]  # the strict build names it
    return f"[{words}]({posixpath.relpath(path, posixpath.dirname(source) or '.')}{section})"


def turned_to_docs(text: str) -> str:
    """Give the text of a file of the root with its links as they are seen from ``docs``; others keep their words."""

    def seen(found: re.Match[str]) -> str:
        words, target, section = found[1], found[2], found[3] or ""
        if target in BESIDE:
            return f"[{words}]({BESIDE[target]}{section})"
        if target.startswith("docs/"):
            return f"[{words}]({target.removeprefix('docs/')}{section})"
        return words

    return outside_code(text, lambda piece: LINK.sub(seen, piece))


def outside_code(text: str, change: Callable[[str], str]) -> str:
    """Change a text of Markdown, but not in its fenced blocks."""
    pieces = re.split(r"(?ms)(^```.*?^```$)", text)
    return "".join(piece if piece.startswith("```") else change(piece) for piece in pieces)


def title_of(stem: str) -> str:
    """Title of a sheet's page, from the name of its file: ``band-inch-lathe`` is the band on the inch lathe."""
    part, _, lathe = stem.partition("-")
    return f"{part.capitalize()} on the {lathe.replace('-', ' ')}"


def sheet_page(stem: str, sheet: str) -> str:
    """Give the page that shows a sheet as it is printed."""
    return f"# {title_of(stem)}\n\n```text\n{sheet}```\n"
