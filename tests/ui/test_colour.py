"""The colours: contrast of every pair in use, and three hues told apart by every kind of colour vision."""

from __future__ import annotations

from itertools import combinations

import pytest
from PySide6.QtGui import QColor

from tests.gallery.states import dead_ball
from tests.ui.conftest import OpenPart
from tests.ui.sight import DEUTAN, NORMAL, PROTAN, TRITAN, contrast, distance, lab, linear, simulate
from ui.stage import ThemeName

PAIRS = [
    ("ink", "ground", 17.63, 19.24, 7.0),
    ("ink", "panel", 15.24, 17.27, 7.0),
    ("ink", "raised", 11.87, 15.15, 7.0),
    ("dim", "panel", 9.06, 9.22, 7.0),
    ("off", "panel", 5.31, 4.97, 3.0),
    ("line", "raised", 3.58, 4.36, 3.0),
    ("dim", "ground", 10.48, 10.28, 7.0),
    ("dim", "raised", 7.05, 8.09, 7.0),
    ("ground", "ink", 17.63, 19.24, 7.0),
    ("now", "ground", 7.17, 7.33, 4.5),
    ("nowInk", "now", 7.51, 7.33, 7.0),
    ("soonInk", "soon", 12.95, 13.03, 7.0),
    ("noteInk", "note", 11.09, 8.70, 7.0),
    ("now", "panel", 6.20, 6.57, 4.5),
    ("note", "panel", 9.57, 7.81, 4.5),
    ("off", "ground", 6.14, 5.54, 3.0),
    ("off", "raised", 4.13, 4.36, 3.0),
    ("line", "ground", 5.32, 5.54, 3.0),
    ("line", "panel", 4.60, 4.97, 3.0),
]


@pytest.mark.parametrize("theme", list(ThemeName))
def test_every_pair_has_its_contrast(part: OpenPart, theme: ThemeName) -> None:
    """WCAG 2.2: 7 to 1 for all reading text, 3 to 1 for graphic parts; figures as designed."""
    rig = part("", dead_ball("R2"), theme=theme)
    token = {name: QColor(rig.stage.theme.property(name)).name() for pair in PAIRS for name in pair[:2]}
    for upper, lower, dark, bright, limit in PAIRS:
        ratio = contrast(token[upper], token[lower])
        assert ratio >= limit, (upper, lower)
        assert ratio == pytest.approx(dark if theme is ThemeName.DARK else bright, abs=0.006), (upper, lower)


@pytest.mark.parametrize(("theme", "least"), [(ThemeName.DARK, 20.6), (ThemeName.BRIGHT, 38.9)])
def test_the_hues_are_told_apart(part: OpenPart, theme: ThemeName, least: float) -> None:
    """The smallest CIEDE2000 of now, soon and note, over normal vision and three kinds of blindness."""
    rig = part("", dead_ball("R2"), theme=theme)
    hues = [linear(QColor(rig.stage.theme.property(name)).name()) for name in ("now", "soon", "note")]
    found = min(
        distance(lab(simulate(one, eyes)), lab(simulate(other, eyes)))
        for eyes in (NORMAL, PROTAN, DEUTAN, TRITAN)
        for one, other in combinations(hues, 2)
    )
    assert found >= 15
    assert found == pytest.approx(least, abs=0.06)


def test_the_measures_are_right() -> None:
    """Known values: contrasts computed from WCAG 2.2, a pair of Sharma, Wu and Dalal (2005), table 1."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.542, abs=0.001)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.478, abs=0.001)
    assert distance((50, 2.6772, -79.7751), (50, 0, -82.7485)) == pytest.approx(2.0425, abs=0.0001)
