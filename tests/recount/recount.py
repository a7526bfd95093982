"""Every number that the app says of a log, counted again from the log file alone.

    python3 recount.py FOLDER NAME...

For each name, FOLDER holds NAME.log.txt, the log as its file has it, and NAME.numbers.json, what the app
says of it. What each number counts stands in docs/numbers.md; nothing here is taken from the app's code.
Only what the rule decides is taken as given, under "rule": where an exercise stands, on which days it was
left out, which days were trained against it, which mornings it read and which of them count as usual. The
program fails at the first log with a number that differs, and says which.
"""

import csv
import io
import json
import math
import re
import sys
from collections import Counter
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path

# The quantiles of the normal distribution at one in twenty and at one in sixty, two-sided.
ONE_IN_TWENTY, ONE_IN_SIXTY = 1.959963984540054, 2.3939797998185095
# Points: Alghadir 2018, and Farrar 2001 with a share of what it was before.
MEASUREMENT_ERROR, NOTICED_POINTS, NOTICED_SHARE = 1.33, 2, 0.3
MON_TO_SUN = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
SWELLINGS = ["no_more", "a_little_more", "clearly_more"]
WORKED = ["light", "as_usual", "heavy"]


class Differs(Exception):
    pass


def same(what, counted, said):
    """Holds what was counted here to what the app says."""
    if isinstance(counted, float) or isinstance(said, float):
        is_same = counted is not None and said is not None and abs(counted - said) < 1e-9
    elif isinstance(counted, (list, tuple)) and isinstance(said, (list, tuple)) and len(counted) == len(said):
        for place, (one, other) in enumerate(zip(counted, said)):
            same(f"{what} [{place}]", one, other)
        return
    elif isinstance(counted, dict) and isinstance(said, dict) and counted.keys() == said.keys():
        for key in counted:
            same(f"{what} {key}", counted[key], said[key])
        return
    else:
        is_same = counted == said
    if not is_same:
        raise Differs(f"{what}: counted {counted!r}, the app says {said!r}")


def says(what, text, numbers):
    """Holds the numbers that a sentence has to those counted here, as far as its one decimal goes."""
    found = [float(number.replace("−", "-")) for number in re.findall(r"(?<![\w.])[+−]?\d+(?:\.\d+)?", text)]
    is_same = len(found) == len(numbers) and all(abs(a - b) < 0.0501 for a, b in zip(found, numbers))
    if not is_same:
        raise Differs(f"{what}: counted {numbers!r}, the app says {text!r}")


# The log.

def moment(text):
    return datetime.fromisoformat(text)


def date_of(at):
    """The calendar day, which mornings have."""
    return moment(at).date()


def day_of(at):
    """The day from four o'clock to four o'clock, which everything else has."""
    return (moment(at) - timedelta(hours=4)).date()


class Log:
    def __init__(self, text):
        events = {event["id"]: event for event in json.loads(text)["events"]}
        events = [events[name] for name in sorted(events)]
        facts = [(event, *fact_of(event)) for event in events]
        self.facts = facts
        self.last_day = max(day_of(event["at"]) for event in events)
        self.slips, self.swelling_slips = {}, {}
        for _, kind, what in facts:
            if kind == "corrected":
                self.slips.setdefault(what["of"], []).append(what)
            if kind == "swelling_corrected":
                self.swelling_slips[what["of"]] = what["swelling"]
        self.accepted, self.sessions, self.answers, self.told = [], [], [], []
        self.signs, self.notes, self.anchors, self.swellings = [], [], [], {}
        slips = {(what["of"], what["sign"]) for _, kind, what in facts if kind == "warning_unticked"}
        stops, taken_back = {}, set()
        for event, kind, what in facts:
            if kind == "set_ended" and what["ending"] == "pain":
                stops[tuple(sorted(what["set"].items()))] = event["id"]
            elif kind == "stop_taken_back":
                taken_back.add(stops.get(tuple(sorted(what["set"].items()))))
        by_id = {}
        for event, kind, what in facts:
            if event["id"] in taken_back:
                continue
            if kind == "routine_accepted":
                self.accept(event, what["routine"])
            elif kind == "session_started":
                by_id[event["id"]] = session = {
                    "id": event["id"], "at": event["at"], "day": day_of(event["at"]), "sets": [],
                    "ended": False, **{key: what.get(key) for key in ("routine", "version", "at_rest", "worked_today")},
                    "plan": {planned["exercise"]: foothold(planned["from"]) for planned in reversed(what["plan"])},
                }
                self.sessions.append(session)
            elif kind == "set_ended" and what["set"]["session"] in by_id:
                by_id[what["set"]["session"]]["sets"].append({
                    "id": event["id"], "at": event["at"], "exercise": what["set"]["exercise"],
                    "number": what["set"]["number"], "rated": None, **what,
                })
            elif kind == "set_rated" and what["set"]["session"] in by_id:
                self.rate(by_id[what["set"]["session"]], event, what)
            elif kind == "session_ended" and what["session"] in by_id:
                by_id[what["session"]]["ended"] = True
            elif kind == "morning_answered":
                self.answers.append(self.answer(event, what))
            elif kind == "verdict_given":
                self.told.append({"at": moment(event["at"]), "day": date.fromisoformat(what["day"]), **{
                    key: what[key] for key in ("exercise", "order", "reasons", "next")}})
            elif kind == "warning_ticked" and what["signs"]:
                self.signs.append((event, [(sign, (event["id"], sign) in slips) for sign in what["signs"]]))
            elif kind == "usual_morning":
                self.anchors.append((event, what["rating"]))
            elif kind == "note":
                self.notes.append((event, what["text"]))
        self.warned = {day_of(event["at"]) for event, signs in self.signs if not all(slip for _, slip in signs)}

    def read_mornings(self, rule):
        """One morning a date, from four o'clock on; the worse of two answers counts. The rating of a late
        answer is read only where the rule, which waits for a settled morning, has read it."""
        self.mornings = {}
        for answer in self.answers:
            if answer["is_of_a_morning"]:
                date = date_of(answer["at"])
                known = self.mornings.setdefault(date, {"in_time": False, "ratings": {}, "swelling": "no_more"})
                known["in_time"] |= answer["is_in_time"]
                known["swelling"] = max(known["swelling"], answer["swelling"], key=SWELLINGS.index)
                for exercise, rating in answer["ratings"].items():
                    if answer["is_in_time"] or self.reads_late(rule, exercise, date):
                        known["ratings"][exercise] = max(rating, known["ratings"].get(exercise, 0))

    def reads_late(self, rule, exercise, date):
        """Whether the rule read more than the answers in time: the exercise was left out when first asked."""
        if exercise not in rule or date not in rule[exercise]["rated"]:
            return False
        of_date = [answer for answer in self.answers if answer["is_of_a_morning"] and date_of(answer["at"]) == date]
        in_time = [answer["ratings"][exercise] for answer in of_date if answer["is_in_time"] and exercise in answer["ratings"]]
        return in_time == [] or max(in_time) < rule[exercise]["rated"][date]

    def accept(self, event, routine):
        """A version that is newer than any before, or another routine, is taken on."""
        last = self.accepted[-1]["routine"] if self.accepted else None
        highest = max((one["routine"]["version"] for one in self.accepted if one["routine"]["id"] == routine["id"]), default=0)
        is_newer = highest < routine["version"]
        if is_newer or routine["id"] != last["id"]:
            self.accepted.append({"id": event["id"], "at": event["at"], "day": day_of(event["at"]), "routine": routine,
                                  "is_newer": is_newer, "is_another": last is None or routine["id"] != last["id"]})

    def rate(self, session, event, what):
        of_set = [done for done in session["sets"]
                  if (done["exercise"], done["number"]) == (what["set"]["exercise"], what["set"]["number"])]
        slips = self.slips.get(event["id"])
        holds = slips[-1] if slips else what
        if of_set:
            of_set[-1]["rated"] = {"by": event["id"], "rating": holds["rating"], "site": holds.get("site")}

    def answer(self, event, what):
        ratings = dict(what["ratings"])
        for slip in self.slips.get(event["id"], []):
            if slip.get("exercise") in ratings:
                ratings[slip["exercise"]] = slip["rating"]
        return {
            "id": event["id"], "at": event["at"], "ratings": ratings,
            "swelling": self.swelling_slips.get(event["id"], what["swelling"]),
            "after": date.fromisoformat(what["after"]),
            "is_of_a_morning": 4 <= moment(event["at"]).hour,
            "is_in_time": 4 <= moment(event["at"]).hour
            and date.fromisoformat(what["after"]) + timedelta(1) == date_of(event["at"]),
        }

    def in_force(self, day):
        known = [accepted for accepted in self.accepted if accepted["day"] <= day]
        return known[-1]["routine"] if known else None

    def followed(self, session):
        """The version that a session followed."""
        known = [accepted for accepted in self.accepted
                 if (accepted["routine"]["id"], accepted["routine"]["version"]) == (session["routine"], session["version"])]
        return known[-1] if known else None

    def on(self, day, exercise=None):
        """The sessions of a day in which an exercise, or anything, was worked."""
        return [session for session in self.sessions
                if session["day"] == day and worked(session, exercise)]

    def after(self, day):
        return self.mornings.get(day + timedelta(1))

    def told_about(self, exercise, day, with_later_signs=True):
        told = [told for told in self.told if (told["exercise"], told["day"]) == (exercise, day)]
        return [one for one in told if with_later_signs or not self.is_of_a_later_sign(one)]

    def is_of_a_later_sign(self, told):
        return "warning_sign" in told["reasons"] and told["day"] not in self.warned


def fact_of(event):
    what = event["what"]
    if isinstance(what, str):
        return what, {}
    [(kind, fields)] = what.items()
    return kind, fields


def worked(session, exercise=None):
    return [done for done in session["sets"]
            if done["ending"] != "left_out" and exercise in (None, done["exercise"])]


def light_of(told):
    """The light of an order: "keep_and_count" is Keep, "hold_until_rested" is Hold."""
    return told["order"].split("_")[0]


def foothold(at):
    return [at["rung"], at.get("fewer_sets", 0)]


def exercise_of(routine, name):
    return next((exercise for exercise in routine["exercises"] if exercise["id"] == name), None) if routine else None


def dose_on(exercise, rung):
    rungs = exercise["ladder"]["rungs"]
    rung = rungs[min(rung, len(rungs)) - 1]
    return {**exercise["dose"], **rung.get("dose", {})}


def rounds(exercise, at):
    dose = dose_on(exercise, at[0])
    sides = 2 if dose.get("sides") == "one_after_the_other" else 1
    return sides * max(1, dose["sets"] - at[1])


def is_day_for(exercise, day):
    days = exercise["dose"].get("days") or MON_TO_SUN
    return MON_TO_SUN[day.weekday()] in days


def days(first, last):
    return [first + timedelta(number) for number in range((last - first).days + 1)]


# Statistics.

def quantile(numbers, share):
    numbers = sorted(numbers)
    place = share * (len(numbers) - 1)
    low, high = numbers[math.floor(place)], numbers[math.ceil(place)]
    return low + (place - math.floor(place)) * (high - low)


def middle(numbers):
    return quantile(numbers, 0.5) if numbers else None


def wilson(done, of):
    if of == 0:
        return None
    share, z = done / of, ONE_IN_TWENTY
    centre = (share + z * z / (2 * of)) / (1 + z * z / of)
    reach = z / (1 + z * z / of) * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    return [0.0 if done == 0 else centre - reach, 1.0 if done == of else centre + reach]


def theil_sen(points):
    """The slope, its interval of 95 % (Sen 1968, corrected for ties), and the height at nought."""
    slopes = sorted((y - v) / (x - u) for place, (x, y) in enumerate(points) for u, v in points[:place] if x != u)
    if not slopes:
        return None
    def term(count):
        return count * (count - 1) * (2 * count + 5)
    ties = sum(term(count) for axis in zip(*points) for count in Counter(axis).values())
    reach = ONE_IN_TWENTY * math.sqrt(max(0.0, (term(len(points)) - ties) / 18))
    last = len(slopes) - 1
    low = min(last, max(0, round((len(slopes) - reach) / 2) - 1))
    high = min(last, max(0, round((len(slopes) + reach) / 2)))
    slope = middle(slopes)
    at_zero = middle([y for _, y in points]) - slope * middle([x for x, _ in points])
    return slope, slopes[low], slopes[high], at_zero


@cache
def students_t(freedom):
    """The two-sided quantile at 95 %, by halving the integral of the density (Simpson's rule)."""
    scale = math.exp(math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2)) / math.sqrt(freedom * math.pi)
    def density(t):
        return scale * (1 + t * t / freedom) ** (-(freedom + 1) / 2)
    def within(t, steps=600):
        width = t / steps
        inner = sum((4 if step % 2 else 2) * density(step * width) for step in range(1, steps))
        return 2 * width / 3 * (density(0) + inner + density(t))
    low, high = 0.0, 13.0
    for _ in range(45):
        half = (low + high) / 2
        low, high = (half, high) if within(half) < 0.95 else (low, half)
    return (low + high) / 2


def rank_sum(first, second):
    """Mann and Whitney's z with its corrections for ties and continuity."""
    above = sum((b > a) + (b == a) / 2 for a in first for b in second)
    count, size = len(first) + len(second), len(first) * len(second)
    ties = sum(number**3 - number for number in Counter(first + second).values())
    variance = size / 12 * (count + 1 - ties / (count * (count - 1)))
    apart = above - size / 2
    return math.copysign(max(0.0, abs(apart) - 0.5), apart) / math.sqrt(variance) if variance > 0 else None


def amount(before, after):
    apart = abs(after - before)
    if apart <= MEASUREMENT_ERROR:
        return "WithinMeasurementError"
    noticed = NOTICED_POINTS <= apart or (before > 0 and NOTICED_SHARE <= apart / before)
    return "WorthNoticing" if noticed else "ALittle"


# Words.

def listed(things):
    return things[0] if len(things) == 1 else ", ".join(things[:-1]) + " and " + things[-1]


def count(number, thing):
    return f"1 {thing}" if number == 1 else f"{number} {thing}s"


def halves(points):
    whole, half = divmod(int(points * 2), 2)
    return f"{whole or ''}½" if half else str(whole)


def short_day(day):
    return f"{day:%a} {day.day} {MONTHS[day.month - 1]}"


def rung_words(at, alone=False):
    fewer = count(at[1], "set")
    if alone:
        return f"{at[0]} (−{fewer})" if at[1] else str(at[0])
    return f"rung {at[0]}" + (f", {fewer} fewer" if at[1] else "")


def of_words(done):
    extra = f", {done['extra']} extra" if done["extra"] else ""
    return (f"{done['done']} of {done['prescribed']}" if done["prescribed"] else "none prescribed") + extra


# The review.

class Review:
    def __init__(self, log, rule, first, last):
        self.log, self.rule, self.first, self.last = log, rule, first, last
        self.routine = log.accepted[-1]["routine"]

    def is_left_out(self, exercise, day):
        return exercise in self.rule and day.isoformat() in self.rule[exercise]["left_out"]

    def asks(self, exercise, day, done):
        """How often a version asks for an exercise on a day, of which so many were done."""
        if exercise is None or not is_day_for(exercise, day):
            return 0
        times = exercise["dose"].get("times_a_day", 1)
        is_not_over = day == self.log.last_day
        return min(times, done) if is_not_over or self.is_left_out(exercise["id"], day) else times

    def due(self, day, sessions, asks):
        """What the version in force asks for, and what an earlier one of that day had got before it."""
        in_force = self.log.in_force(day)
        due = asks(in_force, len(sessions)) if in_force else 0
        for before, accepted in zip(self.log.accepted, self.log.accepted[1:]):
            if accepted["day"] == day:
                done = sum(session["id"] < accepted["id"] for session in sessions)
                due = max(due, min(done, asks(before["routine"], done)))
        return due

    def came(self, exercise, day):
        sessions = self.log.on(day, exercise)
        asks = lambda routine, done: self.asks(exercise_of(routine, exercise), day, done)
        due = self.due(day, sessions, asks)
        known = exercise_of(self.log.in_force(day), exercise)
        if sessions:
            return due, len(sessions), "done"
        if known and is_day_for(known, day) and self.is_left_out(exercise, day):
            return due, 0, "left_out"
        return due, 0, "missed" if due else "not_due"

    def light(self, exercise, day):
        if day in self.log.warned and exercise_of(self.log.in_force(day), exercise):
            return "hold"
        told = self.log.told_about(exercise, day, with_later_signs=False)
        return light_of(told[-1]) if told else None

    def tally(self, what, pairs, said, left_out=0):
        done = {
            "prescribed": sum(due for due, _ in pairs),
            "done": sum(min(due, done) for due, done in pairs),
            "extra": sum(max(0, done - due) for due, done in pairs),
            "left_out": left_out,
        }
        interval = wilson(done["done"], done["prescribed"])
        if interval:
            says(f"{what} share", said["share_said"], [round(end * 100) for end in interval])
        same(what, {**done, "interval": interval, "said": of_words(done)},
             {key: said[key] for key in said if key != "share_said"})
        return done

    def check(self, said):
        every = days(self.first, self.last)
        all_asks = lambda day: lambda routine, done: max(self.asks(one, day, done) for one in routine["exercises"])
        pairs = [(self.due(day, self.log.on(day), all_asks(day)), len(self.log.on(day))) for day in every]
        sessions = self.tally("sessions", pairs, said["sessions"])
        over = [day for day in every if day != self.log.last_day]
        def is_answered(day):
            after = self.log.after(day)
            return after is not None and (after["in_time"] or not self.log.on(day))
        pairs = [(bool(self.log.on(day)), is_answered(day)) for day in over]
        self.mornings = self.tally("mornings", pairs, said["mornings"])
        answered = of_words({**self.mornings, "extra": 0})
        if self.mornings["extra"]:
            answered += f", and {self.mornings['extra']} after days without training"
        same("mornings in words", answered, said["mornings_said"])
        same("warned", sorted(day.isoformat() for day in self.log.warned if day in every), said["warned"])
        same("exercises", [one["id"] for one in self.routine["exercises"]], [one["id"] for one in said["exercises"]])
        self.weeks, self.points, reported, reviewed = {}, [], [], []
        for exercise, of in zip(self.routine["exercises"], said["exercises"]):
            lines = self.exercise(exercise, of)
            reported.append(lines[0])
            reviewed += lines[1:]
        self.routine_points()
        self.check_points(said["points"])
        note = said["note"].split("\n")
        for line in [f"Sessions: {of_words(sessions)}. Morning checks answered: {answered}.", *reported, *reviewed]:
            if f"- {line}" not in note:
                raise Differs(f"note: counted {line!r}, which is not in {said['note']!r}")

    def exercise(self, exercise, said):
        name, of_rule = exercise["id"], self.rule[exercise["id"]]
        every = days(self.first, self.last)
        came = {day: self.came(name, day) for day in every}
        on = {kind: [day for day in every if came[day][2] == kind] for kind in ("done", "missed", "left_out")}
        counted = self.tally(name, [came[day][:2] for day in every], said["done"], len(on["left_out"]))
        same(f"{name} missed", [day.isoformat() for day in on["missed"]], said["missed"])
        same(f"{name} left out", [day.isoformat() for day in on["left_out"]], said["left_out"])
        lights = {day: self.light(name, day) for day in every}
        lights = {day: light for day, light in lights.items() if light}
        same(f"{name} lights", {day.isoformat(): light for day, light in lights.items()}, said["lights"])
        trained = [self.day(exercise, day) for day in on["done"]]
        same(f"{name} days", [{key: of[key] for key in of if key not in ("rungs", "day_of")} for of in trained], said["days"])
        stood = next((at for day, at in of_rule["stood"] if self.first.isoformat() <= day), of_rule["stands"])
        began, stands = trained[0]["at"] if trained else stood, of_rule["stands"]
        same(f"{name} footholds", [began, stands], [said["started_at"], said["now_at"]])
        moved = began != stands
        rungs = f"from {rung_words(began)} to {rung_words(stands)}" if moved else rung_words(stands)
        same(f"{name} rungs", rungs, said["rungs_said"])
        alone = f"{rung_words(began, True)} → {rung_words(stands, True)}" if moved else rung_words(stands, True)
        same(f"{name} rungs alone", alone, said["rungs_alone"])
        rung_changed = len({rung for of in trained for rung in of["rungs"]}) > 1
        same(f"{name} rung changed", rung_changed, said["rung_changed"])
        worst = max((of["worst"] for of in trained if of["worst"] is not None), default=None)
        mornings = [of["morning"] for of in trained if of["morning"] is not None]
        typical = middle(mornings)
        stops = sum(of["stops"] for of in trained)
        same(f"{name} worst, typical, stops", [worst, typical, stops], [said["worst"], said["typical_morning"], said["stops"]])
        self.week_by_week(name, of_rule, said["weeks"])
        self.readings(exercise, trained, said, rung_changed)
        kept, of_all = self.followed(exercise, on["done"], said)
        differ = self.differences(name)
        same(f"{name} differences", [one for one, _ in differ], [
            {key: of[key] for key in ("ratings", "lower", "higher")} for of in said["differences"]])
        for (_, numbers), of in zip(differ, said["differences"]):
            says(f"{name} difference", of["said"], numbers)
        self.exercise_points(exercise, said)
        # In words.
        done = of_words(counted)
        in_part = sum(of["sets"] < of["planned_sets"] for of in trained)
        if in_part:
            done += f", {in_part} in part"
        if on["left_out"]:
            done += f", {count(len(on['left_out']), 'day')} left out by the rule"
        same(f"{name} done in words", done, said["done_said"])
        parts = [done]
        if worst is not None:
            sites = self.worst_by_site(trained)
            parts.append(f"worst pain during {worst} of 10" + (f" ({listed(sites)})" if sites else ""))
        if typical is not None:
            parts.append(f"next morning usually {halves(typical)}")
        lines = [f"{exercise['name']}: {'; '.join(parts)}."]
        told = [f"{number} {light.capitalize()}" for light in ("keep", "ease", "hold")
                if (number := list(lights.values()).count(light))]
        same(f"{name} lights in words", listed(told) if told else None, said["lights_said"])
        parts = [rungs] + ([listed(told)] if told else [])
        parts += [f"{kept} of {of_all} verdicts followed"] if of_all else []
        lines.append(f"{exercise['name']}: {'; '.join(parts)}.")
        held = [short_day(day) for day in on["done"] if lights.get(day) == "hold"]
        happened = [f"Hold after {listed(held)}"] if held else []
        happened += [f"{count(stops, 'set')} stopped because of pain"] if stops else []
        if happened and not (said["happened"] or "").startswith(f"{exercise['name']}: {'; '.join(happened)}"):
            raise Differs(f"{name} happened: counted {happened!r}, the app says {said['happened']!r}")
        if not happened and said["happened"] and "on Hold" not in said["happened"]:
            raise Differs(f"{name} happened: nothing, the app says {said['happened']!r}")
        return lines

    def day(self, exercise, day):
        """One training day of an exercise."""
        name = exercise["id"]
        sessions = self.log.on(day, name)
        sets = [done for session in sessions for done in worked(session, name)]
        rated = [done["rated"] for done in sets if done["rated"]]
        sites = {}
        for one in rated:
            sites[one["site"]] = max(one["rating"], sites.get(one["site"], 0))
        plans = [session["plan"][name] for session in sessions if name in session["plan"]]
        planned = sum(prescribed - taken_off for prescribed, taken_off in
                      filter(None, (self.prescribed_sets(session, name) for session in sessions)))
        whole = sum(done["ending"] == "complete" for done in sets)
        begun = len(sets) - whole
        after = self.log.after(day)
        hard = [session["worked_today"] for session in sessions if session["worked_today"]]
        told = self.log.told_about(name, day, with_later_signs=False)
        return {
            "day": day.isoformat(), "sets": whole, "in_part": begun, "planned_sets": planned,
            "sets_said": (f"{whole} of {planned}" if planned else f"{whole}, none planned")
                         + (f" and {begun} in part" if begun else ""),
            "at": plans[0] if plans else [sets[0]["rung"], 0],
            "worst": max((one["rating"] for one in rated), default=None),
            "sites": [[site, sites[site]] for site in sorted(sites, key=lambda site: site or "")],
            "at_rest": sessions[0]["at_rest"],
            "worked_today": max(hard, key=WORKED.index) if hard else None,
            "stops": sum(done["ending"] == "pain" for done in sets),
            "morning": after["ratings"].get(name) if after else None,
            "swelling": after["swelling"] if after else None,
            "told": [light_of(one) for one in told],
            "rungs": {done["rung"] for done in sets}, "day_of": day,
        }

    def prescribed_sets(self, session, name):
        followed = self.log.followed(session)
        known = exercise_of(followed["routine"], name) if followed else None
        if known is None or name not in session["plan"]:
            return None
        at = session["plan"][name]
        whole = rounds(known, [at[0], 0])
        return whole, whole - rounds(known, at)

    @staticmethod
    def worst_by_site(trained):
        worst = {}
        for site, rating in (pair for of in trained for pair in of["sites"] if pair[0]):
            worst[site] = max(rating, worst.get(site, 0))
        return [f"{site} {worst[site]}" for site in sorted(worst)]

    def week_by_week(self, name, of_rule, said):
        """All mornings of this week that the rule read, and those of last week that count as usual."""
        def of_week(ages, is_asked):
            read = [self.last - timedelta(age) for age in ages]
            ratings = [self.log.mornings[day]["ratings"][name] for day in read if is_asked(of_rule["read"].get(day))]
            return float(middle(ratings)) if len(ratings) > 1 else None
        counted = [of_week(range(7), lambda counts: counts is not None), of_week(range(7, 14), lambda counts: counts)]
        same(f"{name} weeks", counted, said)
        self.weeks[name] = said

    # What the numbers bear.

    def readings(self, exercise, trained, said, rung_changed):
        name, lines = exercise["id"], dict(said["readings"])
        during = [(of["day_of"], of["worst"]) for of in trained if of["worst"] is not None]
        mornings = [(of["day_of"], of["morning"]) for of in trained if of["morning"] is not None]
        for title, key, series in (("During", "during", during), ("Next morning", "next_mornings", mornings)):
            counted = self.series(series)
            if counted is None:
                same(f"{name} {title}", [None, None], [said[key], lines.get(title)])
                continue
            values, heading = counted
            same(f"{name} {title}", values, said[key])
            if len(series) < 10:
                ratings = [rating for _, rating in series]
                counts = [(rating, ratings.count(rating)) for rating in sorted(set(ratings))]
                shown = ", ".join(f"{rating} on {n} day{'' if n == 1 else 's'}" for rating, n in counts)
                same(f"{name} {title} in words", f"{shown}.", lines[title])
                continue
            numbers = [values["median"], *values["quartiles"]]
            if heading != "Too few days to tell":
                numbers += [values["a_week"], *values["interval"], values["days"]]
            says(f"{name} {title}", lines[title].replace(heading, "", 1), numbers)
            if f"{heading}" not in lines[title]:
                raise Differs(f"{name} {title}: {heading}, the app says {lines[title]!r}")
        by_site = {}
        for site, rating in (pair for of in trained for pair in of["sites"]):
            by_site.setdefault(site, []).append(rating)
        same(f"{name} by site", {str(site): [float(middle(all)), len(all)] for site, all in by_site.items()},
             {str(site): values for site, values in said["by_site"]})
        if len(by_site) > 1:
            says(f"{name} by site", lines["By site"], [
                number for site, _ in said["by_site"] for number in (middle(by_site[site]), len(by_site[site]))])
        this, last = self.weeks[name]
        weeks = None if None in (this, last) else f"{halves(this)} this week, {halves(last)} last week."
        same(f"{name} weeks in words", weeks, lines.get("All mornings by week"))
        rises = [of["worst"] - of["at_rest"] for of in trained if None not in (of["worst"], of["at_rest"])]
        if len(rises) < 10:
            same(f"{name} cost", [None, None], [said["cost"], lines.get("From before to worst during")])
        else:
            mean = sum(rises) / len(rises)
            deviation = math.sqrt(sum((rise - mean) ** 2 for rise in rises) / (len(rises) - 1))
            reach = students_t(len(rises) - 1) * deviation / math.sqrt(len(rises))
            numbers = [mean, mean - reach, mean + reach]
            if any(abs(a - b) > 1e-6 for a, b in zip(numbers, [said["cost"]["mean"], *said["cost"]["interval"]])):
                raise Differs(f"{name} cost: counted {numbers!r}, the app says {said['cost']!r}")
            same(f"{name} cost pairs", len(rises), said["cost"]["pairs"])
            says(f"{name} cost", lines["From before to worst during"], [*numbers, len(rises)])
        other = [title for title in lines if title != "Read with care"]
        same(f"{name} care", rung_changed and bool(other), "Read with care" in lines)

    @staticmethod
    def series(series):
        if len(series) < 2:
            return None
        ratings = [rating for _, rating in series]
        first = series[0][0]
        points = [((day - first).days, rating) for day, rating in series]
        slope, low, high, at_zero = theil_sen(points)
        span = points[-1][0]
        change = amount(at_zero, at_zero + slope * span)
        if len(series) < 5:
            heading = "Too few days to tell"
        elif max(abs(low * span), abs(high * span)) <= MEASUREMENT_ERROR:
            heading = "About the same: within measurement error"
        elif low <= 0 <= high:
            heading = "No clear direction: the numbers leave it open"
        elif change == "WithinMeasurementError":
            heading = "About the same: within measurement error"
        else:
            way = "higher" if slope > 0 else "lower"
            heading = {"ALittle": f"A little {way}, less than most people notice",
                       "WorthNoticing": f"{way.capitalize()}: worth noticing"}[change]
        return {
            "count": len(ratings), "median": float(middle(ratings)),
            "quartiles": [float(quantile(ratings, 0.25)), float(quantile(ratings, 0.75))],
            "a_week": slope * 7.0, "interval": [low * 7.0, high * 7.0], "days": len(ratings),
        }, heading

    def differences(self, name):
        trained = [session for day in days(self.first, self.last) for session in self.log.on(day, name)]
        def part(session):
            hour = moment(session["at"]).hour
            return "Started(Morning)" if 4 <= hour < 12 else "Started(Afternoon)" if 12 <= hour < 18 else "Started(Evening)"
        def hard(session):
            words = {"light": "Light", "as_usual": "AsUsual", "heavy": "Heavy"}
            return f"Worked({words[session['worked_today']]})" if session["worked_today"] else None
        order = [f"Started({part})" for part in ("Morning", "Afternoon", "Evening")]
        order += [f"Worked({hard})" for hard in ("Light", "AsUsual", "Heavy")]
        found = []
        for group in (part, hard):
            during, by_day = {}, {}
            for session in trained:
                rated = [done["rated"]["rating"] for done in worked(session, name) if done["rated"]]
                if group(session) and rated:
                    during.setdefault(group(session), []).append(max(rated))
                by_day.setdefault(session["day"], set()).add(group(session))
            mornings = {}
            for day, groups in by_day.items():
                after = self.log.after(day)
                if len(groups) == 1 and None not in groups and after and name in after["ratings"]:
                    mornings.setdefault(next(iter(groups)), []).append(after["ratings"][name])
            for ratings, groups in (("During", during), ("NextMorning", mornings)):
                found += self.widest(ratings, {key: groups[key] for key in order if len(groups.get(key, ())) >= 5})
        return found

    @staticmethod
    def widest(ratings, groups):
        limit = {2: ONE_IN_TWENTY, 3: ONE_IN_SIXTY}.get(len(groups))
        pairs = [(middle(groups[b]) - middle(groups[a]), a, b) for a in groups for b in groups] if limit else []
        shown = [(apart, a, b) for apart, a, b in pairs
                 if NOTICED_POINTS <= apart and (rank_sum(groups[a], groups[b]) or 0) > limit]
        if not shown:
            return []
        apart, low, high = max(shown, key=lambda pair: pair[0])
        sides = [[group, len(groups[group]), float(middle(groups[group]))] for group in (low, high)]
        numbers = [sides[1][2], sides[1][1], sides[0][2], sides[0][1]]
        return [({"ratings": ratings, "lower": sides[0], "higher": sides[1]}, numbers)]

    # Whether verdicts were followed.

    def followed(self, exercise, trained, said):
        name = exercise["id"]
        came = [self.came_of(name, day) for day in trained]
        same(f"{name} followed", came, said["followed"])
        could = [one for one in came if one and one[1] not in ("new_version", "not_done_since")]
        kept = [one for one in could if one[1] in ("as_told", "more_help")]
        same(f"{name} tally", [len(kept), len(could)], said["tally"])
        return len(kept), len(could)

    def came_of(self, name, day):
        later = [session for session in self.log.sessions if day < session["day"] and worked(session, name)]
        following = min(later, key=lambda session: (session["day"], session["id"]), default=None)
        told = [one for one in self.log.told_about(name, day)
                if following is None or one["at"] <= moment(following["at"])]
        if not told:
            return None
        told = told[-1]
        light = light_of(told)
        if following is None:
            return [light, "not_done_since", None, 0]
        on = following["day"].isoformat()
        if any(told["at"] < moment(accepted["at"]) <= moment(following["at"]) for accepted in self.log.accepted):
            return [light, "new_version", on, 0]
        if on in self.rule[name]["against"]:
            return [light, "while_left_out", on, 0]
        sets, target = worked(following, name), foothold(told["next"])
        followed = self.log.followed(following)
        known = exercise_of(followed["routine"], name) if followed else None
        if target[0] < sets[0]["rung"]:
            return [light, "less_help", on, sets[0]["rung"]]
        if sets[0]["rung"] < target[0]:
            return [light, "more_help", on, sets[0]["rung"]]
        if known and rounds(known, target) < len(sets):
            return [light, "more_sets", on, len(sets)]
        return [light, "as_told", on, 0]

    # What there is to talk about.

    def exercise_points(self, exercise, said):
        name, of_rule = exercise["id"], self.rule[exercise["id"]]
        def add(what, values, numbers):
            self.points.append((name, {what: values}, numbers))
        last = {}
        for told in self.log.told:
            if told["exercise"] == name and self.first <= told["day"]:
                last[told["day"]] = told
        held = sorted(day for day, told in last.items()
                      if light_of(told) == "hold" and not self.log.is_of_a_later_sign(told))
        easiest = sorted(day for day, told in last.items() if "nothing_easier" in told["reasons"])
        if easiest:
            add("nothing_easier", [day.isoformat() for day in easiest], [len(easiest), *(day.day for day in easiest)])
        runs = []
        for day in held:
            if runs and (day - runs[-1][-1]).days < 7:
                runs[-1].append(day)
            else:
                runs.append([day])
        runs = [run for run in runs if len(run) > 1]
        if runs:
            add("holds_in_a_week", [day.isoformat() for day in runs[-1]], [len(runs[-1]), *(day.day for day in runs[-1])])
        this, before = self.weeks[name]
        anchor = self.anchor(name)
        if None not in (this, anchor) and 1 <= this - anchor:
            add("above_the_start", [this, float(anchor)], None)
        high = self.high_days(exercise)
        if high:
            add("high_mornings", [day.isoformat() for day in high], [day.day for day in high])
        silent = self.middle_days_unanswered(name)
        if silent:
            add("middle_unanswered", [day.isoformat() for day in silent], [day.day for day in silent])
        is_rising = None not in (this, before) and 1 <= this - before
        if is_rising:
            add("mornings_rising", [this, before], None)
        below = []
        for session in self.log.sessions:
            if self.first <= session["day"] and name in session["plan"] and (session["ended"] or session["day"] < self.last):
                followed = self.log.followed(session)
                known = exercise_of(followed["routine"], name) if followed else None
                whole = sum(done["ending"] == "complete" for done in worked(session, name))
                below.append((session["day"], whole < rounds(known or exercise, session["plan"][name])))
        run = []
        for day, is_below in reversed(below):
            if not is_below:
                break
            run.insert(0, day)
        if len(run) > 2:
            add("below_dose", [day.isoformat() for day in run], [len(run), *(day.day for day in run)])
        if of_rule["ready"]:
            add("ready", [of_rule["stands"], of_rule["count"]], None)
        weeks = [("During", *self.weekly_worst(name)), ("NextMorning", this, before)]
        for ratings, this, before in weeks:
            is_said = ratings == "NextMorning" and is_rising
            if None not in (this, before) and 1 <= abs(this - before) and not is_said:
                add("changed", [ratings, float(this), float(before), amount(before, this)], None)

    def anchor(self, name):
        """What mornings were like when the routine was taken on: as somebody said, else of the first that count."""
        said, since = None, ""
        facts = [(accepted["id"], accepted["routine"].get("anchor"), accepted) for accepted in self.log.accepted]
        facts += [(event["id"], {"set": {"rating": rating}}, None) for event, rating in self.log.anchors]
        for at, change, accepted in sorted(facts, key=lambda fact: fact[0]):
            change = change if accepted is None or accepted["is_newer"] else None
            if change is None and accepted and accepted["is_another"]:
                change = "clear"
            if change:
                said, since = (None if change == "clear" else change["set"]["rating"]), at
        if said is not None:
            return said
        answered = {date_of(answer["at"]) for answer in self.log.answers if since < answer["id"]}
        counting = [day for day, counts in sorted(self.rule[name]["read"].items()) if counts and day in answered][:7]
        return middle([self.log.mornings[day]["ratings"][name] for day in counting]) if len(counting) > 2 else None

    def high_days(self, exercise):
        """The latest seven days of the period with two days or more of high pain in the morning or at rest."""
        name, highs = exercise["id"], set()
        def is_high(limits, rating):
            return limits["table"]["middle_max"] < rating
        for day in self.rule[name]["read"]:
            if is_high(exercise.get("limits") or self.routine["limits"], self.log.mornings[day]["ratings"][name]):
                highs.add(day)
        for session in self.log.sessions:
            sets = worked(session, name)
            if sets and session["at_rest"] is not None:
                versions = [accepted["routine"] for accepted in self.log.accepted if accepted["id"] < sets[0]["id"]]
                known = [(routine, exercise_of(routine, name)) for routine in versions if exercise_of(routine, name)]
                if known and is_high(known[-1][1].get("limits") or known[-1][0]["limits"], session["at_rest"]):
                    highs.add(session["day"])
        for last in reversed(days(self.first, self.last)):
            of_week = sorted(day for day in highs if 0 <= (last - day).days < 7)
            if len(of_week) > 1:
                return of_week
        return []

    def middle_days_unanswered(self, name):
        """The last two days with a verdict, where both say middle pain and no answer."""
        last = {told["day"]: told for told in self.log.told if told["exercise"] == name}
        def is_silent(day):
            reasons = last[day]["reasons"]
            return day + timedelta(1) < self.last and "morning_not_answered" in reasons and any(
                "during" in reason and reason["during"]["zone"] == "middle" for reason in reasons if isinstance(reason, dict))
        two = sorted(last)[-2:]
        return two if len(two) == 2 and self.first <= two[1] and all(map(is_silent, two)) else []

    def swelling_added_up(self):
        """The latest day of the period with "a little more" for the third time within seven days."""
        asked = {}
        for answer in self.log.answers:
            known = [accepted["routine"] for accepted in self.log.accepted if accepted["id"] < answer["id"]]
            for exercise in self.routine["exercises"]:
                of_versions = [exercise_of(routine, exercise["id"]) for routine in known]
                latest = next((one for one in reversed(of_versions) if one), None)
                if answer["is_of_a_morning"] and latest and latest.get("swelling", "reaches") == "reaches":
                    asked.setdefault(exercise["id"], set()).add(date_of(answer["at"]))
        def is_swollen(day, dates):
            return day in dates and self.log.mornings[day]["swelling"] != "no_more"
        for day in reversed(days(self.first, self.last)):
            for dates in asked.values():
                times = sum(is_swollen(day - timedelta(ago), dates) for ago in range(7))
                if is_swollen(day, dates) and self.log.mornings[day]["swelling"] == "a_little_more" and times > 2:
                    return day
        return None

    def weekly_worst(self, name):
        def of_week(ages):
            worst = []
            for age in ages:
                rated = [done["rated"]["rating"] for session in self.log.on(self.last - timedelta(age), name)
                         for done in worked(session, name) if done["rated"]]
                worst += [max(rated)] if rated else []
            return middle(worst) if len(worst) > 1 else None
        return of_week(range(7)), of_week(range(7, 14))

    def routine_points(self):
        def add(what, values, numbers):
            self.points.append((None, {what: values}, numbers))
        answered, owed = self.mornings["done"], self.mornings["prescribed"]
        if 3 <= owed and answered * 2 < owed:
            add("mornings_unanswered", [answered, owed], [answered, owed])
        swollen = self.swelling_added_up()
        if swollen:
            add("swelling_added_up", swollen.isoformat(), [swollen.day])
        first = max(self.last - timedelta(27), self.log.accepted[0]["day"])
        trained = {day.weekday() for day in days(first, self.last) if self.log.on(day)}
        asked = Counter()
        for day in days(first, self.last)[:-1]:
            routine = self.log.in_force(day)
            if routine and any(self.asks(exercise, day, 0) for exercise in routine["exercises"]):
                asked[day.weekday()] += 1
        never = [[MON_TO_SUN[day].capitalize(), asked[day]] for day in range(7) if asked[day] > 1 and day not in trained]
        if trained and never:
            add("never_on", never, [chances for _, chances in never])
        sessions = [session for session in self.log.sessions if self.first <= session["day"]]
        during = [done["rated"]["rating"] for session in sessions for done in session["sets"] if done["rated"]]
        rated_on = {session["day"] for session in sessions if any(done["rated"] for done in session["sets"])}
        names = {exercise["id"] for exercise in self.routine["exercises"]}
        mornings = [self.log.mornings[day]["ratings"][name] for name in names
                    for day in self.rule[name]["read"] if self.first <= day]
        at_rest = [session["at_rest"] for session in sessions if session["at_rest"] is not None]
        if len(rated_on) > 2 and not any(during + mornings + at_rest):
            add("always_nought", [len(during), len(rated_on)], None)

    def check_points(self, said):
        key = lambda point: json.dumps(point[:2], sort_keys=True)
        counted = sorted(self.points, key=key)
        of_app = sorted(((point["exercise"], point["what"], point["said"]) for point in said), key=key)
        same("talking points", [point[:2] for point in counted], [point[:2] for point in of_app])
        for (name, what, numbers), (_, _, sentence) in zip(counted, of_app):
            if numbers is not None:
                says(f"{name} {what}", sentence, numbers)


# The open formats.

def check_csv(log, review, text):
    assert text.startswith("\ufeff") and text.endswith("\r\n")
    rows = list(csv.DictReader(io.StringIO(text[1:], newline="")))
    counted = []
    first = min([log.accepted[0]["day"], *(session["day"] for session in log.sessions)])
    for day in days(first, log.last_day):
        counted += csv_rows(log, review, day)
    same("rows of the spreadsheet", len(counted), len(rows))
    for place, (cells, row) in enumerate(zip(counted, rows)):
        whole = {name: "" for name in row}
        whole.update({name: guarded(str(cell)) for name, cell in cells.items() if cell is not None})
        for name in ("ended_at", "session_started_at"):
            if row[name]:
                row[name] = moment(row[name]).isoformat()
        same(f"row {place + 1} of the spreadsheet", whole, row)


def csv_rows(log, review, day):
    routine, after = log.in_force(day), log.after(day)
    ratings = after["ratings"] if after else {}
    def of(name):
        return {
            "day": day, "exercise_id": name, "pain_next_morning": ratings.get(name),
            "swelling_next_morning": after["swelling"] if after else None,
            "light": review.light(name, day), "sessions_due": review.came(name, day)[0],
        }
    rows = []
    for session in (session for session in log.sessions if session["day"] == day):
        followed = log.followed(session)
        for done in session["sets"]:
            known = exercise_of(followed["routine"], done["exercise"]) if followed else None
            dose = dose_on(known, done["rung"]) if known else {}
            rated, prescribed = done["rated"] or {}, review.prescribed_sets(session, done["exercise"])
            rungs = known["ladder"]["rungs"] if known else []
            rows.append({
                **of(done["exercise"]), "row": "set", "ended_at": moment(done["at"]).isoformat(),
                "exercise": known and known["name"], "routine_id": session["routine"],
                "routine_version": session["version"], "set": done["number"], "rung": done["rung"],
                "help": rungs[min(done["rung"], len(rungs)) - 1]["help"] if rungs else None,
                "reps": done["reps"], "prescribed_reps": dose and dose["reps"] * (2 if dose.get("sides") == "in_turn" else 1), "work_seconds": done["work_secs"],
                "load": load_words(dose.get("load")), "ending": done["ending"], "pain_during": rated.get("rating"),
                "site": rated.get("site"), "pain_at_rest": session["at_rest"],
                "worked_today": session["worked_today"], "session_id": session["id"],
                "session_started_at": moment(session["at"]).isoformat(),
                "prescribed_sets": prescribed and prescribed[0], "sets_taken_off": prescribed and prescribed[1],
            })
    names = [exercise["id"] for exercise in routine["exercises"]] if routine else []
    names += sorted(name for name in ratings if name not in names)
    for name in names:
        kind, known = review.came(name, day)[2], exercise_of(routine, name)
        if kind in ("missed", "left_out") or (kind == "not_due" and name in ratings):
            rows.append({**of(name), "row": kind, "exercise": known and known["name"],
                         "routine_id": routine and routine["id"], "routine_version": routine and routine["version"]})
    if not rows and after:
        rows.append({"day": day, "row": "not_due", "sessions_due": 0, "swelling_next_morning": after["swelling"],
                     "routine_id": routine and routine["id"], "routine_version": routine and routine["version"]})
    return rows


def guarded(cell):
    """An apostrophe where any reader could find the beginning of a formula."""
    return re.sub(r"(^|[,;\t\r\n])([\s\"\u200b\ufeff]*?)(?=[=+\-@\t\r\n＝＋－＠])", r"\1\2'", cell)


def load_words(load):
    if load is None:
        return None
    if "described" in load:
        return load["described"]
    number = load["weight"]["amount"]
    return f"{int(number) if number == int(number) else number} {load['weight']['unit']}"


def check_fhir(log, bundle):
    by_kind = {}
    for entry in bundle["entry"]:
        by_kind.setdefault(entry["resource"]["resourceType"], []).append(entry["resource"])
    requests = [exercise for accepted in log.accepted for exercise in accepted["routine"]["exercises"]]
    for kind, number in (("Patient", 1), ("CarePlan", len(log.accepted)), ("ServiceRequest", len(requests)),
                         ("Procedure", sum(len(session["sets"]) for session in log.sessions))):
        same(f"{kind} entries", number, len(by_kind.get(kind, [])))
    for exercise, request in zip(requests, by_kind.get("ServiceRequest", [])):
        check_request(exercise, request)
    check_procedures(log, by_kind.get("Procedure", []))
    seen = Counter()
    for observation in by_kind.get("Observation", []):
        at = moment(observation["effectiveDateTime"]).isoformat()
        value = observation["valueQuantity"]["value"] if "valueQuantity" in observation else observation["valueString"]
        site = observation.get("bodySite", {}).get("text")
        seen[observation["code"]["text"], at, value, site, observation["status"]] += 1
    counted = expected_observations(log)
    differ = {**(counted - seen), **{key: -number for key, number in (seen - counted).items()}}
    if differ:
        raise Differs(f"observations (counted less said): {differ!r}")


def check_request(exercise, request):
    dose = dose_on(exercise, exercise["ladder"]["start"])
    repeat = request["occurrenceTiming"]["repeat"]
    asked = [day for day in MON_TO_SUN if day in exercise["dose"].get("days", [])]
    same(f"{exercise['id']} timing", [exercise["dose"].get("times_a_day", 1), asked],
         [repeat["frequency"], repeat.get("dayOfWeek", [])])
    tempo = ", ".join(f"{phase['action']} {phase['secs']} s" + (f" ({phase['how']})" if phase.get("how") else "")
                      for phase in dose["tempo"])
    sides = {"left": "; left side", "right": "; right side", "in_turn": "; left, then right, in each set",
             "one_after_the_other": "; all sets on the left, then all on the right"}.get(dose.get("sides"), "")
    load = load_words(dose.get("load"))
    words = f"{count(dose['sets'], 'set')} of {count(dose['reps'], 'rep')}: {tempo}; rest {dose['rest_secs']} s{sides}"
    same(f"{exercise['id']} instruction", words + (f"; {load}" if load else ""), request["patientInstruction"])
    rungs = exercise["ladder"]["rungs"]
    loads = [load_words(dose_on(exercise, number + 1).get("load")) for number in range(len(rungs))]
    def unnamed(rung, load):
        named = load and re.search(rf"(?<![\d.]){re.escape(load.lower())}", rung["help"].lower())
        return f", {load}" if load and not named and len(set(loads)) > 1 else ""
    helps = [f"{number}. {rung['help']}{unnamed(rung, load)}" for number, (rung, load) in enumerate(zip(rungs, loads), 1)]
    ladder = f"Help, most first: {'; '.join(helps)}. Start on rung {exercise['ladder']['start']}, not above rung " \
             f"{exercise['ladder']['ceiling']} before the next visit."
    same(f"{exercise['id']} ladder", ladder, request["note"][0]["text"])


def check_procedures(log, procedures):
    sets = [(session, done) for session in log.sessions for done in session["sets"]]
    for (session, done), procedure in zip(sets, procedures):
        followed = log.followed(session)
        known = exercise_of(followed["routine"], done["exercise"]) if followed else None
        rungs = known["ladder"]["rungs"] if known else []
        help = f" ({rungs[min(done['rung'], len(rungs)) - 1]['help']})" if rungs else ""
        words = f"Set {done['number']}: {count(done['reps'], 'rep')}, {count(done['work_secs'], 'second')} of work, " \
                f"rung {done['rung']}{help}"
        status = {"complete": "completed", "short": "stopped", "pain": "stopped", "left_out": "not-done"}[done["ending"]]
        same("procedure", [words, status, moment(done["at"])],
             [procedure["note"][0]["text"], procedure["status"], moment(procedure["performedDateTime"])])


def expected_observations(log):
    counted = Counter()
    def add(what, at, value, site=None, status="final"):
        counted[what, moment(at).isoformat(), value, site, status] += 1
    for session in log.sessions:
        followed = log.followed(session)
        if session["at_rest"] is not None:
            add("Pain at rest before the session", session["at"], session["at_rest"])
        for done in session["sets"]:
            known = exercise_of(followed["routine"], done["exercise"]) if followed else None
            if done["rated"]:
                name = known["name"] if known else done["exercise"]
                add(f"Worst pain during a set: {name}", done["at"], done["rated"]["rating"], done["rated"]["site"])
    # One observation for each exercise of a morning: of several answers the worse, the first of such.
    dates, nights = {}, []
    for answer in log.answers:
        if answer["is_of_a_morning"]:
            dates.setdefault(date_of(answer["at"]), []).append(answer)
        else:
            nights.append([answer])
    for when, groups in (("this morning", dates.values()), ("in the night", nights)):
        for answers in groups:
            worst = {}
            for answer in answers:
                for exercise, rating in answer["ratings"].items():
                    if exercise not in worst or worst[exercise][0] < rating:
                        worst[exercise] = (rating, answer)
            for exercise, (rating, answer) in worst.items():
                before = [accepted for accepted in log.accepted if accepted["id"] < answer["id"]]
                known = exercise_of(before[-1]["routine"], exercise) if before else None
                add(f"Pain {when}: {known['name'] if known else exercise}", answer["at"], rating)
            swollen = max(answers, key=lambda answer: SWELLINGS.index(answer["swelling"]))
            add("Swelling against the day before", swollen["at"], swollen["swelling"].replace("_", " "))
    for event, signs in log.signs:
        for sign, is_slip in set(signs):
            status = "entered-in-error" if is_slip else "final"
            add("Warning sign ticked by the client", event["at"], sign.replace("_", " "), status=status)
    for event, text in log.notes:
        add("Note by the client", event["at"], text)
    for event, rating in log.anchors:
        add("Pain on a usual morning lately", event["at"], rating)
    for event, kind, what in log.facts:
        if kind == "told_to_go_on":
            add("Told by the client", event["at"], "Someone qualified said to go on")
        elif kind == "go_ahead" and what["lifts"] == "warning_sign":
            add("Told by the client", event["at"], "Someone qualified has looked at the warning sign")
        elif kind == "go_ahead":
            named = "all that was stopped" if what["lifts"] == "all" else what["lifts"]["exercise"]
            add("Told by the client", event["at"], f"Someone qualified said to go on with {named}")
    return counted


# What the rule was given, and what must hold of it.

def check_rule(log, rule):
    """A day that was left out comes after a Hold or a sign that was told. A morning that was answered in time was
    read, and none that counts as usual brought a Hold or was up clearly."""
    for name, of_rule in rule.items():
        for left in map(date.fromisoformat, of_rule["left_out"]):
            if log.on(left, name):
                continue  # A set in the high zone ends the day, whatever its light.
            held = [told for told in log.told if told["exercise"] == name and told["day"] <= left
                    and light_of(told) == "hold"]
            if not held and not any(day <= left for day in log.warned):
                raise Differs(f"{name} was left out on {left}, and no Hold was told before")
        known = [one["id"] for one in log.accepted if exercise_of(one["routine"], name)]
        for answer in log.answers:
            if answer["is_in_time"] and name in answer["ratings"] and known[0] < answer["id"] \
                    and date_of(answer["at"]) not in of_rule["read"]:
                raise Differs(f"{name}: the answer in time of {answer['at']} was not read")
        for morning in (day for day, counts in of_rule["read"].items() if counts):
            told = log.told_about(name, morning - timedelta(1))
            is_clear = told and any("morning" in reason and reason["morning"]["settling"] == "up_clearly"
                                    for reason in told[-1]["reasons"] if isinstance(reason, dict))
            is_held = told and light_of(told[-1]) == "hold" and "warning_sign" not in told[-1]["reasons"]
            if is_held or is_clear:
                raise Differs(f"{name}: the morning of {morning} counts as usual after {told[-1]!r}")


def recount(folder, name):
    log = Log((folder / f"{name}.log.txt").read_text(encoding="utf-8"))
    said = json.loads((folder / f"{name}.numbers.json").read_text(encoding="utf-8"))
    for of_rule in said["rule"].values():
        of_rule["read"] = {date.fromisoformat(day): counts for day, _, counts in of_rule["mornings"]}
        of_rule["rated"] = {date.fromisoformat(day): rating for day, rating, _ in of_rule["mornings"]}
    log.read_mornings(said["rule"])
    check_rule(log, said["rule"])
    accepted = log.accepted[0]["day"]
    earlier = [one["day"] for one in log.accepted if one["day"] < log.last_day]
    begins = [accepted, max(earlier, default=accepted)]
    same("periods", [[first.isoformat(), log.last_day.isoformat()] for first in begins],
         [[review["from"], review["to"]] for review in said["reviews"]])
    reviews = [Review(log, said["rule"], first, log.last_day) for first in begins]
    for review, of in zip(reviews, said["reviews"]):
        review.check(of)
    sessions = sum(bool(worked(session)) for session in log.sessions)
    same("what the log holds", f"{count(sessions, 'session')} and {count(len(log.mornings), 'morning answer')}", said["holds"])
    check_csv(log, reviews[0], said["csv"])
    check_fhir(log, said["fhir"])


def main():
    folder, *names = sys.argv[1:]
    failed = 0
    for name in names:
        try:
            recount(Path(folder), name)
        except Differs as differs:
            failed += 1
            print(f"{name}: {differs}")
    print(f"{len(names)} logs, {failed} with a number that differs")
    sys.exit(1 if failed or not names else 0)


if __name__ == "__main__":
    main()
