"""Steps of a crew that changes: devices that go and come, jobs and the writing that change hands, the end.

Played where there is a crew.
"""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta

from crewlink.crew.posts import Post
from crewlink.rules.profile import Signer
from crewlink.script.step import Step


class DeviceGone(Step, frozen=True, kw_only=True, tag="device_gone"):
    """The device of `post` is switched off or walked away with."""

    post: Post


class NewDevice(Step, frozen=True, kw_only=True, tag="new_device"):
    """The post `by` lets a new device in for the job `post`."""

    post: Post


class CutOff(Step, frozen=True, kw_only=True, tag="cut_off"):
    """The device of `post` reaches nobody any more, and goes on by itself."""

    post: Post


class LinkAgain(Step, frozen=True, kw_only=True, tag="link_again"):
    """The device of `post` that was cut off reaches the others again."""

    post: Post


class TakeOut(Step, frozen=True, kw_only=True, tag="take_out"):
    """The device that has the job `post` is lost: it belongs to this court no longer."""

    post: Post


class GiveJob(Step, frozen=True, kw_only=True, tag="give_job"):
    """The device of `post` gets another `job`; one that has it now gets the first one's."""

    post: Post
    job: Post


class TakeWriting(Step, frozen=True, kw_only=True, tag="take_writing"):
    """Write here: the one who writes is silent, the others are asked."""


class WriteAlone(Step, frozen=True, kw_only=True, tag="write_alone"):
    """Write here without the others, who can't be heard."""


class HandWriting(Step, frozen=True, kw_only=True, tag="hand_writing"):
    """The one who writes lets `post` write."""

    post: Post


class Sign(Step, frozen=True, kw_only=True, tag="sign"):
    """Sign the finished record: the signature whose turn it is, or that of `signer`. R2 and the table enter a
    mark of captain or coach and the sign of another post.
    """

    signer: Signer | None = None


Name16 = Annotated[str, Meta(max_length=16)]


class NextMatch(Step, frozen=True, kw_only=True, tag="next_match"):
    """Go on with the next match on this court with the same devices; `a`, `b`: what its teams are called."""

    a: Name16 = ""
    b: Name16 = ""


HandingStep = (
    DeviceGone
    | NewDevice
    | CutOff
    | LinkAgain
    | TakeOut
    | GiveJob
    | TakeWriting
    | WriteAlone
    | HandWriting
    | Sign
    | NextMatch
)
