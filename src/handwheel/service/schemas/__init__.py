"""JSON Schemas of the part file and the shop file, made of what the readers ask when they read every key there is."""

from __future__ import annotations

from handwheel.service.schemas.build import part_schema, shop_schema

__all__ = ["part_schema", "shop_schema"]
