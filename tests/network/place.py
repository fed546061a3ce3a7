"""Where a station of the lab is in its network: the device it has there, and its address."""

from __future__ import annotations

DEVICE = "lab0"


def address(port: int) -> str:
    """The address of the station at a port of the switch."""
    return f"10.77.0.{port + 1}"
