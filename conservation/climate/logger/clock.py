"""Local times to UTC: zones, summer time, and clocks that do not follow it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import ArrayLike

from conservation.climate.arrays import BoolArray, IntArray
from conservation.climate.logger.asking import (
    Assumption,
    FileRefusedError,
    Question,
    QuestionError,
)
from conservation.climate.readings import DAY_S, HOUR_S, LATEST_S, utc_words, whole_seconds


@dataclass(frozen=True)
class _Zone:
    """Periods of one offset: from when (UTC) each holds, and the offset, in s."""

    starts_s: IntArray
    offsets_s: IntArray


def to_utc(
    local_s: IntArray, zone: str | None, clock: str | None
) -> tuple[IntArray, list[Assumption], Question | None]:
    """Return local times, in the order of the file, as UTC; what was assumed; what must be asked.

    Without a zone times stay as written unless they jump back as a clock does at the end of summer
    time. With a zone the hour that comes twice is told apart by the order of the file. Source: IANA
    time zone database.

    >>> summer = np.array([1_751_371_200])  # 2025-07-01 12:00 on the wall
    >>> utc_words(to_utc(summer, "Europe/Paris", None)[0][0])
    '2025-07-01T10:00:00Z'
    """
    if local_s.size > 1 and local_s[0] > local_s[-1]:
        turned, assumed, question = to_utc(local_s[::-1], zone, clock)
        return turned[::-1], assumed, question
    if zone is None:
        return local_s, *_as_written(local_s)
    if zone.upper() in ("UTC", "GMT", "Z"):
        return local_s, [], None
    periods = _zone(zone, int(local_s.min()), int(local_s.max()))
    if clock is None and periods.starts_s.size == 1:
        return local_s - int(periods.offsets_s[0]), [], None
    last, twice, never = _periods(local_s, periods)
    kind, assumed, question = _kind(local_s, twice, never, clock)
    if kind == "standard":
        return local_s - int(periods.offsets_s.min()), assumed, question
    first_time = np.flatnonzero(twice & ~_second_time(local_s, twice))
    last[first_time] -= 1
    return local_s - periods.offsets_s[last], assumed, question


def local_to_utc(
    time: ArrayLike, *, zone: str, clock: str | None = None
) -> tuple[IntArray, tuple[Assumption, ...]]:
    """Return local times of a zone as seconds of UTC since 1970, and what was assumed.

    `time` is in the order in which it was recorded, as seconds since 1970 by the clock on the wall
    or as numpy datetime64; `clock` is `local` (follows summer time), `standard` (winter time all
    year) or None (found out). Raises QuestionError where the times show both. Range: years 1900 to
    2200. Source: IANA time zone database.

    >>> wall = np.array(["2025-07-01T12:00", "2025-12-01T12:00"], "datetime64[m]")
    >>> [utc_words(time_s) for time_s in local_to_utc(wall, zone="Europe/Paris")[0]]
    ['2025-07-01T10:00:00Z', '2025-12-01T11:00:00Z']
    """
    local_s = whole_seconds(time)
    utc_s, assumed, question = to_utc(local_s, zone, clock)
    if question is not None:
        raise QuestionError([question])
    return utc_s, tuple(assumed)


def fixed_offset_s(text: str) -> int | None:
    """Return the seconds east of UTC that a text such as `GMT+01:00` or `Z` names, or None.

    Range: 14 h east or west. Source: ISO 8601.

    >>> fixed_offset_s("UTC+1:30"), fixed_offset_s("Z"), fixed_offset_s("noon")
    (5400, 0, None)
    """
    compact = text.replace(" ", "").upper()
    bare = compact.removeprefix("UTC").removeprefix("GMT")
    if bare in ("", "Z"):
        return 0 if compact else None
    sign = {"+": 1, "-": -1}.get(bare[0])
    digits = bare[1:].replace(":", "")
    if sign is None or not digits.isdecimal() or len(digits) > 4:
        return None
    hours, minutes = (int(digits), 0) if len(digits) <= 2 else (int(digits[:-2]), int(digits[-2:]))
    return sign * (hours * HOUR_S + minutes * 60) if hours <= 14 and minutes < 60 else None


def _as_written(local_s: IntArray) -> tuple[list[Assumption], Question | None]:
    steps = np.diff(local_s)
    back = np.flatnonzero((steps < 0) & (steps >= -HOUR_S))
    if back.size == 0:
        back = np.flatnonzero((steps == 0) & _night_to_sunday(local_s[1:]))
        back = back if back.size <= 3 else back[:0]
    if back.size:
        at = utc_words(local_s[back[0]])[:-4].replace("T", " ")
        words = (
            f"At {at} the clock goes back as at the end of summer time: which time zone is it, "
            "or UTC if the clock was never changed?"
        )
        return [], Question("zone", words, ("UTC",))
    return [Assumption("zone", "Times stay as written, because no time zone is given.")], None


def _night_to_sunday(local_s: IntArray) -> BoolArray:
    sunday = (local_s // DAY_S + 4) % 7 == 0
    result: BoolArray = sunday & (local_s % DAY_S <= 3 * HOUR_S)
    return result


def _zone(name: str, start_s: int, end_s: int) -> _Zone:
    try:
        zone = ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise FileRefusedError(f"There is no time zone {name!r}.") from error
    # Half a year on either side holds the winter time that belongs to a summer. No zone changes
    # twice in a week.
    weeks = range(start_s - 200 * DAY_S, end_s + 200 * DAY_S, 7 * DAY_S)
    starts, offsets = [weeks[0]], [_offset_s(zone, weeks[0])]
    for week_s in weeks[1:]:
        offset = _offset_s(zone, week_s)
        if offset != offsets[-1]:
            starts.append(_change_s(zone, week_s - 7 * DAY_S, week_s))
            offsets.append(offset)
    return _Zone(np.array(starts), np.array(offsets))


def _offset_s(zone: tzinfo, time_s: int) -> int:
    offset = datetime.fromtimestamp(time_s, UTC).astimezone(zone).utcoffset() or timedelta()
    return int(offset.total_seconds())


def _change_s(zone: tzinfo, before_s: int, after_s: int) -> int:
    old = _offset_s(zone, before_s)
    while after_s - before_s > 1:
        middle = (before_s + after_s) // 2
        if _offset_s(zone, middle) == old:
            before_s = middle
        else:
            after_s = middle
    return after_s


def _periods(local_s: IntArray, zone: _Zone) -> tuple[IntArray, BoolArray, BoolArray]:
    """Return the last period begun by its own clock, and which times come twice and which never."""
    over = zone.starts_s[1:] + zone.offsets_s[:-1]
    begun = zone.starts_s + zone.offsets_s
    last = np.searchsorted(begun[1:], local_s, side="right")
    twice: BoolArray = local_s < np.append(begun[0], over)[last]
    never: BoolArray = local_s >= np.append(over, LATEST_S + DAY_S)[last]
    return last, twice, never


def _kind(
    local_s: IntArray, twice: BoolArray, never: BoolArray, clock: str | None
) -> tuple[str, list[Assumption], Question | None]:
    if clock is not None:
        return clock, list(_moved(never)) if clock == "local" else [], None
    standard = bool(never.any())
    repeated, single = _repeats(local_s, twice)
    if (standard or single) and repeated:
        words = (
            "Some changes to or from summer time show in the times and some do not: does the "
            "clock follow summer time (local), or keep winter time (standard)?"
        )
        return "local", [], Question("clock", words, ("local", "standard"))
    if standard or single:
        why = "an hour that summer time leaves out is there" if standard else "no hour comes twice"
        words = f"The clock keeps winter time all year: {why}."
        return "standard", [Assumption("clock", words)], None
    words = "The clock follows summer time" + (": an hour comes twice." if repeated else ".")
    return "local", [Assumption("clock", words)], None


def _moved(never: BoolArray) -> Iterable[Assumption]:
    number = int(np.count_nonzero(never))
    if number:
        words = (
            f"{number:,} times fall in an hour that summer time leaves out; moved by the change."
        )
        yield Assumption("clock", words)


def _runs(twice: BoolArray) -> Iterable[tuple[int, int]]:
    index = np.flatnonzero(twice)
    if index.size:
        cuts = np.flatnonzero(np.diff(index) > 1)
        starts = np.concatenate(([0], cuts + 1))
        ends = np.concatenate((cuts, [index.size - 1]))
        yield from zip(index[starts].tolist(), (index[ends] + 1).tolist(), strict=True)


def _repeats(local_s: IntArray, twice: BoolArray) -> tuple[bool, bool]:
    """Return whether an hour that comes twice does so in the file, and whether one does not."""
    repeated = single = False
    for start, past in _runs(twice):
        steps = np.diff(local_s[max(start - 1, 0) : past + 1])
        inside = start > 0 and past < local_s.size
        if (steps <= 0).any():
            repeated = True
        elif inside and steps.size and steps.max() <= HOUR_S:
            single = True
    return repeated, single


def _second_time(local_s: IntArray, twice: BoolArray) -> BoolArray:
    second = np.zeros(local_s.size, bool)
    for start, past in _runs(twice):
        steps = np.diff(local_s[max(start - 1, 0) : past])
        back = np.flatnonzero(steps <= 0)
        if back.size:
            second[max(start - 1, 0) + int(back[0]) + 1 : past] = True
    return second
