"""The incident list: what is kept of a report, who may take it out, what its CSV and its PDF say."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime

import pytest
from msgspec import structs
from pypdf import PdfReader

from crewlink.charter import Names, Settings, TeamNames
from crewlink.crew.commands import AnswerNotice, CloseNotice, Raise, SettleNotice, WithdrawNotice
from crewlink.crew.kinds import all_kinds
from crewlink.crew.posts import Post
from crewlink.match.commands import Point, Sanction
from crewlink.match.teams import Person, Team
from crewlink.match.terms import Card
from crewlink.record.incident_csv import COLUMNS, answer_words, incidents_csv, keep_until
from crewlink.record.incident_pdf import incidents_pdf, privacy_notice
from crewlink.record.incidents import Incident, IncidentAnswer, MatchIncidents, incidents, refusal
from tests.crew.hall import WALL_MS, Hall

NAMES = Names(
    court="Court 7",
    event="Autumn Cup",
    a=TeamNames("Copper Kites", "Kites"),
    b=TeamNames("Night Ferry", "Ferry"),
    responsible="The desk in hall 2",
)
ONE = Incident(
    id="ab" * 32, kind="conduct", title="Conduct", about="coach", at=WALL_MS, set_number=2, score=(12, 9),
    raised_by="R2", state="closed", team="B", team_name="Night Ferry", number=7,
    outcome="Yellow card B 7", ended_by="R1", end_entered_by="Table",
    answers=(
        IncidentAnswer("R1", "answered", 2.6),
        IncidentAnswer("Table", "by sign", 5.0, "R2"),
        IncidentAnswer("Assistant", "no device"),
    ),
    text='said "no", twice',
)  # fmt: skip
MATCH = MatchIncidents("Court 7", "Autumn Cup", ("Copper Kites", "Night Ferry"), "Desk", 14, WALL_MS, (ONE,))


def taken(hall: Hall, post: Post) -> MatchIncidents:
    """The list as a station makes it."""
    box = hall.boxes[post]
    hall.look(post)
    station = box.station
    return incidents(hall.court(post), station.moment(), box.wall, NAMES, station.texts)


def test_a_report_is_kept_with_score_answers_and_what_r1_decided() -> None:
    hall = Hall()
    hall.begin()
    for _ in range(3):
        assert hall.do(Post.SCORER, Point(Team.B)).done
    hall.do(Post.R2, Raise("conduct", "A", 4, detail="player", text="threw the ball"))
    id_ = hall.plate(Post.R1, "conduct").id
    hall.do(Post.R1, AnswerNotice(id_))
    card = Sanction(Team.A, Person("player", 4), Card.WARNING)
    assert hall.do(Post.SCORER, SettleNotice(id_, card, on_behalf="R1")).done
    hall.pass_time(1.0)
    (one,) = taken(hall, Post.SITE).incidents
    assert (one.kind, one.team, one.team_name, one.number, one.about) == (
        "conduct", "A", "Copper Kites", 4, "player",
    )  # fmt: skip
    assert (one.set_number, one.score, one.raised_by, one.state) == (1, (0, 3), "R2", "closed")
    assert one.outcome == "Yellow card A 4"
    assert one.text == "threw the ball"
    how = {answer.post: answer.how for answer in one.answers}
    assert how == {"R1": "answered", "Table": "not answered", "Assistant": "no device"}


def test_what_is_taken_back_says_why_and_who_did_it() -> None:
    hall = Hall()
    hall.begin()
    hall.do(Post.SCORER, Raise("medical", "B", 3))
    id_ = hall.plate(Post.R1, "medical").id
    hall.do(Post.R2, WithdrawNotice(id_, "it was a joke", on_behalf="R1"))
    (one,) = taken(hall, Post.R1).incidents
    assert (one.state, one.outcome, one.ended_by, one.end_entered_by) == (
        "taken back", "it was a joke", "R1", "R2",
    )  # fmt: skip


def test_notices_that_are_no_incidents_are_not_in_the_list() -> None:
    hall = Hall()
    hall.begin()
    hall.do(Post.SCORER, Raise("wrong_server", "A", 5))
    hall.do(Post.R2, Raise("help", detail="floor"))
    id_ = hall.plate(Post.SITE, "help").id
    hall.do(Post.SITE, CloseNotice(id_, "mopped"))
    assert [(one.kind, one.outcome) for one in taken(hall, Post.SITE).incidents] == [("help", "mopped")]
    assert {code for code, kind in all_kinds().items() if kind.incident} == {"conduct", "medical", "help"}


@pytest.mark.parametrize(("post", "may"), [("R1", True), ("R2", True), ("site", True), ("scorer", False)])
def test_the_table_takes_no_list_out(post: str, may: bool) -> None:
    assert (refusal(post) == "") is may
    assert may or "Ask R1, R2 or the supervisor" in refusal(post)


def test_each_row_of_the_csv_has_a_cell_for_each_column() -> None:
    rows = list(csv.reader(io.StringIO(incidents_csv([MATCH]).decode("utf-8-sig"), newline="")))
    assert tuple(rows[0]) == COLUMNS
    row = dict(zip(rows[0], rows[1], strict=True))
    assert row["words"] == 'said "no", twice'
    assert (row["set"], row["A"], row["B"], row["number"]) == ("2", "12", "9", "7")
    assert row["answers"] == "R1 after 3 s; Table by sign after 5 s, entered by R2; Assistant no device"
    assert row["when"] == "2023-11-14 22:13:20+00:00"
    assert row["keep until"] == "2023-11-28"


def test_a_cell_that_looks_like_a_formula_is_made_harmless() -> None:
    for bad in ("=1+1", "+49", "-3", "@cmd"):
        match = structs.replace(MATCH, incidents=(structs.replace(ONE, text=bad),))
        rows = list(csv.reader(io.StringIO(incidents_csv([match]).decode("utf-8-sig"), newline="")))
        assert rows[1][COLUMNS.index("words")] == "'" + bad


def test_without_a_set_day_nothing_is_said_of_one() -> None:
    assert keep_until(structs.replace(MATCH, retention_days=0), UTC) == ""
    assert answer_words(IncidentAnswer("R1", "not answered")) == "R1 not answered"


def test_the_privacy_notice_names_who_answers_and_the_last_day() -> None:
    told = "\n".join(privacy_notice([MATCH]))
    assert "Responsible: Desk." in told and "until 2023-11-28, then delete" in told
    silent = "\n".join(privacy_notice([structs.replace(MATCH, responsible="", retention_days=0)]))
    assert "named nobody" in silent and "has set no day" in silent


def test_the_pdf_says_what_the_list_says_and_reads_no_words_as_markup() -> None:
    odd = structs.replace(ONE, text="#panic() *bold* $x$ <a>")
    made = incidents_pdf([structs.replace(MATCH, incidents=(ONE, odd))])
    reader = PdfReader(io.BytesIO(made))
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for words in ("Incidents", "Autumn Cup", "Court 7", "Private.", "B 7", "Yellow card B 7",
                  "#panic() *bold* $x$ <a>", "entered by Table", "Table by sign after 5 s"):  # fmt: skip
        assert words in text
    assert made == incidents_pdf([structs.replace(MATCH, incidents=(ONE, odd))])


def test_many_incidents_go_over_several_pages_each_with_the_footer() -> None:
    many = structs.replace(MATCH, incidents=(ONE,) * 60)
    pages = PdfReader(io.BytesIO(incidents_pdf([many, structs.replace(MATCH, incidents=())]))).pages
    assert len(pages) > 2
    assert all("Private: for R1" in " ".join(page.extract_text().split()) for page in pages)
    assert "No incident was reported." in pages[-1].extract_text()


def test_times_are_the_clock_of_the_one_who_reads() -> None:
    hall = Hall(clocks={Post.R2: (3600.0, 0.0)}, settings=Settings(retention_days=7))
    hall.begin()
    hall.do(Post.R2, Raise("conduct", "A", 4))
    found = taken(hall, Post.SITE)
    at = datetime.fromtimestamp(found.incidents[0].at / 1000, UTC)
    true = datetime.fromtimestamp((WALL_MS + 1000 * hall.time) / 1000, UTC)
    assert abs((at - true).total_seconds()) < 1.0
    assert found.retention_days == 7
