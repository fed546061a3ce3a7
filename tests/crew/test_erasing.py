"""Free words and names can be taken away for good: on every device, by who may, after the event's days."""

from __future__ import annotations

from msgspec import structs

from crewlink import erasing
from crewlink.charter import Names, Settings, TeamNames
from crewlink.crew.commands import EraseNames, EraseWords, Raise
from crewlink.crew.posts import Post
from crewlink.match.commands import Default
from crewlink.match.teams import Team
from protocol.entry import text_of
from tests.crew.hall import Box, Hall

WORDS = "swore at a line judge"
DAY_S = 86_400.0


def reported(hall: Hall, by: Post = Post.R2) -> str:
    """A conduct report with free words; its id."""
    hall.begin()
    assert hall.do(by, Raise("conduct", "B", 7, text=WORDS)).done
    return hall.plate(Post.SITE, "conduct").id


def words_on(box: Box) -> list[str]:
    """Private words on the disk of a device."""
    return [text_of(row.private) for row in box.disk.values() if row.private]


def seen(hall: Hall, post: Post) -> str:
    return hall.plate(post, "conduct").text


def test_words_are_gone_from_every_face_and_every_disk() -> None:
    hall = Hall()
    id_ = reported(hall)
    assert seen(hall, Post.R1) == seen(hall, Post.SITE) == WORDS
    assert hall.do(Post.R2, EraseWords(id_)).done
    hall.pass_time(1.0)
    for post in (Post.R1, Post.R2, Post.SITE):
        assert seen(hall, post) == ""
        assert WORDS not in words_on(hall.boxes[post])
    assert len(hall.digests()) == 1


def test_a_station_that_was_away_loses_them_when_it_hears_of_it() -> None:
    hall = Hall()
    id_ = reported(hall)
    hall.part((Post.SITE,), (Post.R1, Post.R2, Post.SCORER))
    hall.do(Post.R1, EraseWords(id_))
    assert seen(hall, Post.SITE) == WORDS
    hall.heal()
    hall.pass_time(3.0)
    assert seen(hall, Post.SITE) == "" and WORDS not in words_on(hall.boxes[Post.SITE])


def test_one_that_gets_the_words_after_the_erasing_does_not_keep_them() -> None:
    hall = Hall()
    hall.begin()
    hall.part((Post.SITE,), (Post.R2,), (Post.R1, Post.SCORER))
    hall.do(Post.R2, Raise("conduct", "B", 7, text=WORDS))
    id_ = hall.plate(Post.R2, "conduct").id
    hall.do(Post.R2, EraseWords(id_))
    hall.heal()
    hall.pass_time(3.0)
    for post in (Post.R1, Post.SITE):
        assert seen(hall, post) == "" and WORDS not in words_on(hall.boxes[post])


def test_who_neither_wrote_them_nor_answers_for_the_court_erases_nothing() -> None:
    hall = Hall()
    id_ = reported(hall, Post.R1)
    assert hall.do(Post.R2, EraseWords(id_)).code == "not_your_job"
    assert hall.do(Post.SCORER, EraseWords(id_)).code == "not_your_job"
    assert seen(hall, Post.R2) == WORDS


def test_an_act_of_erasing_by_another_than_its_writer_changes_nothing() -> None:
    hall = Hall()
    id_ = reported(hall, Post.R1)
    box = hall.boxes[Post.SCORER]
    box.station.author("free", ("erase", {"notice": bytes.fromhex(id_)}), box.now, box.wall)
    hall.pass_time(1.0)
    assert erasing.words_gone(hall.court(Post.R1).crew) == frozenset()
    assert seen(hall, Post.R1) == WORDS


def test_erased_words_stay_gone_after_a_restart() -> None:
    hall = Hall()
    id_ = reported(hall)
    hall.do(Post.SITE, EraseWords(id_))
    hall.kill(Post.R1)
    hall.restart(Post.R1)
    hall.pass_time(3.0)
    assert seen(hall, Post.R1) == ""


def test_a_joined_report_loses_its_words_with_the_first() -> None:
    hall = Hall()
    id_ = reported(hall)
    assert hall.do(Post.R1, Raise("conduct", "B", joins=id_, text="twice")).done
    hall.pass_time(1.0)
    assert hall.do(Post.SITE, EraseWords(id_)).done
    hall.pass_time(1.0)
    assert words_on(hall.boxes[Post.R1]) == []


NAMES = Names(a=TeamNames("Copper Kites"), b=TeamNames("Night Ferry"))


def named(settings: Settings = Settings()) -> Hall:  # noqa: B008 - frozen
    """A hall whose table gave names, in a match that has begun."""
    hall = Hall(settings=settings)
    box = hall.boxes[Post.SCORER]
    box.station._to_name = NAMES
    hall.pass_time(1.0)
    hall.begin()
    assert hall.look(Post.SITE).a.name == "Copper Kites"
    return hall


def over(hall: Hall) -> None:
    assert hall.do(Post.SCORER, Default(Team.B)).done
    assert hall.court(Post.SITE).match.finished


def test_names_are_erased_when_the_match_is_over_and_not_before() -> None:
    hall = named()
    assert hall.do(Post.SITE, EraseNames()).code == "not_over"
    assert not any(hall.look(box.post).names_erasable for box in hall.boxes.values())
    over(hall)
    may = {box.post for box in hall.boxes.values() if hall.look(box.post).names_erasable}
    assert may == {Post.R1, Post.SCORER, Post.SITE}
    assert hall.do(Post.R2, EraseNames()).code == "not_your_job"
    assert hall.do(Post.SITE, EraseNames()).done
    hall.pass_time(1.0)
    for box in hall.boxes.values():
        assert hall.look(box.post).a.name == "Team A"
        assert not hall.look(box.post).names_erasable
        assert box.station.names_erased
        assert not any("Copper" in text for text in words_on(box))
    assert len(hall.digests()) == 1


def test_words_and_names_go_by_themselves_after_the_days_of_the_event() -> None:
    hall = named(Settings(retention_days=1))
    assert hall.do(Post.R2, Raise("conduct", "B", 7, text=WORDS)).done
    over(hall)
    box = hall.boxes[Post.R2]
    for days in (0.5, 1.1):
        box.off_s = days * DAY_S
        hall.restart(Post.R2)  # this device is looked at so much later
        hall.pass_time(1.0)
        box.station._words._look_back_at = box.now
        hall.pass_time(1.0)
        assert box.station.names_erased is (days > 1)
        assert (words_on(box) == []) is (days > 1)
    assert words_on(hall.boxes[Post.R1]) != []


def test_a_court_that_was_just_opened_keeps_its_names() -> None:
    """Alone, nothing written yet, and a minute gone by: there is nothing that could be too old."""
    hall = Hall(settings=Settings(retention_days=1))
    box = hall.boxes[Post.SCORER]
    box.station._to_name = NAMES
    hall.pass_time(1.0)
    hall.part((Post.SCORER,), (Post.R1, Post.R2, Post.SITE))
    hall.pass_time(90.0)
    assert not box.station.names_erased
    assert hall.look(Post.SCORER).a.name == "Copper Kites"


def test_a_clock_that_is_years_off_erases_nothing_in_mid_match() -> None:
    hall = named(Settings(retention_days=1))
    box = hall.boxes[Post.R2]
    box.off_s = 1000 * DAY_S
    hall.pass_time(70.0)
    assert hall.look(Post.R2).a.name == "Copper Kites"


def test_without_days_nothing_goes_by_itself() -> None:
    hall = named()
    over(hall)
    court = hall.court(Post.SITE)
    late = hall.boxes[Post.SITE].wall + int(10_000 * DAY_S * 1000)
    assert not erasing.kept_too_long(court, late, alone=True)
    charter = structs.replace(court.charter, settings=Settings(retention_days=30))
    assert erasing.kept_too_long(structs.replace(court, charter=charter), late, alone=False)
