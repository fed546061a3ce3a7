"""What goes wrong with devices: disks that refuse, sleep, clocks that are set, a device that is cloned."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING

from tests.sim.disk import Trouble
from tests.sim.station import Station

if TYPE_CHECKING:
    from tests.sim.world import World

HOUR_MS = 3_600_000.0


def schedule(world: World) -> None:
    """Draw when the devices of this run have their troubles."""
    profile = world.profile
    for every, trouble in (
        (profile.refuse_every, refuse),
        (profile.sleep_every, sleep),
    ):
        if every:
            _again(world, every, trouble)
    if profile.set_every:
        _set_clocks(world)
    if profile.behind:
        world.after(world.rng.uniform(3.0, 0.5 * profile.span), lambda: lose_the_writer(world))
    if world.rng.random() < profile.clone:
        world.after(world.rng.uniform(2.0, 0.8 * profile.span), lambda: clone(world))


def lose_the_writer(world: World) -> None:
    """One station is parted from all others; the writer is lost for good; then the one comes back. What was
    written last is at others only, and it may ask for the pen before it has that.
    """
    rng = world.rng
    writers = [station for station in world.stations if station.peer and station.peer.may_write()]
    others = [station for station in world.stations if station not in writers]
    if world.quiet or not writers or not others:
        world.after(1.0, lambda: lose_the_writer(world))
        return
    writer, parted = rng.choice(writers), rng.choice(others)
    world.network.part(parted, world.now + rng.uniform(3.0, 5.0))
    world.after(rng.uniform(0.1, 1.0), lambda: world.lose(writer))


def _again(world: World, every: float, trouble: object) -> None:
    def strike() -> None:
        if not world.quiet:
            assert callable(trouble)
            trouble(world, _someone(world))
            _again(world, every, trouble)

    world.after(world.rng.expovariate(1.0 / every), strike)


def _someone(world: World) -> Station:
    """Mostly the one that writes: there it matters most."""
    holders = [station for station in world.stations if station.peer and station.peer.may_write()]
    return world.rng.choice(holders if holders and world.rng.random() < 0.5 else world.stations)


def refuse(world: World, station: Station) -> None:
    """The disk is full, or cannot be written, for a while; sometimes the station dies in that time."""
    disk, rng = station.disk, world.rng
    span = rng.uniform(0.3, 7.0)
    disk.trouble = rng.choice(list(Trouble))
    disk.refuses_until = world.now + span
    world.count(disk.trouble)
    if rng.random() < 0.4:
        world.after(rng.uniform(0.0, span), lambda: None if world.quiet else station.crash())


def sleep(world: World, station: Station) -> None:
    """The device sleeps. What comes waits or is lost; its monotonic clock stands still, or has run on."""
    rng = world.rng
    if station.peer is None or world.now < station.frozen_until:
        return
    until = min(world.now + rng.choice((rng.uniform(1.0, 4.0), rng.uniform(4.0, 15.0))), world.profile.span)
    station.frozen_until = until
    if rng.random() < 0.6:
        station.slept += until - world.now
        world.count("sleep, the monotonic clock stood still")
    else:
        world.count("sleep, the monotonic clock ran on")
    if rng.random() < 0.6:
        world.network.station_gone(station)


def _set_clocks(world: World) -> None:
    def strike() -> None:
        if not world.quiet:
            set_clock(world, world.clock_rng.choice(world.stations))
            _set_clocks(world)

    world.after(world.clock_rng.expovariate(1.0 / world.profile.set_every), strike)


def set_clock(world: World, station: Station) -> None:
    """The wall clock is set forward or back by hours, or put right."""
    hours = world.clock_rng.uniform(0.5, 30.0) * HOUR_MS
    way = world.clock_rng.choice(("forward", "back", "right"))
    station.skew_ms = {"forward": station.skew_ms + hours, "back": station.skew_ms - hours, "right": 0.0}[way]
    world.count(f"wall clock set {way}")


def clone(world: World) -> None:
    """The device runs twice from now on: from a copy of its disk, or as a copy of the whole process."""
    station = _someone(world)
    if station.peer is None or world.quiet or station.gone:
        return
    twin = Station(world, len(world.stations), station.post, station.identity)
    twin.invitation, twin.skew_ms, twin.drift = station.invitation, station.skew_ms, station.drift
    twin.slept, twin.frozen_until = station.slept, station.frozen_until
    twin.disk.rows = dict(station.disk.rows)
    world.stations.append(twin)
    world.network.never.add((station.number, twin.number))
    world.cloned |= {station.number, twin.number}
    if world.rng.random() < 0.5:
        world.count("clone of a disk")
        twin.start()
    else:
        world.count("clone of a process")
        twin.take_over(copy.deepcopy(station.peer, {id(station.identity): station.identity}), station)
    world.begin_acting(twin)


def stop_one_of_two(world: World) -> None:
    """The crew has been told that a device runs twice, and switches one of the two off."""
    for station in [station for station in world.stations if station.number in world.cloned]:
        others = [other for other in world.stations if other.identity is station.identity and not other.gone]
        if len(others) > 1:
            lost = world.rng.choice(others)
            lost.gone = True
            lost.crash()
