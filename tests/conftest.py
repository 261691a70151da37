"""What all tests share: drawn examples are the same on every run, and a busy machine fails none of them."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")
