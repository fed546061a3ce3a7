"""Changes one value of one shipped profile at a time and looks which case or test notices.

    python -m tests.rules.mutation             all values: print the changes that nothing notices;
                                               exit code 1 if the page does not explain one
    python -m tests.rules.mutation --write     the same, and write checks.json and the page
    python -m tests.rules.mutation --confirm   only play the witness of each change again
    python -m tests.rules.mutation --page      only write the page

A test counts only if it read the value while it ran, and fails once the value is changed. Tests that just
compare a profile with a table of its values are left out: they would notice everything.
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from _pytest.runner import runtestprotocol
from msgspec import Struct

from crewlink.rules import coverage
from crewlink.rules.coverage import TOLD, Check, Checks
from crewlink.rules.loading import SHIPPED, shipped
from tests.rules.mutants import Mutant, mutants, played_under, values, words
from tests.rules.reading import Read, noting

ROOT = Path(__file__).parents[2]
FILE = Path(__file__).with_name("checks.json")
HUNTED = (
    "tests/match", "tests/published/test_cases.py", "tests/published/test_rulings.py",
    "tests/published/test_by_profile.py", "tests/published/test_feet.py",
    "tests/published/test_sample_game.py", "tests/published/test_long.py",
    "tests/script/test_played_scripts.py", "tests/script/test_explain.py", "tests/rules/test_formats.py",
    "tests/rules/test_told.py", "tests/crew/test_clocks_by_profile.py", "tests/opening",
)  # fmt: skip
LEFT_OUT = (
    "test_properties",
    "test_stateful",
    "test_fuzz",
    "test_layers",
    "linked",
    "really_compared",
    "names_its",
)
SECONDS_A_TEST = 20


class Found(Struct, frozen=True):
    """What notices the changes of one value. `witness`: by changed value, the quickest test that notices it.

    `value`: the shipped one. `tests`: all that notice a change.
    """

    value: str
    witness: dict[str, str]
    tests: tuple[str, ...]
    unnoticed: tuple[str, ...] = ()


FoundByPath = dict[str, dict[str, Found]]
"""By profile, by "section.field"."""


class Hunt:
    """A pytest plug-in that runs the collected tests its own way: once to see what each reads, then changed.

    `witnesses`: only play these tests, by mutant. `noticed`: by mutant, the tests that failed.
    """

    def __init__(self, wanted: tuple[Mutant, ...], witnesses: FoundByPath | None = None) -> None:
        self.wanted = wanted
        self.witnesses = witnesses
        self.noticed: dict[Mutant, list[str]] = {}
        self.seconds: dict[str, float] = {}
        self.broken: list[str] = []

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Instead of the plain run."""
        items = [i for i in session.items if not any(word in i.nodeid for word in LEFT_OUT)]
        if self.witnesses is not None:
            named = {one for by in self.witnesses.values() for f in by.values() for one in f.witness.values()}
            items = [item for item in items if item.nodeid in named]
        reads = {item.nodeid: self._read(item) for item in items}
        for mutant in self.wanted:
            key = (mutant.profile, mutant.path)
            mine = [i for i in items if key in reads[i.nodeid] and self._asked(mutant, i.nodeid)]
            self.noticed[mutant] = failing(mutant, mine)
        return True

    def _asked(self, mutant: Mutant, nodeid: str) -> bool:
        if self.witnesses is None:
            return True
        return self.witnesses[mutant.profile][mutant.path].witness.get(mutant.shown) == nodeid

    def quickest(self, tests: list[str]) -> str:
        """The one of these tests that takes least time."""
        return min(tests, key=lambda test: (round(self.seconds[test], 2), test))

    def _read(self, item: pytest.Item) -> Read:
        """Run a test as it is: what it reads, how long it takes, and that it passes."""
        begun = time.monotonic()
        with noting() as read:
            if failed(item):
                self.broken.append(item.nodeid)
        self.seconds[item.nodeid] = time.monotonic() - begun
        return read


def failed(item: pytest.Item) -> bool:
    """Run one test; True if it fails, or does not end."""
    signal.signal(signal.SIGALRM, _too_long)
    signal.alarm(SECONDS_A_TEST)
    try:
        return any(report.failed for report in runtestprotocol(item, log=False, nextitem=None))
    finally:
        signal.alarm(0)


def _too_long(number: int, frame: Any) -> None:
    raise TimeoutError(f"longer than {SECONDS_A_TEST} s")


def failing(mutant: Mutant, items: list[pytest.Item]) -> list[str]:
    """The tests that fail under a mutant; run in a child, so that nothing changed stays behind."""
    if not items:
        return []
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        with played_under(mutant), os.fdopen(writes, "w") as told:
            for item in items:
                if failed(item):
                    told.write(item.nodeid + "\n")
        os._exit(0)
    os.close(writes)
    with os.fdopen(reads) as heard:
        names = heard.read().splitlines()
    os.waitpid(child, 0)
    return names


def hunt(wanted: tuple[Mutant, ...], witnesses: FoundByPath | None = None) -> Hunt:
    """Collect the tests and hunt.

    Errors: `SystemExit` if tests fail before anything is changed.
    """
    made = Hunt(wanted, witnesses)
    paths = [str(ROOT / path) for path in HUNTED if (ROOT / path).exists()]
    arguments = [
        "-q",
        "-p",
        "no:cacheprovider",
        "--no-header",
        "--no-summary",
        "--rootdir",
        str(ROOT),
        *paths,
    ]
    code = pytest.main(arguments, plugins=[made])
    if code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED) or made.broken:
        raise SystemExit(f"these tests fail as they are: {', '.join(made.broken) or code}")
    return made


def gathered(made: Hunt) -> FoundByPath:
    """By profile and value: what notices its changes."""
    found: FoundByPath = {}
    for name in SHIPPED:
        by_path = found[name] = {}
        for path, value, _ in values(shipped(name).profile):
            mine = [m for m in made.wanted if (m.profile, m.path) == (name, path)]
            seen = {m.shown: made.noticed[m] for m in mine}
            quickest = {
                shown: min(tests, key=lambda t: (made.seconds[t], t))
                for shown, tests in seen.items()
                if tests
            }
            union = tuple(sorted({test for tests in seen.values() for test in tests}))
            nothing = tuple(shown for shown, tests in seen.items() if not tests)
            by_path[path] = Found(words(value), quickest, union, nothing)
    return found


def load() -> FoundByPath:
    """What the last whole run found."""
    return msgspec.json.decode(FILE.read_bytes(), type=FoundByPath)


def checks(found: FoundByPath) -> Checks:
    """The same in the short form that the page shows."""
    return {
        (name, path): Check(_cases(one.tests), _by_file(one.tests), bool(one.unnoticed))
        for name, by_path in found.items()
        for path, one in by_path.items()
    }


def _cases(tests: Iterable[str]) -> tuple[str, ...]:
    marks = (test.rpartition("[")[2].rstrip("]") for test in tests if "test_cases.py" in test)
    return tuple(sorted(set(marks)))


def _by_file(tests: Iterable[str]) -> dict[str, int]:
    files = (test.partition("::")[0].removeprefix("tests/") for test in tests if "test_cases.py" not in test)
    return dict(sorted(Counter(files).items()))


def unexplained(found: FoundByPath) -> Iterator[str]:
    """Changes that nothing notices and the page does not explain."""
    for name, path, shown in unnoticed(found):
        if path not in TOLD:
            yield f"{name} {path} = {found[name][path].value}, changed to {shown}"


def unnoticed(found: FoundByPath) -> Iterator[tuple[str, str, str]]:
    """Profile, path and changed value of each change that nothing notices."""
    for name, by_path in found.items():
        for path, one in by_path.items():
            for shown in one.unnoticed:
                yield name, path, shown


def confirm(every: int) -> list[str]:
    """Play the witness of each `every`th change again: the changes that it no longer notices, in words."""
    found = load()
    wanted = tuple(m for m in mutants() if m.shown in found[m.profile][m.path].witness)[::every]
    made = hunt(wanted, found)
    return [f"{m.profile} {m.path} changed to {m.shown}" for m in wanted if not made.noticed[m]]


def write_page(found: FoundByPath) -> None:
    """Write the page of the profiles."""
    Path(coverage.__file__).with_name(coverage.FILE).write_text(coverage.page(checks(found)), "utf-8")


def main() -> int:
    """Hunt and print."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.rules.mutation",
        description=__doc__,
        formatter_class=argparse.RawTextHelpFormatter,
    )
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--page", action="store_true")
    parser.add_argument("--confirm", action="store_true")
    parser.add_argument("--every", type=int, default=1, help="with --confirm: only each Nth change")
    given = parser.parse_args()
    if given.page:
        write_page(load())
        return 0
    begun = time.monotonic()
    if given.confirm:
        lost = confirm(given.every)
        print(*(f"no longer noticed: {one}" for one in lost), sep="\n")
        return 1 if lost else 0
    found = gathered(hunt(mutants()))
    if given.write:
        FILE.write_bytes(msgspec.json.format(msgspec.json.encode(found), indent=1) + b"\n")
        write_page(found)
    return _told(found, time.monotonic() - begun)


def _told(found: FoundByPath, seconds: float) -> int:
    changes, gaps = list(unnoticed(found)), list(unexplained(found))
    print(f"{len(mutants())} changes, {len(changes)} noticed by nothing, in {seconds:.0f} s")
    for name, path, shown in changes:
        why = f" (told, not computed: {TOLD[path]})" if path in TOLD else ""
        print(f"  {name} {path}: {found[name][path].value} changed to {shown}{why}")
    return 1 if gaps else 0


if __name__ == "__main__":
    sys.exit(main())
