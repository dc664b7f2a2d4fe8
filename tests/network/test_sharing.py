"""Parts of one batch that share the trays it stands on."""

from __future__ import annotations

from fractions import Fraction

from stationplan.network.measures import Room
from stationplan.network.sharing import Leaving, shared_room, together

THIRDS = [Leaving(task, Fraction(task, 3), Fraction(task + 1, 3), ()) for task in range(3)]


def test_parts_of_one_tray_need_one_tray_until_the_last_leaves() -> None:
    assert shared_room(THIRDS, Room(each=Fraction(1)), Fraction(1)) == [0, 0, 1]


def test_a_shared_tray_counts_with_the_part_that_leaves_last() -> None:
    # Two trays taken up in thirds: 2/3, 4/3 and 2 trays are filled up to the ends of the parts.
    assert shared_room(THIRDS, Room(each=Fraction(2)), Fraction(1)) == [0, 1, 1]


def test_room_for_the_batch_as_such_stays_to_the_end() -> None:
    assert shared_room(THIRDS, Room(fixed=Fraction(1)), Fraction(1)) == [0, 0, 1]


def test_all_parts_together_fill_what_the_batch_fills() -> None:
    for trays in (Fraction(5, 2), Fraction(7, 3), Fraction(1, 10), Fraction(9)):
        assert sum(shared_room(THIRDS, Room(each=trays), Fraction(1))) == -(-trays // 1)


def test_parts_are_together_only_where_a_border_cuts_a_tray() -> None:
    assert list(together(THIRDS, Room(each=Fraction(3)))) == [(0,), (1,), (2,)]
    assert list(together(THIRDS, Room(each=Fraction(1)))) == [(0, 1, 2)]
    assert list(together([None, *THIRDS[1:]], Room(fixed=Fraction(1)))) == [(1, 2)]
