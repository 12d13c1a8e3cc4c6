"""Compare a million readings with plain numpy: `python -m tests.bench.climate [COUNT]`.

The record has uneven steps, gaps, doubled times, missing readings and local times. Printed for each
computation: the seconds of ours; their ratio to the shortest arithmetic in numpy that gives the
same on clean readings; and the peak of memory as a multiple of the input (time, temperature,
humidity: 24 bytes a reading). Medians of several runs.
"""

import csv
import io
import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable
from datetime import UTC, datetime

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from conservation import climate
from conservation.climate.logger import LoggerOptions, local_to_utc, read_logger
from conservation.climate.readings import DAY_S, HOUR_S

TIMES = 5
HALF_S = 15 * DAY_S
Pair = tuple[Callable[[], object], Callable[[], object]]


def raw_record(count: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    dice = np.random.default_rng(7)
    steps = dice.integers(200, 400, count)
    steps[dice.integers(0, count, count // 500)] = 0
    steps[dice.integers(0, count, 20)] = 5 * DAY_S
    time_s = 1_420_000_000 + np.cumsum(steps)
    day = time_s / DAY_S * 2 * np.pi
    temp = 19 + 3 * np.sin(day / 365) + np.sin(day) + dice.normal(0, 0.3, count)
    rh = np.clip(50 + 8 * np.sin(day / 365) + 4 * np.sin(day) + dice.normal(0, 2, count), 1, 100)
    rh[dice.integers(0, count, count // 100)] = np.nan
    return time_s, temp, rh


def plain_log(kelvin):
    powers = kelvin * (-4.8640239e-2 + kelvin * (4.1764768e-5 - kelvin * 1.4452093e-8))
    return -5.8002206e3 / kelvin + 1.3914993 + powers + 6.5459673 * np.log(kelvin)


def plain_slope(kelvin):
    powers = -4.8640239e-2 + kelvin * (2 * 4.1764768e-5 - kelvin * 3 * 1.4452093e-8)
    return (6.5459673 + 5.8002206e3 / kelvin) / kelvin + powers


def plain_dew(temp, rh):
    logs = np.log(rh / 100 * np.exp(plain_log(temp + 273.15)))
    gamma = logs - np.log(611.2)
    kelvin = 243.12 * gamma / (17.62 - gamma) + 273.15
    for _ in range(2):
        kelvin = kelvin - (plain_log(kelvin) - logs) / plain_slope(kelvin)
    return kelvin - 273.15


def plain_ratio(temp, rh):
    vapour = rh / 100 * np.exp(plain_log(temp + 273.15))
    return 621.945 * vapour / (101_325 - vapour)


def plain_wet_bulb(temp, rh):
    ratio = plain_ratio(temp, rh) / 1000
    bulb = temp.copy()
    for _ in range(6):
        vapour = np.exp(plain_log(bulb + 273.15))
        full = 0.621945 * vapour / (101_325 - vapour)
        slope = full * plain_slope(bulb + 273.15) * 101_325 / (101_325 - vapour)
        fault = (2501 - 2.326 * bulb) * full - 1.006 * (temp - bulb)
        fault = fault - ratio * (2501 + 1.86 * temp - 4.186 * bulb)
        bulb = bulb - fault / ((2501 - 2.326 * bulb) * slope - 2.326 * full + 1.006 + 4.186 * ratio)
    return bulb


def plain_magnus(temp, rh):
    gamma = np.log(rh / 100) + 17.62 * temp / (243.12 + temp)
    return 243.12 * gamma / (17.62 - gamma)


def plain_in_order(time_s, temp, rh):
    order = np.argsort(time_s, kind="stable")
    times, first, counts = np.unique(time_s[order], return_index=True, return_counts=True)
    sums = [np.add.reduceat(values[order], first) / counts for values in (temp, rh)]
    return times, sums


def plain_mean(time_s, rh):
    first = np.searchsorted(time_s, time_s - HALF_S)
    past = np.searchsorted(time_s, time_s + HALF_S, side="right")
    there = ~np.isnan(rh)
    sums = np.concatenate(([0.0], np.cumsum(np.where(there, rh, 0))))
    counts = np.concatenate(([0], np.cumsum(there)))
    return (sums[past] - sums[first]) / (counts[past] - counts[first])


def plain_seasonal(time_s, rh):
    average = plain_mean(time_s, rh)
    cover = np.append(np.minimum(np.diff(time_s), HOUR_S), 300.0)
    covered = np.concatenate(([0.0], np.cumsum(cover)))
    first = np.searchsorted(time_s, time_s - HALF_S)
    past = np.searchsorted(time_s, time_s + HALF_S, side="right")
    enough = covered[past] - covered[first] > 0.75 * 2 * HALF_S
    swings = (rh - average)[enough & ~np.isnan(rh)]
    return np.percentile(swings, [7, 93])


def plain_change(time_s, rh):
    return rh - np.interp(time_s - DAY_S, time_s, rh)


def plain_excursions(time_s, rh):
    beyond = np.maximum(rh - 55, 45 - rh)
    outside = np.flatnonzero(beyond > 0)
    cover = np.minimum(np.diff(time_s, append=time_s[-1] + 300), 600)[outside]
    first = np.concatenate(([0], np.flatnonzero(np.diff(outside) > 1) + 1))
    depth = np.maximum.reduceat(beyond[outside], first)
    return first, depth, np.add.reduceat(beyond[outside] * cover, first)


def plain_control(time_s, temp, rh):
    found = []
    for values, sets in ((rh, ((5, 0), (5, 10), (10, 0), (10, 10))), (temp, ((2, 5),) * 4)):
        mean, slow = np.nanmean(values), plain_mean(time_s, values)
        for short, season in sets:
            found.append(((values < 35) | (values > 65)).mean())
            found.append((np.abs(values - slow) > short).mean())
            found.append((np.abs(slow - mean) > season).mean())
    return found


def plain_loan(time_s, temp, rh):
    change = np.abs(plain_change(time_s, rh)) > 10
    return change.sum(), plain_excursions(time_s, rh), plain_excursions(time_s, temp)


def plain_multiplier(temp, rh):
    return (50 / rh) ** 1.3 * np.exp(100_000 / 8.314 * (1 / (temp + 273.15) - 1 / 293.15))


def plain_weeks(temp, rh):
    critical = -0.00267 * temp**3 + 0.160 * temp**2 - 3.13 * temp + 100
    critical = np.where(temp <= 20, critical, 80)
    weeks = np.exp(-0.68 * np.log(temp) - 13.9 * np.log(rh) + 66.02)
    return np.where(rh < critical, np.inf, weeks)


def computations(count: int) -> dict[str, Pair]:
    raw_time, raw_temp, raw_rh = raw_record(count)
    got = climate.Readings.of(raw_time, temp_c=raw_temp, rh_percent=raw_rh)
    t, temp, rh = got.time_s, got.temp_c, got.rh_percent
    full = np.where(np.isnan(rh), 50.0, rh)
    multipliers = climate.lifetime_multiplier(temp, rh)
    even = climate.Readings.of(np.arange(count) * HOUR_S, rh_percent=np.resize(full, count))
    shuffled = np.random.default_rng(1).permutation(count)
    mixed = (raw_time[shuffled], raw_temp[shuffled], raw_rh[shuffled])

    changes = np.arange(t[0], t[-1], DAY_S * 182)
    offsets = np.resize([3600, 7200], changes.size + 1)

    def of(time_s, temps, humid):
        return climate.Readings.of(time_s, temp_c=temps, rh_percent=humid)

    def spread_plain():
        view = sliding_window_view(even.rh_percent, 25)
        return view.max(axis=1) - view.min(axis=1)

    return {
        "put in order": (
            lambda: of(raw_time, raw_temp, raw_rh),
            lambda: plain_in_order(raw_time, raw_temp, raw_rh),
        ),
        "put in order, shuffled": (lambda: of(*mixed), lambda: plain_in_order(*mixed)),
        "saturation pressure": (
            lambda: climate.saturation_pressure_pa(temp),
            lambda: np.exp(plain_log(temp + 273.15)),
        ),
        "dew point": (lambda: climate.dew_point_c(temp, rh), lambda: plain_dew(temp, rh)),
        "dew point, Magnus": (
            lambda: climate.dew_point_c(temp, rh, route="magnus"),
            lambda: plain_magnus(temp, rh),
        ),
        "humidity ratio": (
            lambda: climate.humidity_ratio_g_per_kg(temp, rh),
            lambda: plain_ratio(temp, rh),
        ),
        "absolute humidity": (
            lambda: climate.absolute_humidity_g_per_m3(temp, rh),
            lambda: 10 * rh * np.exp(plain_log(temp + 273.15)) / (461.5 * (temp + 273.15)),
        ),
        "RH after a change": (
            lambda: climate.rh_after_change_percent(temp, rh, temp + 2),
            lambda: rh * np.exp(plain_log(temp + 273.15) - plain_log(temp + 275.15)),
        ),
        "wet bulb": (lambda: climate.wet_bulb_c(temp, rh), lambda: plain_wet_bulb(temp, rh)),
        "moving mean of 30 d": (
            lambda: climate.moving_mean(t, rh, before_s=HALF_S, after_s=HALF_S),
            lambda: plain_mean(t, rh),
        ),
        "seasonal band": (lambda: climate.seasonal_band(got), lambda: plain_seasonal(t, rh)),
        "change in 24 h": (lambda: climate.change_over(got, rh), lambda: plain_change(t, rh)),
        "spread in 24 h, hourly": (
            lambda: climate.spread_over(even, even.rh_percent),
            spread_plain,
        ),
        "excursions": (
            lambda: climate.excursions(got, rh, least=45, most=55),
            lambda: plain_excursions(t, rh),
        ),
        "types of control": (
            lambda: climate.control_types(got),
            lambda: plain_control(t, temp, rh),
        ),
        "loan rule": (lambda: climate.loan_rule(got), lambda: plain_loan(t, temp, full)),
        "lifetime multiplier": (
            lambda: climate.lifetime_multiplier(temp, rh),
            lambda: plain_multiplier(temp, rh),
        ),
        "mean multiplier": (
            lambda: climate.mean_multiplier(multipliers),
            lambda: 1 / np.nanmean(1 / multipliers),
        ),
        "critical RH": (
            lambda: climate.critical_rh_percent(temp),
            lambda: np.where(
                temp <= 20, -0.00267 * temp**3 + 0.160 * temp**2 - 3.13 * temp + 100, 80
            ),
        ),
        "weeks to mould": (lambda: climate.weeks_to_mould(temp, rh), lambda: plain_weeks(temp, rh)),
        "damp alarm": (lambda: climate.damp_alarm(got), lambda: plain_excursions(t, rh)),
        "local times to UTC": (
            lambda: local_to_utc(t, zone="Europe/Paris"),
            lambda: t - offsets[np.searchsorted(changes, t, side="right")],
        ),
    }


def seconds(call: Callable[[], object]) -> float:
    taken = []
    for _ in range(TIMES):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def peak_bytes(call: Callable[[], object]) -> int:
    tracemalloc.start()
    call()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak


def reader(lines: int) -> None:
    start = np.datetime64("2020-01-01T00:00:00")
    moments = (start + np.arange(lines) * np.timedelta64(300, "s")).tolist()
    body = "".join(
        f"{m:%d/%m/%Y %H:%M:%S};{20 + n % 7},5;{45 + n % 9},1\n" for n, m in enumerate(moments)
    )
    raw = ("Date;Temp °C;RH %\n" + body).encode()

    def plain():
        rows = csv.reader(io.StringIO(raw.decode()), delimiter=";")
        next(rows)
        for when, temp, rh in rows:
            moment = datetime.strptime(when, "%d/%m/%Y %H:%M:%S").replace(tzinfo=UTC)
            yield moment.timestamp(), float(temp.replace(",", ".")), float(rh.replace(",", "."))

    ours = seconds(lambda: read_logger(raw, LoggerOptions(zone="UTC")))
    base = seconds(lambda: np.array(list(plain())))
    peak = peak_bytes(lambda: read_logger(raw, LoggerOptions(zone="UTC"))) / len(raw)
    print(
        f"{f'read {lines:,} lines (plain: csv, strptime)':40} {ours:8.3f} {ours / base:8.2f}"
        f" {peak:8.1f}"
    )


def main(count: int) -> None:
    print(f"{f'{count:,} readings':40} {'s':>8} {'ratio':>8} {'memory':>8}")
    for name, (ours, plain) in computations(count).items():
        taken = seconds(ours)
        ratio = taken / seconds(plain)
        print(f"{name:40} {taken:8.3f} {ratio:8.2f} {peak_bytes(ours) / (24 * count):8.1f}")
    reader(min(count, 200_000))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
