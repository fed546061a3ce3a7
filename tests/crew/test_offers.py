"""What a face may offer on a plate is what the station would let be done: put off, close, erase."""

from __future__ import annotations

import pytest

from crewlink.crew.commands import AnswerNotice, CloseNotice, EraseWords, HoldNotice, Raise
from crewlink.crew.kinds import all_kinds
from crewlink.crew.posts import Post
from tests.crew.hall import ALL, Hall

RAISES = [
    (Post.R2, Raise("conduct", "A", 4, detail="coach", text="shouted")),
    (Post.R2, Raise("medical", "A", 4)),
    (Post.SCORER, Raise("medical", "A", 4, detail="head")),
    (Post.R2, Raise("help", detail="floor")),
    (Post.SCORER, Raise("check_sheet", detail="score")),
    (Post.SCORER, Raise("check_server", "A", 1)),
    (Post.R1, Raise("wrong_server", "A", 5)),
]


@pytest.fixture(params=RAISES, ids=lambda one: f"{one[0]}-{one[1].kind}-{one[1].detail}")
def raised(request: pytest.FixtureRequest) -> tuple[Hall, str]:
    """A hall with one notice, and its kind."""
    hall = Hall()
    hall.begin()
    post, command = request.param
    assert hall.do(post, command).done
    return hall, command.kind


@pytest.mark.parametrize("post", ALL)
def test_closing_is_offered_where_the_station_would_do_it(raised: tuple[Hall, str], post: Post) -> None:
    hall, kind = raised
    for view in hall.plates(post, kind):
        if all_kinds()[kind].ends in ("closed", "outcome"):
            done = hall.do(post, CloseNotice(view.id, "put right")).done
            over = hall.notices(post, kind)[0].end is not None
            assert view.closes is (done and over)
        else:
            assert not view.closes


@pytest.mark.parametrize("post", ALL)
def test_putting_off_is_offered_where_the_station_would_do_it(raised: tuple[Hall, str], post: Post) -> None:
    hall, kind = raised
    for view in hall.plates(post, kind):
        assert view.puts_off is hall.do(post, HoldNotice(view.id)).done
        assert not hall.plate(post, kind).puts_off


@pytest.mark.parametrize("post", ALL)
def test_erasing_is_offered_where_there_are_words_that_this_post_may_erase(
    raised: tuple[Hall, str], post: Post
) -> None:
    hall, kind = raised
    for view in hall.plates(post, kind):
        assert view.erasable is (view.text != "" and hall.do(post, EraseWords(view.id)).done)
    assert not any(view.erasable for view in hall.plates(post, kind))


def test_an_answered_notice_is_put_off_no_more() -> None:
    hall = Hall()
    hall.begin()
    hall.do(Post.R2, Raise("conduct", "A", 4))
    assert hall.plate(Post.R1, "conduct").puts_off
    hall.do(Post.R1, AnswerNotice(hall.plate(Post.R1, "conduct").id))
    view = hall.plate(Post.R1, "conduct")
    assert not view.puts_off and view.closes and "talked to them" in view.outcomes
