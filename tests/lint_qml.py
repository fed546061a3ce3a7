"""Check all QML files against the QML modules and the Python view types: no warning is let through.

Run `python -m tests.lint_qml [file ...]`. First the linter proper; then a second pass that looks only for
calls of slots with a wrong number of arguments, which the first one does not see. What it makes lies in a
folder of its own, `bed`, and goes with it.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import PySide6

ROOT = Path(__file__).resolve().parent.parent
UI = ROOT / "ui"
QT = Path(PySide6.__file__).parent
FOREIGN = ("core", "gui", "qml", "qmlmodels", "quick")


def _run(command: Sequence[str | Path]) -> subprocess.CompletedProcess[str]:
    return subprocess.run([str(part) for part in command], capture_output=True, text=True, check=False)


def mirror_of(bed: Path) -> Path:
    """Where the copy of the Crewlink.Ui module lies."""
    return bed / "Crewlink" / "Ui"


def view_files() -> list[Path]:
    """Python files that declare QML types."""
    return sorted(path for path in (UI / "bridge").glob("*.py") if "@QmlElement" in path.read_text())


def _mark_constants(dump: Path) -> None:
    """What the dumper forgets: a property without a notify signal is constant, and a list is Qt's own."""
    files = json.loads(dump.read_text())
    for file in files:
        for kind in file["classes"]:
            for entry in kind.get("properties", []):
                entry.setdefault("constant", "notify" not in entry)
                if entry.get("type") == "list":
                    entry["type"] = "QVariantList"
    dump.write_text(json.dumps(files))


def write_module(bed: Path) -> None:
    """Copy Crewlink.Ui to `bed` as one tree: the linter takes a path with ".." for another file."""
    mirror = mirror_of(bed)
    shutil.rmtree(mirror, ignore_errors=True)
    for source in UI.rglob("*.qml"):
        target = mirror / source.relative_to(UI)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, target)
    (mirror / "qmldir").write_text((UI / "modules/Crewlink/Ui/qmldir").read_text().replace("../../../", ""))


def write_types(bed: Path) -> None:
    """Describe the Python view types in `bed`, so that the linter knows their properties and slots."""
    views = bed / "Crewlink" / "Views"
    views.mkdir(parents=True, exist_ok=True)
    dumper: list[str | Path] = [sys.executable, QT / "scripts" / "metaobjectdump.py"]
    dumped = _run([*dumper, "-o", views / "views.json", *view_files()])
    if dumped.returncode:
        raise SystemExit(f"The view types can't be read: {dumped.stderr.strip()}")
    _mark_constants(views / "views.json")
    metatypes = QT / "Qt" / "metatypes"
    foreign = ",".join(str(metatypes / f"qt6{name}_metatypes.json") for name in FOREIGN)
    tool = QT / "Qt" / "libexec" / "qmltyperegistrar"
    named = ["--import-name", "Crewlink.Views", "--major-version", "1", "--foreign-types", foreign]
    made = _run(
        [
            tool,
            "--generate-qmltypes",
            views / "views.qmltypes",
            *named,
            "-o",
            views / "views.cpp",
            views / "views.json",
        ]
    )
    if made.returncode:
        raise SystemExit(f"The view types can't be registered: {made.stderr.strip()}")
    (views / "qmldir").write_text("module Crewlink.Views\ntypeinfo views.qmltypes\n")


def run_linter(bed: Path, copies: Sequence[Path], *options: str) -> subprocess.CompletedProcess[str]:
    """Run the linter over files of the copy; its report names the files in ui/."""
    done = _run([QT / "qmllint", *options, "-I", bed, *copies])
    done.stdout = done.stdout.replace(str(mirror_of(bed)), str(UI))
    done.stderr = done.stderr.replace(str(mirror_of(bed)), str(UI))
    return done


def wrong_counts(bed: Path, copies: Sequence[Path]) -> list[str]:
    """Calls with a wrong number of arguments, one line each."""
    report = run_linter(bed, copies, "--compiler", "warning", "--json", "-")
    return [
        f"{file['filename']}:{warning.get('line', 0)}: {warning['message']}"
        for file in json.loads(report.stdout)["files"]
        for warning in file["warnings"]
        if "Function expects" in warning["message"]
    ]


def check(bed: Path, copies: Sequence[Path]) -> int:
    """Both passes over files of the copy; exit status 0 if they are clean."""
    checked = run_linter(bed, copies, "-W", "0")
    counts = wrong_counts(bed, copies)
    print(checked.stdout + checked.stderr, end="")
    print("\n".join(counts), end="\n" if counts else "")
    return 1 if checked.returncode or counts else 0


def check_text(bed: Path, text: str) -> int:
    """Both passes over a text as if it were a face's file."""
    file = mirror_of(bed) / "faces" / "Tried.qml"
    file.write_text(text)
    return check(bed, [file])


def main(arguments: Sequence[str]) -> int:
    """Exit status 0 if every file is clean."""
    files = [Path(argument).resolve() for argument in arguments] or sorted(UI.rglob("*.qml"))
    with TemporaryDirectory() as folder:
        bed = Path(folder).resolve()
        write_types(bed)
        write_module(bed)
        status = check(bed, [mirror_of(bed) / file.relative_to(UI) for file in files])
    print(f"{len(files)} QML files, {'not clean' if status else 'clean'}")
    return status


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
