"""Simulated figures against closed forms and numeric integration, within the error that so many runs may have.

The random numbers are fixed, so a bound of four standard errors is a test and no gamble.
"""

from __future__ import annotations

import pickle
import re
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import binom, triang

from stationplan.live.drawing import Altered, Chance, check_mishaps, lengths
from stationplan.live.errors import MishapError
from stationplan.live.figures import Simulated, moment, share, simulate
from stationplan.live.following import course_of
from stationplan.live.mishaps import Failure, Stoppage, parse_failure, parse_stoppage
from stationplan.live.simulation import parts_of, run_all, run_part, together
from stationplan.plan.document import Plan

from .kitchen import bake, plan_of, runs_of, step

RUNS = 4000
SURE = 4.0


def line() -> Plan:
    """One person, five steps, one after the other."""
    return plan_of(*(step(f"step {number}", takes) for number, takes in enumerate(RANGES)))


RANGES = ("8..12 min", "5..15 min", "20..21 min", "1..9 min", "30..60 min")
ENDS = ((8, 12), (5, 15), (20, 21), (1, 9), (30, 60))


def test_one_step_is_spread_as_the_triangular_distribution_is() -> None:
    found = np.sort(runs_of(course_of(plan_of(step("mix", "10..30 min")), early=True), RUNS).finish) - 360
    # Kolmogorov's bound on the distance of an empirical from its own distribution: 1.95/sqrt(n) at 0.1 %
    # (Massey, The Kolmogorov-Smirnov test for goodness of fit, JASA 46, 1951).
    expected = triang(0.5, 10, 20).cdf(found)
    assert np.abs(expected - (np.arange(RUNS) + 0.5) / RUNS).max() < 1.95 / sqrt(RUNS)


@pytest.mark.parametrize(
    ("shape", "part"),
    # Variances of a range of length 1: triangular with its top in the middle 1/24, uniform 1/12
    # (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.2; the triangular one from (a²+b²+c²-ab-ac-bc)/18).
    [("triangular", 1 / 24), ("uniform", 1 / 12)],
)
def test_a_line_of_steps_has_the_sum_of_their_means_and_of_their_variances(shape: str, part: float) -> None:
    chance = Chance("uniform" if shape == "uniform" else "triangular")
    found = runs_of(course_of(line(), early=True), RUNS, chance).finish - 360
    mean = sum((least + most) / 2 for least, most in ENDS)
    variance = part * sum((most - least) ** 2 for least, most in ENDS)
    assert abs(found.mean() - mean) < SURE * sqrt(variance / RUNS)
    # The standard error of a variance is at most that of the normal distribution, as these tails are shorter.
    assert abs(found.var(ddof=1) - variance) < SURE * variance * sqrt(2 / (RUNS - 1))


def test_two_ovens_side_by_side_take_as_long_as_the_slower_on_average() -> None:
    plan = plan_of(
        bake("bake left", "10..30 min"),
        bake("bake right", "15..27 min", "right oven", after="none"),
        step("join", "1 min", after=["bake left", "bake right"]),
    )
    found = runs_of(course_of(plan, early=True), RUNS).finish - 361
    left, right = triang(0.5, 10, 20), triang(0.5, 15, 12)
    # E[max] is the integral of 1 - F(t)G(t) over t > 0.
    mean = quad(lambda t: 1 - left.cdf(t) * right.cdf(t), 0, 30, points=[10, 15, 20, 21, 27])[0]
    square = quad(lambda t: 2 * t * (1 - left.cdf(t) * right.cdf(t)), 0, 30, points=[10, 15, 20, 21, 27])[0]
    assert mean > 21.5
    assert abs(found.mean() - mean) < SURE * sqrt((square - mean**2) / RUNS)


def test_the_finish_hangs_on_either_oven_as_often_as_it_is_the_slower() -> None:
    plan = plan_of(
        bake("bake left", "10..30 min"),
        bake("bake right", "15..27 min", "right oven", after="none"),
        step("join", "1 min", after=["bake left", "bake right"]),
    )
    course = course_of(plan, early=True)
    left, right = triang(0.5, 10, 20), triang(0.5, 15, 12)
    # The criticality index of one of two parallel activities is the chance that it is the longer one.
    chance = quad(lambda t: left.pdf(t) * right.cdf(t), 10, 30, points=[15, 20, 21, 27])[0]
    found = dict(zip((work.step for work in course.works), runs_of(course, RUNS).critical, strict=True))
    assert found["join"] == RUNS
    assert found["bake left"] + found["bake right"] == RUNS
    assert abs(found["bake left"] / RUNS - chance) < SURE * sqrt(chance * (1 - chance) / RUNS)


def test_a_step_that_fails_is_made_again_a_geometric_number_of_times() -> None:
    course = course_of(plan_of(step("mix", "10 min")), early=True)
    found = runs_of(course, RUNS, Chance(failures=(Failure("mix", 0.25),))).finish - 360
    attempts = found / 10
    # Attempts until the first success: mean 1/(1-p), variance p/(1-p)² (NIST Dataplot, geometric distribution).
    assert set(attempts) <= set(range(1, 30))
    assert abs(attempts.mean() - 1 / 0.75) < SURE * sqrt(0.25 / 0.75**2 / RUNS)
    for more in range(4):
        chance = 0.25**more
        assert abs((attempts > more).mean() - chance) <= SURE * sqrt(chance * (1 - chance) / RUNS)


def test_a_machine_stops_in_proportion_to_its_work() -> None:
    course = course_of(plan_of(bake("bake", "60 min")), early=True)
    found = runs_of(course, RUNS, Chance(stoppages=(Stoppage("left oven", 120, 10, 20),))).finish - 420
    # A compound Poisson sum: its mean is that of the number times that of the length, and its variance the mean
    # number times the mean square (Ross, Introduction to Probability Models, on the compound Poisson process).
    square = 15**2 + 10**2 / 24
    assert abs(found.mean() - 0.5 * 15) < SURE * sqrt(0.5 * square / RUNS)
    assert abs((found > 0).mean() - (1 - np.exp(-0.5))) < SURE * sqrt(0.25 / RUNS)


def test_a_batch_made_easier_leaves_what_is_drawn_for_the_others_as_it_is() -> None:
    course = course_of(plan_of(bake("bake", "30..90 min"), bake("bake again", "30..90 min")), early=True)
    chance = Chance(seed=3, stoppages=(Stoppage("left oven", 60, 5, 10),))
    without = lengths(course, chance, 0, 250)
    for altered in (Altered(0, steady=True), Altered(0, sooner=5.0)):
        easier = lengths(course, chance, 0, 250, altered)
        assert not np.array_equal(without[0], easier[0])
        assert np.array_equal(without[1], easier[1])


def test_an_order_is_in_time_as_often_as_the_distribution_says() -> None:
    plan = plan_of(step("mix", "10..30 min"), due="06:24")
    found = simulate("test", course_of(plan), Chance(), RUNS, early=False, closes=1200)
    chance = float(triang(0.5, 10, 20).cdf(24))
    [order] = found.orders
    assert order.in_time is not None
    assert abs(order.in_time.value - chance) < SURE * sqrt(chance * (1 - chance) / RUNS)
    assert abs(order.most.value - 360 - float(triang(0.5, 10, 20).ppf(0.9))) < 2 * order.most.error
    [batch] = found.hangs_on
    # Five minutes less: the quantile moves by five, and the chance becomes that of taking less than 29.
    assert batch.sooner.finish == pytest.approx(5)
    assert abs(batch.sooner.in_time - (float(triang(0.5, 10, 20).cdf(29)) - chance)) < 0.03
    # Twenty minutes each time is in time.
    assert batch.steady.in_time == pytest.approx(1 - order.in_time.value)


def test_the_error_of_a_share_covers_the_true_one_in_19_of_20_samples() -> None:
    runs, true = 400, 0.93
    covered = 0.0
    for number in range(runs + 1):
        found = share(np.arange(runs) < number)
        if abs(found.value - true) <= found.error:
            covered += binom.pmf(number, runs, true)
    # Wilson's interval keeps what it promises on average and a little more or less at single values
    # (Brown, Cai and DasGupta, Interval estimation for a binomial proportion, Statistical Science 16, 2001).
    assert 0.94 <= covered <= 0.99
    assert share(np.ones(1000, dtype=bool)).error == pytest.approx(3.84 / 1000, rel=0.01)


def test_the_error_of_a_quantile_covers_the_true_one_in_19_of_20_samples() -> None:
    random = np.random.default_rng(5)
    samples = [moment(random.random(500), 0.9) for _ in range(600)]
    assert np.mean([abs(one.value - 0.9) <= one.error for one in samples]) >= 0.94


def test_the_number_of_workers_changes_nothing() -> None:
    plan = plan_of(step("mix", "10..30 min"), bake("bake", "15..27 min"), due="06:45")
    course = course_of(plan)
    chance = Chance(seed=7, failures=(Failure("mix", 0.1),), stoppages=(Stoppage("oven", 60, 5, 9),))

    def found(executor: Executor | None, seed: int = 7) -> Simulated:
        drawn = replace(chance, seed=seed)
        return simulate("test", course, drawn, 600, early=False, closes=1200, executor=executor)

    with ThreadPoolExecutor(3) as pool:
        assert found(pool) == found(None)
    assert found(None, seed=8).most != found(None).most


def test_runs_can_be_sent_to_another_process() -> None:
    [part] = parts_of(course_of(line()), Chance(seed=7), 50)
    assert (run_part(pickle.loads(pickle.dumps(part))).finish == run_part(part).finish).all()


def test_a_batch_made_easier_leaves_the_luck_of_all_others_as_it_was() -> None:
    course = course_of(line(), early=True)
    chance = Chance(failures=(Failure("step 0", 0.2),))
    plain, sooner = (
        together(run_all(parts_of(course, chance, 300, altered, only_ends=True)))
        for altered in (None, Altered(0, sooner=2.0))
    )
    assert plain.finish - sooner.finish == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("text", "failure"),
    [("bake shells: 2 %", Failure("bake shells", 0.02)), ("mix:2.5", Failure("mix", 0.025))],
)
def test_a_failure_is_read(text: str, failure: Failure) -> None:
    assert parse_failure(text) == failure


def test_a_stoppage_is_read() -> None:
    assert parse_stoppage("deck oven: 10..20 min every 8 h") == Stoppage("deck oven", 480, 10, 20)


@pytest.mark.parametrize("text", ["bake", "bake: often", ": 2 %", "bake: 0 %", "bake: 95 %"])
def test_another_failure_is_refused(text: str) -> None:
    with pytest.raises(MishapError, match=re.escape(text)):
        parse_failure(text)


@pytest.mark.parametrize("text", ["oven", "oven: 10 min", "oven: 10 every 8 h", "oven: 0 min every 8 h"])
def test_another_stoppage_is_refused(text: str) -> None:
    with pytest.raises(MishapError, match=re.escape(text)):
        parse_stoppage(text)


def test_what_is_not_part_of_the_plan_cannot_go_wrong() -> None:
    course = course_of(line())
    with pytest.raises(MishapError, match=r"no step of this plan is called 'bake'; they are: step 0, step 1"):
        check_mishaps(course, Chance(failures=(Failure("bake", 0.1),)))
    with pytest.raises(MishapError, match="nothing is made on 'oven'"):
        check_mishaps(course, Chance(stoppages=(Stoppage("oven", 60, 5, 9),)))
