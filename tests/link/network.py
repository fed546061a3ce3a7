"""Networks of the test's own: Linux namespaces that need no rights, and cables between them."""

from __future__ import annotations

import shutil
import subprocess

import pytest

NEW_NETWORK = ["unshare", "-rn"]
"""Before a command: run it in a network without anything, and with the right to change that."""


def beside_network(pid: int) -> list[str]:
    """Before a command: run it in another new network, beside the one of this process."""
    return [*_enter(pid, "-U"), "unshare", "-n"]


def ip(pid: int, *commands: str) -> None:
    """Run `ip` in the network of a process."""
    for command in commands:
        subprocess.run([*_enter(pid, "-U", "-n"), "ip", *command.split()], check=True, capture_output=True)


def has_namespaces() -> bool:
    if not all(shutil.which(tool) for tool in ("unshare", "nsenter", "ip")):
        return False
    make = [*NEW_NETWORK, "ip", "link", "add", "v0", "type", "veth"]
    return subprocess.run(make, capture_output=True, check=False).returncode == 0


needs_namespaces = pytest.mark.skipif(not has_namespaces(), reason="needs Linux network namespaces")


def _enter(pid: int, *spaces: str) -> list[str]:
    return ["nsenter", "-t", str(pid), *spaces, "--preserve-credentials"]
