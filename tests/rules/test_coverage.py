"""The page of rule profiles: up to date, every tag explained."""

import re
from importlib import resources

import pytest

from crewlink.rules.coverage import FILE, page, titles
from crewlink.rules.loading import SHIPPED, shipped


def test_the_page_is_up_to_date() -> None:
    written = (resources.files("crewlink.rules") / FILE).read_text("utf-8")
    assert written == page(), "run: python -m crewlink.rules.coverage"


@pytest.mark.parametrize("name", SHIPPED)
def test_every_tag_in_a_profile_has_a_title(name: str) -> None:
    known = titles()
    for path, source in shipped(name).sources.items():
        tags = re.findall(r"\b(?:[A-Z]{1,3}\d{2}|VCG?|UEX|UL|UR|TF|NI)\b", source)
        strange = [tag for tag in tags if tag not in known]
        assert not strange, path
