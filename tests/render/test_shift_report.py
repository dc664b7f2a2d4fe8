"""What became of a plan, in words: nothing is told twice."""

from __future__ import annotations

from dataclasses import replace

from stationplan.live.report import Report
from stationplan.live.report_delays import Account, Cause
from stationplan.render.shift_report import report_page

from .invented_report import ONE


def accounts_told(*accounts: Account) -> list[str]:
    [shift] = ONE.shifts
    orders = [replace(shift.orders[0], product=f"cake {n}", account=one) for n, one in enumerate(accounts[1:], 1)]
    page = report_page(Report((replace(shift, finish=accounts[0], orders=tuple(orders)),), ()), width=80)
    return [part for part in page.split("\n\n") if part.startswith("what made")]


def test_what_an_account_has_alike_with_one_above_is_told_once() -> None:
    causes = tuple(Cause("steps", n, f"Aa{n}", f"Aa{n} took longer") for n in range(1, 5))
    chain = tuple(f"Aa{n}" for n in range(1, 7))
    room = Cause("room", -2, "Aa6", "the plan had left room after Aa6, until then")
    finish, other = Account(700, 710, causes, chain), Account(700, 708, (*causes, room), chain)
    short = Account(700, 703, causes[:2], ("Aa1", "Aa2", "Ba1"))
    first, second, third = accounts_told(finish, other, short)
    assert "   +1  Aa1 took longer\n" in first
    assert second.splitlines()[1:] == [
        "  +10  as for the finish up to Aa4",
        "   -2  the plan had left room after Aa6, until then",
        "   +8  in all",
        "it hung on: as for the finish up to Aa4 > Aa5 > Aa6",
    ]
    assert "as for" not in third
