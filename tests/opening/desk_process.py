"""A device at set-up as a process of its own: `python -m tests.opening.desk_process HOME NAME`.

Lines in: {"do": ["open"]}, {"do": ["show_code", "R2"]}, {"do": ["join", ["127.0.0.1:4000"], "R2"]}, ... Each
change of the news, and each snapshot of the court, is a line out.
"""

from __future__ import annotations

import json
import sys
import threading
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace

from crewlink.home import Home
from crewlink.match.commands import Toss
from crewlink.match.teams import Team
from crewlink.opening import CourtPlan, TeamPlan
from ui.setup_source import SetupDesk

PLAN = CourtPlan(
    "7",
    "Girls U16",
    a=TeamPlan("Harbour Kites", "Kites", "", (2, 4, 6, 7, 9, 11, 12, 20), (20,), 9),
    b=TeamPlan("Northfield Lynx", "Lynx", "", (1, 2, 3, 5, 8, 10, 14, 18), (18,), 10),
)


def main() -> None:
    """Obey until the input ends."""
    lock = threading.Lock()

    def say(kind: str, value: Any) -> None:
        with lock:
            sys.stdout.write(json.dumps({kind: msgspec.to_builtins(value)}) + "\n")
            sys.stdout.flush()

    desk = SetupDesk(Home(Path(sys.argv[1])), device=sys.argv[2])
    desk.begin(lambda news: say("news", news), lambda snapshot: say("court", snapshot), lambda: None)
    for line in sys.stdin:
        name, *arguments = json.loads(line)["do"]
        if name == "open":
            desk.open_court(PLAN)
        elif name == "toss":
            desk.submit(Toss(Team.A, Team.B))
        elif name == "comes":
            desk.keep(replace(desk.news.choices, comes=True))
        elif name == "look":
            station = desk.station
            say("look", None if station is None else station.station.look())
        else:
            getattr(desk, name)(*(tuple(one) if isinstance(one, list) else one for one in arguments))
    desk.end()
    if desk.station is not None:
        desk.station.stop()


if __name__ == "__main__":
    main()
