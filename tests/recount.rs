//! Every number a second time: what the review, the visit note and the open formats say of two hundred
//! random logs and of the filed ones, recounted from the log files by a program in another language.
//!
//! `tests/recount/recount.py` shares no code with the app, and `docs/numbers.md` defines each number for
//! both. What the rule itself decides is not counted again here: `tests/rule_model.rs` does that.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use carryover::domain::log::course::{Availability, Course};
use carryover::domain::log::history::History;
use carryover::domain::pain::{HalfPoints, PainRating};
use carryover::domain::plan::ladder::Foothold;
use carryover::domain::visit::differences::{Difference, differences};
use carryover::domain::visit::following::{Followed, followed, tally};
use carryover::domain::visit::glance::Glance;
use carryover::domain::visit::readings::{self, at_site, reading, sites};
use carryover::domain::visit::review::{DayDone, Done, ExerciseReview, Review};
use carryover::domain::visit::statistics::{Confidence, wilson};
use carryover::domain::visit::talking::{TalkingPoint, What, talking_points};
use carryover::exchange::file::{self, File};
use carryover::exchange::record::Record;
use carryover::exchange::{csv, fhir};
use carryover::ui::text::fhir::in_words;
use carryover::ui::text::visit_note::{AtVisit, visit_note};
use carryover::ui::text::{log, review as said, talking, trend};
use chrono::NaiveDate;
use serde_json::{Map, Value, json};
use support::random_logs::random_log;

const RANDOM_LOGS: u64 = 200;

#[test]
fn every_number_is_what_another_program_counts() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("recount");
    fs::create_dir_all(&folder).unwrap();
    let mut logs: Vec<(String, String)> = filed();
    logs.extend((0..RANDOM_LOGS).map(|number| {
        let records: Vec<Record> = random_log(number).into_iter().map(Record::new).collect();
        (format!("random-{number}"), file::print_log(&records))
    }));
    for (name, text) in &logs {
        fs::write(folder.join(format!("{name}.log.txt")), text).unwrap();
        let numbers = numbers(&records_of(text));
        fs::write(folder.join(format!("{name}.numbers.json")), numbers.to_string()).unwrap();
    }
    let names: BTreeSet<&str> = logs.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names.len(), logs.len(), "a name stands twice");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/recount/recount.py");
    let counted = Command::new("python3").arg(script).arg(&folder).args(names).output();
    let counted = counted.unwrap_or_else(|error| panic!("python3 does not run: {error}"));
    let said = String::from_utf8_lossy(&counted.stdout);
    assert!(counted.status.success(), "{said}{}", String::from_utf8_lossy(&counted.stderr));
    assert!(said.contains(&format!("{} logs", logs.len())), "{said}");
}

/// The logs that are filed, and the example of the page that explains the format.
fn filed() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures");
    let files = ["formats/month.log.txt", "formats/three-weeks.log.txt", "released/log-1.txt"];
    let read = |name: &str| {
        let text = fs::read_to_string(folder.join(name)).unwrap();
        (name.replace(['/', '.'], "-"), text)
    };
    let page = include_str!("../docs/file-format.md");
    let (_, rest) = page.split_once("```json\n").unwrap();
    let example = ("example".to_owned(), rest.split_once("```").unwrap().0.to_owned());
    files.into_iter().map(read).chain([example]).collect()
}

fn records_of(text: &str) -> Vec<Record> {
    let Ok(File::Log(records)) = file::parse(text) else { panic!("not a log") };
    records
}

/// All that the screens and the exporters say of a log, through the functions that they call.
fn numbers(records: &[Record]) -> Value {
    let history = History::fold(records.iter().map(|record| &record.event));
    let from_first = history.accepted()[0].at.date_naive();
    let since_last = Review::begins(&history, &[]).unwrap();
    let reviews: Vec<Value> = [from_first, since_last]
        .into_iter()
        .map(|from| review_numbers(&history, &Review::of(&history, from).unwrap()))
        .collect();
    json!({
        "rule": by_the_rule(&history),
        "reviews": reviews,
        "glance": Glance::of(&history, &[]).map(|glance| glance.last_day),
        "holds": log::what_it_holds(&history),
        "csv": csv::print(&history),
        "fhir": fhir::bundle(records, in_words),
    })
}

/// What the rule decides, and the recount takes from it.
fn by_the_rule(history: &History) -> Value {
    let to = history.last_day().unwrap();
    let days = || history.accepted()[0].at.date_naive().iter_days().take_while(|day| *day <= to);
    let known: BTreeSet<_> = history
        .accepted()
        .iter()
        .flat_map(|accepted| accepted.routine.exercises())
        .map(|exercise| exercise.id.clone())
        .collect();
    let of = |course: &Course| {
        let mornings = course
            .mornings()
            .iter()
            .map(|morning| json!([morning.date, morning.rating, morning.counts]));
        json!({
            "left_out": days().filter(|day| course.was_left_out_on(*day)).collect::<Vec<_>>(),
            "against": days().filter(|day| course.was_done_against(*day)).collect::<Vec<_>>(),
            "stands": foothold(course.foothold()),
            "stood": course.judged().iter().map(|judged| {
                json!([judged.day, foothold(judged.from)])
            }).collect::<Vec<_>>(),
            "ready": course.ready_for_next_step(),
            "count": course.count(),
            "is_open": course.availability(to) == Availability::Open,
            "mornings": mornings.collect::<Vec<_>>(),
        })
    };
    let all = known.iter().filter_map(|id| Some((id.as_str().to_owned(), of(history.course(id)?))));
    Value::Object(all.collect::<Map<_, _>>())
}

fn review_numbers(history: &History, review: &Review) -> Value {
    let points = talking_points(history, review);
    let note = visit_note(&AtVisit {
        label: "round 7",
        day: review.to,
        history,
        review: Some(review),
        points: &points,
        put_aside: &BTreeSet::new(),
        next: None,
        agreed: None,
    });
    let exercises = review.exercises.iter().map(|exercise| of_exercise(history, review, exercise));
    json!({
        "from": review.from,
        "to": review.to,
        "sessions": done(review.sessions),
        "mornings": done(review.mornings),
        "mornings_said": said::mornings(review.mornings),
        "warned": review.warned,
        "exercises": exercises.collect::<Vec<_>>(),
        "points": points.iter().map(point).collect::<Vec<_>>(),
        "note": note,
    })
}

fn done(done: Done) -> Value {
    let interval = wilson(done.done, done.prescribed, Confidence::NinetyFive);
    json!({
        "prescribed": done.prescribed,
        "done": done.done,
        "extra": done.extra,
        "left_out": done.left_out,
        "interval": interval.map(|interval| [interval.low, interval.high]),
        "said": said::of(done),
        "share_said": interval.map(trend::share),
    })
}

fn foothold(at: Foothold) -> Value {
    json!([at.rung.get(), at.fewer_sets])
}

fn half(points: Option<HalfPoints>) -> Option<f64> {
    points.map(HalfPoints::points)
}

fn points(rating: Option<PainRating>) -> Option<u8> {
    rating.map(PainRating::points)
}

fn of_exercise(history: &History, review: &Review, exercise: &ExerciseReview) -> Value {
    let id = &exercise.exercise.id;
    let limits = history.course(id).map(Course::limits);
    let days: Vec<NaiveDate> = exercise.days.iter().map(|day| day.day).collect();
    let cost = readings::cost(exercise);
    let sites = sites(exercise, limits);
    let by_site = sites.iter().map(|site| json!([site, at_site(exercise, site)]));
    let differ = differences(history, id, review.from, review.to);
    json!({
        "id": id,
        "name": exercise.exercise.name,
        "done": done(exercise.done),
        "done_said": said::done(exercise),
        "started_at": foothold(exercise.started_at),
        "now_at": foothold(exercise.now_at),
        "rungs_said": said::rungs(exercise),
        "rungs_alone": said::rungs_alone(exercise),
        "rung_changed": exercise.rung_changed(),
        "ready": exercise.ready_for_next_step,
        "missed": exercise.missed,
        "left_out": exercise.left_out,
        "lights": exercise.lights,
        "lights_said": said::lights(exercise),
        "happened": said::happened(exercise, review),
        "worst": points(exercise.worst),
        "typical_morning": half(exercise.typical_morning),
        "weeks": [half(exercise.weekly_mornings.0), half(exercise.weekly_mornings.1)],
        "stops": exercise.stops,
        "days": exercise.days.iter().map(day).collect::<Vec<_>>(),
        "during": series(&readings::during(exercise)),
        "next_mornings": series(&readings::next_mornings(exercise)),
        "by_site": by_site.collect::<Vec<_>>(),
        "cost": cost.map(|cost| json!({
            "pairs": cost.pairs,
            "mean": cost.mean,
            "interval": cost.interval.map(|interval| [interval.low, interval.high]),
        })),
        "readings": trend::all_readings(exercise, limits),
        "differences": differ.iter().map(difference).collect::<Vec<_>>(),
        "followed": days.iter().map(|day| came(history, id, *day)).collect::<Vec<_>>(),
        "tally": tally(history, id, &days),
    })
}

fn day(day: &DayDone) -> Value {
    let sites = day.sites.iter().map(|(site, worst)| json!([site, worst]));
    json!({
        "day": day.day,
        "sets": day.sets,
        "in_part": day.in_part,
        "planned_sets": day.planned_sets,
        "sets_said": said::sets(day),
        "at": foothold(day.at),
        "worst": points(day.worst),
        "sites": sites.collect::<Vec<_>>(),
        "at_rest": points(day.at_rest),
        "worked_today": day.worked_today,
        "stops": day.stops,
        "morning": points(day.morning),
        "swelling": day.swelling,
        "told": day.told.iter().map(|told| told.order.light()).collect::<Vec<_>>(),
    })
}

fn series(series: &[(NaiveDate, PainRating)]) -> Value {
    let Some((spread, trend)) = reading(series) else { return Value::Null };
    json!({
        "count": spread.count,
        "median": spread.median,
        "quartiles": [spread.quartiles.low, spread.quartiles.high],
        "a_week": trend.a_week(),
        "interval": [trend.line.slope_interval.low * 7.0, trend.line.slope_interval.high * 7.0],
        "days": trend.line.points,
    })
}

fn difference(difference: &Difference) -> Value {
    let side = |side: &carryover::domain::visit::differences::Side| {
        json!([format!("{:?}", side.group), side.count, side.median])
    };
    json!({
        "ratings": format!("{:?}", difference.ratings),
        "lower": side(&difference.lower),
        "higher": side(&difference.higher),
        "said": trend::difference(difference),
    })
}

/// What became of the verdict about a day, and on which day and rung or with how many sets.
fn came(history: &History, exercise: &carryover::domain::words::Id, day: NaiveDate) -> Value {
    let Some((told, came)) = followed(history, exercise, day) else { return Value::Null };
    let (name, on, number) = match came {
        Followed::AsTold { on } => ("as_told", Some(on), 0),
        Followed::WhileLeftOut { on } => ("while_left_out", Some(on), 0),
        Followed::LessHelp { on, rung } => ("less_help", Some(on), rung.get()),
        Followed::MoreHelp { on, rung } => ("more_help", Some(on), rung.get()),
        Followed::MoreSets { on, sets } => ("more_sets", Some(on), sets),
        Followed::NewVersion { on } => ("new_version", Some(on), 0),
        Followed::NotDoneSince => ("not_done_since", None, 0),
    };
    json!([told.order.light(), name, on, number])
}

/// A talking point by its numbers, and the sentence that has them.
fn point(point: &TalkingPoint) -> Value {
    let numbers = match &point.what {
        What::NothingEasier { days } => json!({ "nothing_easier": days }),
        What::HoldsInAWeek { days } => json!({ "holds_in_a_week": days }),
        What::AboveTheStart { this_week, anchor } => {
            json!({ "above_the_start": [this_week.points(), anchor.points()] })
        }
        What::HighMornings { days } => json!({ "high_mornings": days }),
        What::SwellingAddedUp { on } => json!({ "swelling_added_up": on }),
        What::MiddleUnanswered { days } => json!({ "middle_unanswered": days }),
        What::MorningsRising { this_week, last_week } => {
            json!({ "mornings_rising": [this_week.points(), last_week.points()] })
        }
        What::BelowDose { days } => json!({ "below_dose": days }),
        What::ReadyForNextRung { at, days_in_a_row } => {
            json!({ "ready": [foothold(*at), days_in_a_row] })
        }
        What::Changed { ratings, this_week, last_week, amount } => json!({ "changed": [
            format!("{ratings:?}"), this_week.points(), last_week.points(), format!("{amount:?}")
        ] }),
        What::MorningsUnanswered { answered, owed } => {
            json!({ "mornings_unanswered": [answered, owed] })
        }
        What::AlwaysNought { ratings, days } => json!({ "always_nought": [ratings, days] }),
        What::NeverOn { weekdays } => {
            let days = weekdays.iter().map(|(day, chances)| (day.to_string(), chances));
            json!({ "never_on": days.collect::<Vec<_>>() })
        }
    };
    let exercise = point.exercise.as_ref();
    json!({ "exercise": exercise, "what": numbers, "said": talking::sentence(&point.what) })
}
