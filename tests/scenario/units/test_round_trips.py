"""Whatever a value prints as is read back as the same value."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from stationplan.scenario import units
from stationplan.scenario.units.quantities import MASS_AND_VOLUME

fractions = st.fractions(min_value=0, max_value=100_000, max_denominator=5000)
positive = st.fractions(min_value=Fraction(1, 5000), max_value=100_000, max_denominator=5000)
spans = st.tuples(fractions, fractions).map(lambda ends: units.Span(min(ends), max(ends)))
nouns = st.sampled_from(
    ["tray", "disc", "piece", "box", "berry", "half tray", "loaf", "mousse", "gâteau", "pie", "glass"]
)
measured = st.sampled_from(["g", "ml"])


@st.composite
def quantities(draw: st.DrawFn, amounts: st.SearchStrategy[Fraction] = fractions) -> units.Quantity:
    unit = draw(st.one_of(nouns, measured))
    words = [word for word, (base, _) in MASS_AND_VOLUME.items() if base == unit]
    return units.Quantity(draw(amounts), unit, draw(st.sampled_from(["", *words])))


@st.composite
def rates(draw: st.DrawFn) -> units.Rate:
    amount = draw(quantities())
    basis = draw(st.sampled_from(["quantity", "recipe", "batch"]))
    return units.Rate(amount, draw(quantities(positive)) if basis == "quantity" else None, basis)  # type: ignore[arg-type]


@st.composite
def step_times(draw: st.DrawFn) -> units.StepTime:
    if draw(st.booleans()):
        return units.StepTime(draw(spans))
    return units.StepTime(draw(spans), draw(spans), draw(quantities(positive)))


@given(fractions)
def test_durations(minutes: Fraction) -> None:
    assert units.parse_duration(units.format_duration(minutes)) == minutes


@given(spans)
def test_spans(span: units.Span) -> None:
    assert units.parse_span(str(span)) == span


@given(quantities())
def test_quantities(quantity: units.Quantity) -> None:
    assert units.parse_quantity(str(quantity)) == quantity


@given(rates())
def test_rates(rate: units.Rate) -> None:
    assert units.parse_rate(str(rate)) == rate


@given(step_times())
def test_step_times(time: units.StepTime) -> None:
    assert units.parse_step_time(str(time)) == time


@given(
    st.fractions(min_value=-273, max_value=1000, max_denominator=1000), st.sampled_from(["", "fan", "steam", "fan low"])
)
def test_settings(celsius: Fraction, mode: str) -> None:
    setting = units.Setting(celsius, mode)
    assert units.parse_setting(str(setting)) == setting


@given(st.integers(0, 366 * 1440 - 1))
def test_clocks(minutes: int) -> None:
    assert units.parse_clock(units.format_clock(minutes)) == minutes


@given(st.integers(0, 100_000), st.integers(1, 100_000))
def test_clock_spans(start: int, length: int) -> None:
    span = units.ClockSpan(start, start + length)
    assert units.parse_clock_span(str(span)) == span


@given(st.one_of(st.just(units.HandsOn(all=True)), st.builds(units.HandsOn, st.just(False), fractions, fractions)))
def test_hands_on(hands: units.HandsOn) -> None:
    assert units.parse_hands_on(str(hands)) == hands


@given(st.integers(1, 1000), st.sampled_from([None, "pastry", "sugar work"]))
def test_people(count: int, skill: str | None) -> None:
    need = units.PeopleNeed(count, skill)
    assert units.parse_people(str(need)) == (need,)


@given(st.fractions(min_value=0, max_value=1, max_denominator=5000))
def test_shares(share: Fraction) -> None:
    assert units.parse_share(units.format_share(share)) == share


@given(positive)
def test_rates_of_heating(rate: Fraction) -> None:
    assert units.parse_temperature_rate(units.format_temperature_rate(rate)) == rate


@given(st.tuples(st.integers(-273, 499), st.fractions(min_value=500, max_value=1000, max_denominator=1000)))
def test_ranges_of_temperature(ends: tuple[int, Fraction]) -> None:
    written = (Fraction(ends[0]), ends[1])
    assert units.parse_temperature_range(units.format_temperature_range(written)) == written
