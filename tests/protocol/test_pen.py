from __future__ import annotations

from protocol import acts
from protocol.entry import Entry, Kind
from tests.protocol.hall import Hall
from tests.protocol.story import ASSISTANT, R1, R2, SCORER, Story


def started(count: int = 2) -> tuple[Story, bytes]:
    """A story in which the scorer has written so many entries, and the head."""
    story = Story()
    return story, story.record(SCORER, story.root, story.root, 0, count)


def test_the_record_begins_with_the_opener_and_follows_the_heads() -> None:
    story, head = started(3)
    standing = story.standing()
    assert story.counted() == [[SCORER, 0], [SCORER, 1], [SCORER, 2]]
    assert (standing.head, standing.epoch, standing.holder_log) == (head, story.root, story.logs[SCORER])
    assert standing.firm and not standing.sealed and standing.set_aside == ()


def test_an_empty_record_has_the_opening_as_its_head() -> None:
    story = Story()
    assert story.standing().head == story.root and story.standing().index == 0


def test_who_has_not_the_pen_writes_nothing_that_counts() -> None:
    story, head = started()
    story.record(R2, story.root, head, 2)
    assert story.counted() == [[SCORER, 0], [SCORER, 1]] and story.aside() == []


def test_a_wrong_index_or_a_head_of_another_epoch_does_not_count() -> None:
    story, head = started()
    story.record(SCORER, story.root, head, 7)
    grant = story.say(SCORER, Kind.PEN, acts.GRANT, head, epoch=story.root, to=story.logs[R2]).id
    mine = story.record(R2, grant, head, 2)
    story.record(SCORER, story.root, mine, 3)
    assert story.counted() == [[SCORER, 0], [SCORER, 1], [R2, 2]]


def test_a_grant_beats_writing_on() -> None:
    story, head = started()
    story.record(SCORER, story.root, head, 2, count=5)
    grant = story.say(SCORER, Kind.PEN, acts.GRANT, head, epoch=story.root, to=story.logs[R2]).id
    story.record(R2, grant, head, 2)
    assert story.counted()[2:] == [[R2, 2]]
    assert story.aside() == [[SCORER, index] for index in range(2, 7)]
    assert story.standing().firm


def test_only_the_holder_grants() -> None:
    story, head = started()
    story.say(R1, Kind.PEN, acts.GRANT, head, epoch=story.root, to=story.logs[R1])
    assert story.standing().holder_log == story.logs[SCORER]


def test_a_certificate_beats_a_longer_plain_branch_and_a_grant() -> None:
    story, head = started()
    story.record(SCORER, story.root, head, 2, count=9)
    grant = story.say(SCORER, Kind.PEN, acts.GRANT, head, epoch=story.root, to=story.logs[R1]).id
    story.record(R1, grant, head, 2, count=4)
    opened = story.certified(R2, story.root, head, 1, (R1, R2, ASSISTANT))
    story.record(R2, opened, head, 2)
    assert story.counted()[2:] == [[R2, 2]]
    assert story.standing().firm and len(story.aside()) == 13


def test_the_higher_round_of_one_epoch_wins() -> None:
    story, head = started()
    low = story.certified(R2, story.root, head, 1, (R1, R2, ASSISTANT))
    story.record(R2, low, head, 2, count=5)
    high = story.certified(R1, story.root, head, 2, (R1, R2, ASSISTANT))
    story.record(R1, high, head, 2)
    assert story.counted()[2:] == [[R1, 2]]


def test_rounds_of_different_epochs_are_not_compared() -> None:
    story, head = started()
    forced = story.open(R2, story.root, head, acts.FORCED)
    again = story.certified(R2, forced, head, 9, (R1, R2, ASSISTANT))
    story.record(R2, again, head, 2, count=9)
    first = story.certified(R1, story.root, head, 1, (R1, SCORER, ASSISTANT))
    story.record(R1, first, head, 2)
    assert story.counted()[2:] == [[R1, 2]]


def test_of_two_forced_branches_the_longer_counts() -> None:
    story, head = started()
    one = story.open(R2, story.root, head, acts.FORCED)
    story.record(R2, one, head, 2, count=2)
    other = story.open(R1, story.root, head, acts.FORCED)
    story.record(R1, other, head, 2, count=3)
    assert story.counted()[2:] == [[R1, 2], [R1, 3], [R1, 4]]
    assert not story.standing().firm


def test_writing_on_beats_force() -> None:
    story, head = started()
    forced = story.open(R2, story.root, head, acts.FORCED)
    story.record(R2, forced, head, 2, count=5)
    story.record(SCORER, story.root, head, 2)
    assert story.counted()[2:] == [[SCORER, 2]]


def test_too_few_votes_certify_nothing() -> None:
    story, head = started()
    story.certified(R2, story.root, head, 1, (R2, R1))
    assert story.standing().holder_log == story.logs[SCORER]


def test_one_voter_counts_once() -> None:
    story, head = started()
    take = story.say(R2, Kind.PEN, acts.TAKE, head, epoch=story.root, round=1)
    votes = [story.vote(R1, take.id, story.root, 1, head) for _ in range(3)]
    story.open(R2, story.root, head, acts.CERTIFIED, take=take.id, votes=votes)
    assert story.standing().holder_log == story.logs[SCORER]


def test_votes_for_another_take_or_round_certify_nothing() -> None:
    story, head = started()
    theirs = story.say(R1, Kind.PEN, acts.TAKE, head, epoch=story.root, round=1)
    votes = [story.vote(who, theirs.id, story.root, 1, head) for who in (R1, R2, ASSISTANT)]
    mine = story.say(R2, Kind.PEN, acts.TAKE, head, epoch=story.root, round=2)
    story.open(R2, story.root, head, acts.CERTIFIED, take=mine.id, votes=votes)
    story.open(R2, story.root, head, acts.CERTIFIED, take=theirs.id, votes=votes)
    assert story.standing().holder_log == story.logs[SCORER]


def test_an_opening_that_cuts_off_what_a_voter_held_is_not_certified() -> None:
    story, head = started(2)
    further = story.record(SCORER, story.root, head, 2)
    take = story.say(R2, Kind.PEN, acts.TAKE, head, epoch=story.root, round=1)
    votes = [
        story.vote(R2, take.id, story.root, 1, head),
        story.vote(R1, take.id, story.root, 1, further),
        story.vote(ASSISTANT, take.id, story.root, 1, head),
    ]
    story.open(R2, story.root, head, acts.CERTIFIED, take=take.id, votes=votes)
    assert story.standing().holder_log == story.logs[SCORER]
    story.open(R2, story.root, further, acts.CERTIFIED, take=take.id, votes=votes)
    assert story.standing().holder_log == story.logs[R2] and story.standing().index == 3


def test_only_a_certified_take_names_new_voters() -> None:
    story, head = started()
    devices = [story.hall[who].keys.device for who in (R1, R2)]
    opened = story.certified(R2, story.root, head, 1, (R1, R2, ASSISTANT), voters=devices)
    assert story.standing().voters == tuple(devices)
    taken = story.certified(R1, opened, head, 1, (R1, R2))
    assert story.standing().epoch == taken


def test_a_choice_beats_every_certificate_and_the_higher_number_wins() -> None:
    story, head = started()
    lonely = story.record(SCORER, story.root, head, 2)
    opened = story.certified(R2, story.root, head, 1, (R1, R2, ASSISTANT))
    story.record(R2, opened, head, 2, count=4)
    first = story.say(R1, Kind.PEN, acts.CHOOSE, lonely, number=1, to=story.logs[SCORER]).id
    story.record(SCORER, first, lonely, 3)
    assert story.counted()[2:] == [[SCORER, 2], [SCORER, 3]]
    assert story.standing().firm
    story.say(R2, Kind.PEN, acts.CHOOSE, head, number=2, to=story.logs[R2])
    assert story.standing().head == head


def test_of_two_choices_of_one_number_the_higher_post_wins() -> None:
    story, head = started()
    story.say(R2, Kind.PEN, acts.CHOOSE, head, number=1, to=story.logs[R2])
    story.say(R1, Kind.PEN, acts.CHOOSE, head, number=1, to=story.logs[R1])
    assert story.standing().holder_log == story.logs[R1]


def test_only_who_may_chooses_and_forces() -> None:
    story, head = started()
    story.say(SCORER, Kind.PEN, acts.CHOOSE, head, number=1, to=story.logs[SCORER])
    story.say(ASSISTANT, Kind.PEN, acts.CHOOSE, head, number=1, to=story.logs[ASSISTANT])
    assert story.standing().epoch == story.root


def test_a_seal_ends_the_record_and_beats_a_choice() -> None:
    story, head = started()
    signed = story.say(R1, Kind.FREE, acts.SIGN_OFF, head, number=1)
    story.say(SCORER, Kind.ROSTER, acts.SEAL, head, epoch=story.root, sign_off=signed.id, number=1)
    story.record(SCORER, story.root, head, 2, count=3)
    story.say(R2, Kind.PEN, acts.CHOOSE, head, number=5, to=story.logs[R2])
    assert story.standing().sealed and story.standing().head == head
    assert len(story.aside()) == 3


def test_a_seal_needs_the_sign_off_of_its_head_and_a_firm_epoch() -> None:
    story, head = started()
    before = story.journal.logs[story.logs[SCORER]].entries[-2].id
    early = story.say(R1, Kind.FREE, acts.SIGN_OFF, before, number=1)
    theirs = story.say(R2, Kind.FREE, acts.SIGN_OFF, head, number=1)
    for signed in (early, theirs):
        story.say(SCORER, Kind.ROSTER, acts.SEAL, head, epoch=story.root, sign_off=signed.id, number=1)
    assert not story.standing().sealed
    forced = story.open(R2, story.root, head, acts.FORCED)
    signed = story.say(R1, Kind.FREE, acts.SIGN_OFF, head, number=2)
    story.say(R2, Kind.ROSTER, acts.SEAL, head, epoch=forced, sign_off=signed.id, number=2)
    assert not story.standing().sealed


def revoked(story: Story, who: int, by: int, keep: int) -> Entry:
    """Revoke a station; so many of its last entries lie past the cut."""
    log = story.journal.logs[story.logs[who]]
    device = story.hall[who].keys.device
    admissions = [story.journal.logs[story.logs[who]].header.admission]
    if admissions == [None]:
        admissions = [story.hall[by].peer.roster.admission_of(device)]
    cuts = {log.id: len(log.entries) - keep}
    head = story.standing().head
    return story.say(by, Kind.ROSTER, acts.REVOKE, head, device=device, admissions=admissions, cuts=cuts)


def test_what_lies_past_a_cut_stays_while_nothing_else_is_there() -> None:
    story, head = started()
    story.record(SCORER, story.root, head, 2, count=3)
    revoked(story, SCORER, R1, keep=3)
    assert len(story.counted()) == 5


def test_what_lies_past_a_cut_yields_even_to_force() -> None:
    story, head = started()
    story.record(SCORER, story.root, head, 2, count=3)
    revoked(story, SCORER, R1, keep=3)
    forced = story.open(R2, story.root, head, acts.FORCED)
    story.record(R2, forced, head, 2)
    assert story.counted()[2:] == [[R2, 2]] and len(story.aside()) == 3


def test_a_certificate_counts_whoever_of_its_voters_is_revoked_later() -> None:
    story, head = started()
    opened = story.certified(R2, story.root, head, 1, (R1, R2, ASSISTANT))
    story.record(R2, opened, head, 2)
    revoked(story, ASSISTANT, R1, keep=1)
    revoked(story, R2, R1, keep=2)  # even its own opening lies past the cut
    story.record(SCORER, story.root, head, 2, count=5)
    assert story.counted()[2:] == [[R2, 2]]


def test_a_choice_past_a_cut_does_not_count() -> None:
    story, head = started()
    story.say(R2, Kind.PEN, acts.CHOOSE, head, number=1, to=story.logs[R2])
    revoked(story, R2, R1, keep=1)
    story.record(SCORER, story.root, head, 2)
    assert story.counted()[2:] == [[SCORER, 2]]


def test_a_thousand_entries_at_the_head_rank_the_tree_once() -> None:
    hall = Hall(2)
    hall[0].write(0)
    hall.settle()
    before = hall[0].peer.rankings, hall[1].peer.rankings
    for number in range(1, 200):
        hall[0].write(number)
        hall.settle()
        hall[0].peer.standing()
        hall[1].peer.standing()
    assert (hall[0].peer.rankings, hall[1].peer.rankings) == before
    assert hall[1].chain() == list(range(200))


def test_a_voter_that_was_restarted_remembers_what_it_voted_for() -> None:
    hall = Hall(4)
    hall.part({0}, {1, 2, 3})
    hall.wait(3.5)
    hall[3].disk_works = True
    hall.part({0}, {2, 3}, {1})
    hall.join(2, 3)
    hall.join(3, 2)
    hall.wait(1.0)
    epoch = hall[3].peer.standing().epoch
    hall[2].author(Kind.PEN, (acts.TAKE, {"epoch": epoch, "round": 1}))
    hall.settle()
    votes = [entry for entry in hall[3].own if entry.act == acts.VOTE]
    assert len(votes) == 1
    hall.restart(3)
    hall.part({0}, {1, 3}, {2})
    hall.join(1, 3)
    hall.join(3, 1)
    hall.wait(3.5)
    hall[1].author(Kind.PEN, (acts.TAKE, {"epoch": epoch, "round": 1}))
    hall.settle()
    hall.wait(1.0)
    assert len([entry for entry in hall[3].own if entry.act == acts.VOTE]) == 1
    hall[1].author(Kind.PEN, (acts.TAKE, {"epoch": epoch, "round": 2}))
    hall.settle()
    assert len([entry for entry in hall[3].own if entry.act == acts.VOTE]) == 2


def test_the_clock_of_a_station_decides_nothing() -> None:
    told = []
    for clocks in ([0, 0, 0, 0], [10**12, -(10**12), 5, 86_400_000]):
        story, head = started()
        for who, clock in enumerate(clocks):
            story.clock[who] += clock
        story.record(SCORER, story.root, head, 2, count=3)
        opened = story.certified(R2, story.root, head, 1, (R1, R2, ASSISTANT))
        end = story.record(R2, opened, head, 2, count=2)
        story.say(R1, Kind.PEN, acts.CHOOSE, end, number=1, to=story.logs[R1])
        revoked(story, ASSISTANT, R1, keep=1)
        standing = story.standing()
        told.append((story.counted(), story.aside(), standing.holder_log == story.logs[R1]))
    assert told[0] == told[1]
