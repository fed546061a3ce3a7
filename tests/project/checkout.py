"""The files of this checkout, as git knows them, and rules that one can ask of a text."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def tracked(*patterns: str) -> list[Path]:
    """Files under version control that exist, relative to the root, in git's order."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--", *patterns], cwd=ROOT, capture_output=True, check=True, text=True
    ).stdout
    return [Path(name) for name in listed.split("\0") if name and (ROOT / name).is_file()]


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
