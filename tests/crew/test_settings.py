"""What the event decides: names on or off, who is responsible, the medical post, what a charter keeps."""

from __future__ import annotations

import msgspec

from crewlink import charter
from crewlink.charter import Charter, Names, Settings, TeamNames, shown_names
from crewlink.crew.commands import CloseNotice, Raise
from crewlink.crew.posts import Post
from crewlink.record.export import record_json
from crewlink.record.taking_out import incidents_of
from tests.crew.hall import SETUP, Hall

NAMES = Names(
    court="Court 7",
    event="Autumn Cup",
    a=TeamNames("Copper Kites", "Kites", "#aa5500"),
    b=TeamNames("Night Ferry", "Ferry"),
    responsible="The desk in hall 2",
)


def test_settings_come_out_of_the_charter_as_they_went_in() -> None:
    settings = Settings(
        worn=False,
        names=False,
        retention_days=14,
        medical_post="R1",
        starts=1_700_000_000_000,
        warm_up=240,
        paper=True,
        start_grace=300,
    )
    opened = Charter(SETUP, settings)
    assert charter.from_map(charter.to_map(opened), charter.FOLD_VERSION) == opened


def test_a_charter_of_an_earlier_version_reads_with_the_usual_settings() -> None:
    plain = charter.to_map(Charter(SETUP))
    plain["settings"] = {"worn": False}
    assert charter.from_map(plain, charter.FOLD_VERSION).settings == Settings(worn=False)


def test_the_person_who_is_responsible_is_no_part_of_what_is_signed() -> None:
    signed = msgspec.json.encode(charter.to_map(Charter(SETUP, Settings(retention_days=14))))
    assert b"responsible" not in signed and b"desk" not in signed
    assert Names.from_text(NAMES.to_text()) == NAMES


def test_without_names_screens_show_letters_and_keep_the_colours() -> None:
    shown = shown_names(NAMES, Settings(names=False))
    assert (shown.a.name, shown.b.name, shown.court) == ("Team A", "Team B", "Court 7")
    assert (shown.a.colour, shown.responsible) == ("#aa5500", "The desk in hall 2")
    assert shown_names(NAMES, Settings()) == NAMES


def test_a_station_shows_no_name_where_the_event_wants_none() -> None:
    hall = Hall(settings=Settings(names=False))
    hall.boxes[Post.R2].station._words.names = NAMES
    assert hall.look(Post.R2).a.name == "Team A"


def test_nothing_that_is_taken_out_has_a_name_where_the_event_wants_none() -> None:
    """Neither the record nor the list of incidents, even if the names are here."""
    hall = Hall(settings=Settings(names=False))
    hall.begin()
    hall.do(Post.SCORER, Raise("medical", "A", 4))
    station = hall.boxes[Post.R1].station
    station._words.names = NAMES
    assert station.court is not None
    assert NAMES.a.name not in record_json(station.court, station.names)
    assert incidents_of(station).teams == ("Team A", "Team B")


def test_the_medical_post_is_the_events_choice() -> None:
    hall = Hall(settings=Settings(medical_post="R2"))
    hall.begin()
    hall.do(Post.SCORER, Raise("medical", "A", 4, detail="head"))
    id_ = hall.plate(Post.R1, "medical").id
    assert hall.do(Post.SITE, CloseNotice(id_, "seen")).code == "medical_post_only"
    assert hall.do(Post.R2, CloseNotice(id_, "seen")).done
    assert hall.plates(Post.R1, "medical") == []


def test_a_medical_post_without_a_device_speaks_by_one_that_enters_it() -> None:
    hall = Hall((Post.SCORER, Post.R2, Post.R1))
    hall.begin()
    hall.do(Post.R1, Raise("medical", "A", 4, detail="head"))
    id_ = hall.plate(Post.R2, "medical").id
    assert hall.do(Post.R1, CloseNotice(id_, "seen")).code == "medical_post_only"
    assert hall.do(Post.R2, CloseNotice(id_, "seen", on_behalf="site")).done
    end = hall.notices(Post.SCORER, "medical")[0].end
    assert end is not None and (end.post, end.by) == ("site", "R2")
