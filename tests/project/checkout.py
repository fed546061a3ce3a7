"""The files of this checkout, as git knows them, and rules that one can ask of a text."""

from __future__ import annotations

import re
import shutil
import subprocess
from fnmatch import fnmatch
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def tracked(*patterns: str) -> list[Path]:
    """Files of the project, relative to the root: what git lists, or without git all but what is made.

    A pattern is a folder or file, or a name with `*` (which also stands for folders).
    """
    names = from_git() or from_disk()
    files = [Path(name) for name in names if (ROOT / name).is_file()]
    return [file for file in files if not patterns or any(fits(file, pattern) for pattern in patterns)]


def fits(file: Path, pattern: str) -> bool:
    name = file.as_posix()
    return name == pattern or name.startswith(pattern + "/") or fnmatch(name, pattern)


def from_git() -> list[str]:
    if not (ROOT / ".git").exists() or not shutil.which("git"):
        return []
    # The checkout may belong to another user than the one who runs the tests.
    command = ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, check=False, text=True)
    return [name for name in listed.stdout.split("\0") if name]


def from_disk() -> list[str]:
    made = [line.strip("/") for line in (ROOT / ".gitignore").read_text("utf-8").split()]
    paths = sorted(path.relative_to(ROOT) for path in ROOT.rglob("*"))
    return [
        path.as_posix()
        for path in paths
        if path.parts[0] != ".git" and not any(fnmatch(part, name) for part in path.parts for name in made)
    ]


def text_of(path: Path) -> str:
    """The text of a file named relative to the root."""
    return (ROOT / path).read_text("utf-8")


def signal_like_properties(qml: str) -> list[str]:
    """QML properties named like a signal handler: `onNow` beside `now` silently keeps its default."""
    return re.findall(r"^\s*(?:(?:required|readonly|default)\s+)*property\s+\S+\s+(on[A-Z]\w*)", qml, re.M)


def colour_literals(source: str) -> list[str]:
    """Colours written out instead of taken from a token, in QML or Python."""
    return re.findall(
        r"""["']#[0-9a-fA-F]{3,8}["']|\bQt\.(?:rgba|hsla|hsva|tint)\(|\bQColor\(\s*["'\d]""", source
    )


def literal_sizes(qml: str) -> list[str]:
    """Font sizes written out instead of taken from a token."""
    return re.findall(r"\b(?:pixelSize|pointSize)\s*:\s*\d+", qml)


def local_links(markdown: str) -> list[str]:
    """Targets of links and pictures that point into the checkout, without what stands after `#`."""
    text = re.sub(r"^```.*?^```", "", markdown, flags=re.M | re.S)
    targets = re.findall(r"\]\(\s*<?([^)>\s]+)", text) + re.findall(r"""(?:src|href)=["']([^"']+)""", text)
    return [target.split("#")[0] for target in targets if not re.match(r"[a-z]+:|#", target)]
