"""What can go wrong with a match file, each as a type that says what, where and what to do."""

from __future__ import annotations

from pathlib import Path


class StoreError(Exception):
    """A match file cannot be used. Carries the file, the problem and the advice, each one plain sentence."""

    def __init__(self, path: Path, problem: str, advice: str) -> None:
        super().__init__(f"{path}: {problem} {advice}")
        self.path = path
        self.problem = problem
        self.advice = advice


class ForeignFile(StoreError):
    """The file is a good one, but not a match file of crewlink. It is left alone."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, "This is not a crewlink match file.", "Choose another folder.")


class NewerFile(StoreError):
    """A later version of crewlink made the file. It is left alone."""

    def __init__(self, path: Path, found: int, known: int) -> None:
        super().__init__(
            path,
            f"A later version of crewlink made this match file (layout {found}, this version knows {known}).",
            "Update crewlink on this device.",
        )
        self.found = found
        self.known = known


class OtherMatch(StoreError):
    """The file belongs to another match. It is left alone."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, "This file belongs to another match.", "Put it back under its own name.")


class InUse(StoreError):
    """Another process holds the file."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, "Another crewlink here has this match open.", "Close it, then try again.")


class DiskFull(StoreError):
    """No room. What was saved before is safe; what is new is not saved yet."""

    def __init__(self, path: Path) -> None:
        advice = "Free some space on this device."
        super().__init__(path, "The disk is full, nothing new is saved.", advice)


class NotWritable(StoreError):
    """The file or its folder cannot be written."""

    def __init__(self, path: Path, cause: str) -> None:
        super().__init__(
            path, f"The match file cannot be written ({cause}).", "Check the folder, its owner and the disk."
        )
        self.cause = cause
