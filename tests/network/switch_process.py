"""The switch at work: makes networks of their own, one for each port, and moves frames between them.

`python -m tests.network.switch_process PORTS SEED`, in a user namespace of its own or as root. Each network
has a TAP device `lab0` with address 10.77.0.(port + 1)/24. The networks exist as long as this process or one
in them does, and the devices as long as this process: whatever ends it, nothing is left.

Prints the paths of the networks, then obeys commands, one JSON array a line; each answer says when it was
carried out (monotonic nanoseconds). Ends when its input ends.
"""

from __future__ import annotations

import ctypes
import fcntl
import json
import os
import random
import select
import struct
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from tests.network.place import DEVICE, address
from tests.network.switch import Gates, Line, Switch, Weather

CLONE_NEWNET = 0x40000000
TUNSETIFF = 0x400454CA  # linux/if_tun.h, as the numbers below
IFF_TAP, IFF_NO_PI = 0x0002, 0x1000
LONGEST_FRAME = 2048
FRAMES_AT_ONCE = 64
LONGEST_SLEEP = 0.5


def new_network() -> int:
    """Move this process to a new network and give a handle to that."""
    libc = ctypes.CDLL(None, use_errno=True)
    if libc.unshare(CLONE_NEWNET) != 0:
        raise OSError(ctypes.get_errno(), "no new network")
    return os.open("/proc/self/ns/net", os.O_RDONLY)


def tap(port: int) -> int:
    """A TAP device with its address, up, in the network this process is in now."""
    device = os.open("/dev/net/tun", os.O_RDWR | os.O_NONBLOCK)
    fcntl.ioctl(device, TUNSETIFF, struct.pack("16sH22x", DEVICE.encode(), IFF_TAP | IFF_NO_PI))
    for line in (
        "link set lo up",
        f"link set {DEVICE} address 02:77:00:00:00:{port + 1:02x}",
        f"addr add {address(port)}/24 dev {DEVICE}",
        f"link set {DEVICE} up",
    ):
        subprocess.run(["ip", *line.split()], check=True, capture_output=True)
    return device


class Mover:
    """Moves frames between devices through a switch, and obeys."""

    def __init__(self, switch: Switch, devices: list[int]) -> None:
        self._switch = switch
        self._devices = devices
        self._ports = {device: port for port, device in enumerate(devices)}
        self._orders: dict[str, Callable[..., object]] = {
            "weather": lambda fields: setattr(switch, "weather", Weather(**fields)),
            "line": lambda port, rate, queue: switch.lines.__setitem__(port, Line(rate, queue)),
            "gates": lambda fields, friends: switch.gate(Gates(**fields), [(a, b) for a, b in friends]),
            "part": switch.part,
            "cut": switch.cut,
            "heal": switch.heal,
            "counts": lambda: [asdict(count) for count in switch.counts],
        }

    def run(self) -> None:
        """Until the input ends. `select` waits to the microsecond, unlike the usual event loop."""
        sources = [*self._devices, 0]
        unread = b""
        while True:
            due = self._switch.next_due()
            wait = LONGEST_SLEEP if due is None else max(0.0, min(due - time.monotonic(), LONGEST_SLEEP))
            for ready in select.select(sources, [], [], wait)[0]:
                if ready:
                    self._read(ready)
                    continue
                data = os.read(0, 65536)
                if not data:
                    return
                *lines, unread = (unread + data).split(b"\n")
                for line in lines:
                    self._obey(line)
            for port, frame in self._switch.due(time.monotonic()):
                self._write(self._devices[port], frame)

    def _read(self, device: int) -> None:
        port = self._ports[device]
        for _ in range(FRAMES_AT_ONCE):
            try:
                frame = os.read(device, LONGEST_FRAME)
            except BlockingIOError:
                return
            self._switch.receive(port, frame, time.monotonic())

    def _write(self, device: int, frame: bytes) -> None:
        try:
            os.write(device, frame)
        except OSError:  # the other end took its device down: the frame is lost, as on a cable
            return

    def _obey(self, line: bytes) -> None:
        word, *arguments = json.loads(line)
        result = self._orders[word](*arguments)
        say([time.monotonic_ns(), result])


def say(value: Any) -> None:
    """One line out."""
    sys.stdout.write(json.dumps(value) + "\n")
    sys.stdout.flush()


def main() -> None:
    ports, seed = int(sys.argv[1]), int(sys.argv[2])
    networks, devices = [], []
    for port in range(ports):
        networks.append(new_network())
        devices.append(tap(port))
    say([f"/proc/{os.getpid()}/fd/{network}" for network in networks])
    Mover(Switch(ports, random.Random(seed)), devices).run()


if __name__ == "__main__":
    main()
