"""What holds for every test: no screen, software drawing, steady examples in CI."""

from __future__ import annotations

import os

from hypothesis import settings

# Before anything imports Qt: without a screen it would abort the whole run.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_QUICK_BACKEND", "software")

# A slow machine is no fault of the code under test; in CI the same examples are tried every time.
settings.register_profile("here", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "here")
