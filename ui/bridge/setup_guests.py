"""Known devices as lines of a list: who it is, where it was last, what a press does."""

from __future__ import annotations

from collections.abc import Sequence

from crewlink.crew.posts import CREW, Post
from ui.bridge.setup_code import job_word
from ui.bridge.setup_port import Coming, CrewMember, Guest
from ui.bridge.setup_roles import GuestRow

_ORDER = (Post.R2, Post.R1, Post.SCORER, Post.ASSISTANT)


def guest_rows(guests: Sequence[Guest], crew: Sequence[CrewMember]) -> list[GuestRow]:
    """The lines. A device is invited for the job it had if that is free here, else for the next free one."""
    free = [one.post for one in crew if one.reach == "unfilled" and one.post in set(map(str, CREW))]
    order = [str(post) for post in _ORDER if str(post) in free]
    return [_row(guest, guest.post if guest.post in free else next(iter(order), "")) for guest in guests]


def _row(guest: Guest, post: str) -> GuestRow:
    title = guest.name or f"The {job_word(guest.post)} of {guest.court or 'another match'}"
    if guest.replaced:
        return GuestRow(guest.device, title, "Installed anew: these are its old keys.", "Take out", "", True)
    live = bool(post) and guest.coming is not Coming.ASKED
    act = "Asking" if guest.coming is Coming.ASKED else f"Invite as {job_word(post)}" if post else ""
    return GuestRow(guest.device, title, guest.said or _detail(guest), act, post, live)


def _detail(guest: Guest) -> str:
    was = f"was {job_word(guest.post)}" + (f" on {guest.court}" if guest.court else "")
    return f"{was}, near" if guest.near else f"{was}, not heard: open crewlink on it"
