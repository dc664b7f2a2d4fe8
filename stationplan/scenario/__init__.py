"""The input: what a kitchen has, what is made in it and how, and what is ordered."""

from __future__ import annotations
