"""What tests of several layers share."""

from __future__ import annotations

from browser import open_browser

__all__ = ["open_browser"]
