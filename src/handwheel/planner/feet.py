"""Where passes ended at a shoulder: what stands there is what the deepest of them left."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.tools import Tool


class Foot(Struct, frozen=True, kw_only=True):
    """End of one pass at a shoulder: its tool, where its tip came to, whether it went across or came along the bed.

    ``tip_mm`` is the radius of the tip, ``depth_mm`` the depth of its side behind the face. [mm]
    """

    tool: Tool
    tip_mm: float
    depth_mm: float
    is_faced: bool
