"""What the signs of a chart mean: only those that the chart can hold."""

from __future__ import annotations

from stationplan.live.drawn import Drawn, Standing
from stationplan.plan.document import Plan
from stationplan.render.lettering import wrap
from stationplan.render.marks import ASCII, UNICODE, Kind
from stationplan.render.rows import RowKind, rows_of

_STANDINGS: dict[Standing, str] = {
    "done": "done",
    "lost": "failed",
    "running": "running",
    "late": "should have begun",
    "waiting": "to come",
    "blocked": "cannot begin",
}


def key(plan: Plan, width: int, *, unicode: bool = True, rows: RowKind = "equipment") -> str:
    """The signs of the plan's chart and what they mean.

    Args:
        plan: the plan drawn.
        width: most columns of a line.
        unicode: as for the chart.
        rows: as for the chart.

    Returns:
        A sentence of sign and meaning pairs, wrapped.
    """
    marks = UNICODE if unicode else ASCII
    found = rows_of(plan, rows, unicode)
    kinds = {bar.kind for row in found for bar in (*row.bars(), *row.away)}
    critical = {bar.kind for row in found for bar in row.bars() if bar.critical}
    held = any(bar.held is not None for row in found for bar in row.bars())
    taken = any(bar.taken for row in found for bar in row.bars())

    def bar(kind: Kind, hot: bool = False, standing: Standing | None = None) -> str:
        sign = marks.sign(kind, hot, standing)
        fill = sign.fill * (2 if len(sign.fill) == 1 else 1)
        if kind is Kind.WORK:
            return f"{sign.start}Aa1{fill} {fill}Aa1"  # the same, whether the label has room inside or not
        return sign.start + fill

    meanings = {
        Kind.WORK: "work",
        Kind.STAY: "waiting",
        Kind.LOAD: "putting in",
        Kind.UNLOAD: "taking out",
        Kind.WASH: "washing",
        Kind.HEAT: "heating up",
        Kind.COOL: "cooling down",
        Kind.SETTING: "changing the setting",
        Kind.BREAK: "break or off",
        Kind.ABSENT: "away",
        Kind.OUT: "out of use",
        Kind.SLIP: "begun so much later than planned",
        Kind.READY: "order ready",
        Kind.DUE: "order due",
    }
    shown = {kind for kind in kinds if kind is not Kind.AWAY} | ({Kind.BREAK} if Kind.AWAY in kinds else set())
    pairs = []
    if isinstance(plan, Drawn):
        shown.discard(Kind.WORK)
        standings = {bar.standing for row in found for bar in row.bars() if bar.kind is Kind.WORK}
        pairs = [f"{bar(Kind.WORK, standing=s)} {meaning}" for s, meaning in _STANDINGS.items() if s in standings]
    pairs += [f"{bar(kind)} {meaning}" for kind, meaning in meanings.items() if kind in shown]
    if critical:
        signs = " ".join(bar(kind, hot=True) for kind in (Kind.WORK, Kind.STAY) if kind in critical)
        pairs.append(f"{signs} the finish hangs on it")
    if taken:
        pairs.append(f"{marks.taken} a part is taken out")
    if held:
        pairs.append(f"{marks.held * 2} oven at that temperature ({marks.degree})")
    if isinstance(plan, Drawn):
        pairs.append(f"{marks.now} now")
    pairs.append(f"{marks.before} {marks.after} goes on from, or in, another band")
    pairs.append("the lines of a row mean nothing, they make room")
    joined = [pair.replace(" ", "\0") if len(pair) <= width else pair for pair in pairs]
    return "\n".join(line.replace("\0", " ") for line in wrap("signs: " + ";  ".join(joined), width, "  "))
