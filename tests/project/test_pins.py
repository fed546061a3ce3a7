"""Every package that the project asks for is pinned inside the range asked for, and installed so."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, version

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from demo_session.bootstrap import EXTRAS, Checkout
from tests.project.checkout import ROOT

CHECKOUT = Checkout(ROOT)


def pins() -> dict[str, str]:
    lines = CHECKOUT.constraints.read_text("utf-8").splitlines()
    pinned = [line for line in lines if line and not line.startswith("#")]
    assert [line for line in pinned if not re.fullmatch(r"[\w.-]+==[\w.+!]+", line)] == []
    return {canonicalize_name(name): exact for name, exact in (line.split("==") for line in pinned)}


def test_each_requirement_is_pinned_inside_its_range() -> None:
    exact = pins()
    for line in CHECKOUT.requirements():
        requirement = Requirement(line)
        name = canonicalize_name(requirement.name)
        assert name in exact, f"{name} is not in .ci/constraints.txt"
        assert requirement.specifier.contains(exact[name]), f"{line}, but {exact[name]} is pinned"


def test_what_is_installed_is_what_is_pinned() -> None:
    differs = {}
    for name, exact in pins().items():
        try:
            installed = version(name)
        except PackageNotFoundError:
            continue  # needed only on another system or Python
        if installed != exact:
            differs[name] = (installed, exact)
    assert differs == {}


def test_only_sound_and_a_fuzzer_are_left_out_of_the_environment() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert set(project["optional-dependencies"]) - set(EXTRAS) == {"sound", "fuzz"}
