"""Turns the equations of docstrings, which are TeX, into MathML, which browsers show without a script."""

from __future__ import annotations

import re
from textwrap import dedent
from typing import Any

from griffe import Extension, Object
from latex2mathml.converter import convert

BLOCK = re.compile(r"(?m)^\.\. math::[ \t]*(.*\n(?:(?:[ \t]+\S.*|[ \t]*)\n)*)")
"""An equation on its own: the rest of its line, and the indented lines below."""
INLINE = re.compile(r":math:`([^`]+)`")
MARKDOWN_SIGNS = {"*": "&#42;", "_": "&#95;"}
"""Signs of Markdown within an equation, as the letters that they are meant to be."""


class PlainMath(Extension):
    """Extension of the reader of docstrings that changes each as it is found."""

    def on_object(self, *, obj: Object, **kwargs: Any) -> None:  # noqa: ANN401 - what else is given is not used here
        """Change the docstring of one module, class, function or value."""
        del kwargs
        if obj.docstring is not None:
            obj.docstring.value = with_mathml(obj.docstring.value)


def with_mathml(text: str) -> str:
    """Give a docstring with its equations as MathML."""
    blocks = BLOCK.sub(lambda found: equation(dedent(found[1])), f"{text}\n")
    return INLINE.sub(lambda found: mathml(found[1], display="inline"), blocks)


def equation(tex: str) -> str:
    """Give an equation that stands alone, in a box that scrolls if it is wider than the screen."""
    return f'<div class="equation">{mathml(tex, display="block")}</div>\n\n'


def mathml(tex: str, *, display: str) -> str:
    """Give one equation as MathML on one line."""
    made = convert(" ".join(tex.split()), display=display)
    return re.sub(r">([^<]*)<", lambda found: f">{''.join(MARKDOWN_SIGNS.get(s, s) for s in found[1])}<", made)
