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
    blocks = BLOCK.sub(lambda found: f"{mathml(dedent(found[1]), display='block')}\n\n", f"{text}\n")
    return INLINE.sub(lambda found: mathml(found[1], display="inline"), blocks)


def mathml(tex: str, *, display: str) -> str:
    """Give one equation as MathML on one line."""
    made = convert(" ".join(tex.split()), display=display)
    # not &#x03C0; but π: text, so that Markdown has nothing to read into it
    plain = re.sub(r"&#x([0-9A-Fa-f]+);", lambda found: chr(int(found[1], 16)), made)
    return re.sub(r">([^<]*)<", lambda found: f">{''.join(MARKDOWN_SIGNS.get(s, s) for s in found[1])}<", plain)
