"""What may go wrong in one run, drawn from the seed. Some runs are calm on purpose."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Profile:
    """Chances are per frame or per act; spans in seconds. `stream`: frames arrive in order, none is lost."""

    name: str
    stations: int = 4
    span: float = 20.0
    stream: bool = True
    loss: float = 0.0
    duplicate: float = 0.0
    delay: float = 0.01
    jitter: float = 0.01
    cut_every: float = 0.0
    one_way: float = 0.3
    cut_span: float = 4.0
    crash_every: float = 0.0
    crash_at_step: float = 0.0
    down_span: float = 2.0
    fsync: float = 0.003
    stall: float = 0.0
    torn: float = 0.2
    skew: float = 0.2
    drift: float = 0.0  # of one device
    acts_every: float = 0.4
    record: float = 0.5
    private: float = 0.1
    grant: float = 0.0
    take: float = 0.0
    force: float = 0.0
    choose: float = 0.0
    seal: float = 0.0
    revoke: float = 0.0
    restore: float = 0.0
    malice: float = 0.0
    freeze: float = 0.0
    lose: float = 0.0
    partial: float = 0.0
    mutual: bool = False  # two stations take each other out at one moment
    refuse_every: float = 0.0  # disks that are full or cannot be written
    sleep_every: float = 0.0
    set_every: float = 0.0  # wall clocks that are set by hours
    clone: float = 0.0
    behind: bool = False  # the writer is lost while one of the others is parted from it and from the rest
    slow: float = 0.0  # one station whose links carry `slow_rate` bytes a second
    slow_rate: float = 4000.0
    air: float | None = None  # share of datagrams that are lost; None: stations send none

    @property
    def calm(self) -> bool:
        """Whether nothing happens that could part stations or stop one: then nothing may be set aside."""
        faults = (
            self.loss, self.cut_every, self.crash_every, self.crash_at_step, self.stall, self.force,
            self.choose, self.revoke, self.restore, self.malice, self.freeze, self.lose, self.partial,
            self.refuse_every, self.sleep_every, self.clone, self.slow,
        )  # fmt: skip
        return not any(faults) and not (self.mutual or self.behind or self.air)


CALM = Profile("calm")
CALM_PEN = replace(CALM, name="calm, the pen moves", grant=0.1, take=0.2)
CALM_CLOCKS = replace(CALM, name="calm, clocks set", skew=3600.0, set_every=1.0, grant=0.05, take=0.1)
LOSSY = Profile("lossy", stream=False, loss=0.1, duplicate=0.03, jitter=0.1, grant=0.05, take=0.1)
PARTED = Profile("parted", cut_every=4.0, grant=0.03, take=0.2)
CRASHING = Profile("crashing", crash_every=6.0, crash_at_step=0.002, stall=0.02, grant=0.02, take=0.15)
ROUGH = Profile(
    "rough",
    stream=False,
    loss=0.2,
    duplicate=0.03,
    jitter=0.3,
    cut_every=6.0,
    crash_every=10.0,
    crash_at_step=0.002,
    stall=0.05,
    set_every=10.0,
    grant=0.03,
    take=0.2,
)
FORCED = replace(ROUGH, name="forced", force=0.1, stream=True, loss=0.0)
STALLING = replace(
    PARTED, name="stalling", cut_every=2.5, one_way=0.5, stall=0.1, freeze=0.03, take=0.5, grant=0.05
)
SLOW = replace(
    STALLING, name="slow", stall=0.4, freeze=0.0, cut_every=1.5, cut_span=3.5, take=0.9, record=0.7
)
FLAPPING = replace(
    PARTED, name="flapping", cut_every=0.7, cut_span=0.7, crash_every=8.0, take=0.4, grant=0.03
)
CHOOSING = replace(PARTED, name="choosing", choose=0.05, force=0.05, take=0.2)
SEALING = replace(PARTED, name="sealing", seal=0.2, take=0.2, force=0.03, crash_every=10.0)
REVOKING = replace(
    PARTED, name="revoking", cut_every=3.0, revoke=0.03, force=0.05, take=0.4, crash_every=15.0
)
LOSING = replace(ROUGH, name="losing", lose=1.0, take=0.5, cut_every=3.0)
RIVALS = replace(
    PARTED, name="rivals", lose=1.0, crash_every=1.5, down_span=0.4, cut_every=2.0, take=0.9, acts_every=0.3
)
HASTY = replace(RIVALS, name="hasty", stream=False, loss=0.3, crash_every=6.0, acts_every=0.15, jitter=0.05)
TRICKLING = replace(
    HASTY,
    name="trickling",
    partial=1.0,
    loss=0.35,
    crash_every=4.0,
    down_span=6.0,
    cut_every=0.0,
    lose=0.0,
    record=0.8,
    acts_every=0.1,
)
PARTIAL = replace(CRASHING, name="partial", partial=1.0, cut_every=8.0, take=0.3)
RESTORING = replace(CRASHING, name="restoring", crash_every=4.0, restore=0.5, force=0.03, cut_every=6.0)
MALICIOUS = replace(LOSSY, name="malicious", stream=True, malice=0.1, cut_every=6.0, crash_every=12.0)
FULL = replace(CRASHING, name="full", refuse_every=2.5, crash_at_step=0.0, cut_every=8.0, take=0.3)
FULL_FORCED = replace(FULL, name="full and forced", force=0.1, crash_every=9.0)
SLEEPING = replace(PARTED, name="sleeping", sleep_every=2.5, cut_every=8.0, take=0.4, crash_every=15.0)
CLOCKS = replace(PARTED, name="clocks", set_every=1.5, sleep_every=8.0, skew=3600.0, take=0.3, grant=0.05)
DRIFTING = replace(CALM, name="drifting", span=60.0, acts_every=1.0, drift=2e-4, grant=0.05, take=0.1)
CLONED = replace(PARTED, name="cloned", clone=1.0, cut_every=6.0, take=0.3, force=0.02, crash_every=12.0)
SLUGGISH = replace(PARTED, name="sluggish", slow=1.0, take=0.4, private=0.2, acts_every=0.25)
CARRIED = tuple(
    replace(profile, name=f"carried {profile.name}", air=air)
    for profile, air in (
        (LOSSY, 0.3),
        (PARTED, 0.1),
        (CRASHING, 0.2),
        (ROUGH, 0.3),
        (FLAPPING, 0.2),
        (STALLING, 0.1),
        (REVOKING, 0.1),
        (SEALING, 0.2),
        (PARTIAL, 0.2),
        (RESTORING, 0.1),
        (SLEEPING, 0.1),
        (MALICIOUS, 0.2),
    )
)
BEHIND = replace(
    PARTED,
    name="behind",
    stream=False,
    loss=0.5,
    air=0.05,  # a vote comes by datagram, before what the voter holds of others comes by stream
    behind=True,
    cut_every=0.0,
    record=1.0,
    take=0.3,
    acts_every=0.2,
    span=25.0,
)
MUTUAL = replace(REVOKING, name="mutual", mutual=True, revoke=0.0, crash_every=0.0)
PROFILES = (
    CALM,
    CALM_PEN,
    CALM_CLOCKS,
    LOSSY,
    PARTED,
    CRASHING,
    ROUGH,
    FORCED,
    STALLING,
    SLOW,
    FLAPPING,
    CHOOSING,
    SEALING,
    REVOKING,
    RESTORING,
    MALICIOUS,
    LOSING,
    PARTIAL,
    RIVALS,
    HASTY,
    TRICKLING,
    FULL,
    FULL_FORCED,
    SLEEPING,
    CLOCKS,
    DRIFTING,
    CLONED,
    SLUGGISH,
    MUTUAL,
    BEHIND,
    *CARRIED,
)


def drawn(seed: int, profiles: tuple[Profile, ...] = PROFILES) -> Profile:
    """The profile of a seed."""
    rng = random.Random(f"profile {seed}")
    profile = rng.choice(profiles)
    return replace(profile, stations=rng.choice((2, 3, 3, 4, 4, 5)))
