"""The page of rule profiles: up to date, every tag explained."""

import re
from importlib import resources

import pytest

from crewlink.rules.coverage import FILE, TOLD, page, titles
from crewlink.rules.loading import SHIPPED, shipped
from tests.rules.mutation import ROOT, checks, load


def test_the_page_is_up_to_date() -> None:
    written = (resources.files("crewlink.rules") / FILE).read_text("utf-8")
    assert written == page(checks(load())), "run: python -m tests.rules.mutation --page"


def test_each_value_has_its_checks_on_the_page() -> None:
    known = checks(load())
    for name in SHIPPED:
        for path in shipped(name).sources:
            check = known[name, path]
            lone = path == "match.default_result"
            assert bool(check.cases or check.tests) != (path in TOLD or lone), (name, path)


def test_cases_and_tests_on_the_page_are_there() -> None:
    for check in checks(load()).values():
        assert all((ROOT / "tests/published/cases" / f"{case}.json").exists() for case in check.cases)
        assert all((ROOT / "tests" / file).exists() for file in check.tests)


@pytest.mark.parametrize("name", SHIPPED)
def test_every_tag_in_a_profile_has_a_title(name: str) -> None:
    known = titles()
    for path, source in shipped(name).sources.items():
        tags = re.findall(r"\b(?:[A-Z]{1,3}\d{2}|VCG?|UEX|UL|UR|TF|NI)\b", source)
        strange = [tag for tag in tags if tag not in known]
        assert not strange, path
