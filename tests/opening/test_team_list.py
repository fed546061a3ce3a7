"""Team lists as people type and export them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewlink.team_list import TeamList, number_text, read_list


@pytest.mark.parametrize(
    ("text", "numbers", "liberos", "captains"),
    [
        ("2 4 6 7 9c 11 12 L20", (2, 4, 6, 7, 9, 11, 12, 20), (20,), (9,)),
        ("2, 4, 6; 7", (2, 4, 6, 7), (), ()),
        ("2\n4\n6L\n", (2, 4, 6), (6,), ()),
        ("1. 2. 3.", (1, 2, 3), (), ()),
        ("Number;Name;Job\n9;Ines Vale;Captain\n20;Mo Reed;Libero\n4;Liv Cole;", (9, 20, 4), (20,), (9,)),
        ('"7","Ada Lund",""\n"8","Bo Finn","L"', (7, 8), (8,), ()),
        ("", (), (), ()),
    ],
)
def test_a_list_is_read(
    text: str, numbers: tuple[int, ...], liberos: tuple[int, ...], captains: tuple[int, ...]
) -> None:
    assert read_list(text) == TeamList(numbers, liberos, captains)


def test_what_is_no_number_is_told() -> None:
    read = read_list("2 4 x7 9")
    assert read.numbers == (2, 4, 9)
    assert read.unread == ("x7",)


def test_a_row_of_a_table_without_a_number_is_told() -> None:
    read = read_list("Number;Name\n9;Ines\nMo;Reed")
    assert read.numbers == (9,)
    assert read.unread == ("Mo;Reed",)


def test_a_number_written_twice_is_told_and_kept_once() -> None:
    read = read_list("4 7 4")
    assert read.numbers == (4, 7)
    assert read.doubled == (4,)


@given(st.lists(st.integers(0, 9999), unique=True))
def test_what_is_written_is_read_again(numbers: list[int]) -> None:
    assert read_list(number_text(tuple(numbers))).numbers == tuple(numbers)


@given(st.text(max_size=60))
def test_no_text_breaks_the_reading(text: str) -> None:
    read = read_list(text)
    assert set(read.liberos) | set(read.captains) <= set(read.numbers)
