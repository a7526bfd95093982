//! How long it takes to take in logs that were handed back and to work out all that a visit's page shows,
//! as multiples of what reading the same JSON alone takes, as JSON:
//!
//!     cargo run --release --example review_speed
//!
//! With the word `log` behind it, the log of a client-year itself, or of as many years as are named.
//!
//! A client-year is a year of daily sessions in the evening with the four exercises and three sets of each,
//! every set rated, every morning answered, and every verdict told, under one version of the routine: the
//! first review reads all of it.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a measurement that stops when it fails, and that needs a clock"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::time::Instant;

use carryover::domain::event_id::EventId;
use carryover::domain::log::belonging::{Belonging, belonging};
use carryover::domain::log::course::{Availability, Course};
use carryover::domain::log::event::{Ending, Event, Fact, Planned, SetRef, WorkedToday};
use carryover::domain::log::history::History;
use carryover::domain::log::rule::Swelling;
use carryover::domain::pain::PainRating;
use carryover::domain::plan::routine::Routine;
use carryover::domain::visit::caseload::Client;
use carryover::domain::visit::differences::differences;
use carryover::domain::visit::following::followed;
use carryover::domain::visit::glance::Glance;
use carryover::domain::visit::review::Review;
use carryover::domain::visit::talking::talking_points;
use carryover::domain::visit::trend::Trend;
use carryover::domain::words::{Id, Words};
use carryover::exchange::file::{self, File, print_log};
use carryover::exchange::record::Record;
use carryover::store::backend::{self, BackendError, Entry, Shelf, Strip};
use carryover::store::caseload::Caseload;
use carryover::ui::text::visit_note::{AtVisit, visit_note};
use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};
use serde_json::{Value, json};

const ROUTINE: &str = include_str!("../public/routines/demo.json");
const FIRST_DAY: NaiveDate = NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
const YEAR: usize = 365;
const CLIENTS: u64 = 100;
/// Years in the longer logs of one client.
const LONGER: [usize; 4] = [1, 2, 4, 8];
const SETS: u16 = 3;
/// Times that each short measurement is repeated; the middle one counts.
const REPEATS: usize = 5;

/// A shelf that has always written everything at once: the store's own work is measured, no device's.
struct Shelved;

/// It has no files.
struct NoFiles;

impl Strip for NoFiles {
    fn read(
        &self,
        _file: backend::File,
        _last: Option<u32>,
    ) -> impl Future<Output = Result<Vec<u8>, BackendError>> + use<> {
        std::future::ready(Err(BackendError::Denied))
    }

    fn append(&self, _text: &str) -> impl Future<Output = Result<(), BackendError>> + use<> {
        std::future::ready(Err(BackendError::Denied))
    }

    fn write(
        &self,
        _file: backend::File,
        _text: &str,
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        std::future::ready(Err(BackendError::Denied))
    }

    fn answered(&self) -> impl Future<Output = ()> + use<> {
        std::future::ready(())
    }
}

impl Shelf for Shelved {
    type Strip = NoFiles;

    fn strip(&self) -> Option<NoFiles> {
        None
    }

    async fn reconnect(&self) -> Result<(), BackendError> {
        Ok(())
    }

    async fn read(&self) -> Result<Vec<Entry>, BackendError> {
        Ok(Vec::new())
    }

    fn change(
        &self,
        put: &[Entry],
        _take: &[String],
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        std::hint::black_box(put.len());
        std::future::ready(Ok(()))
    }

    fn leave(&self) -> impl Future<Output = ()> + use<> {
        std::future::ready(())
    }
}

fn main() {
    let year = log(0, YEAR);
    if std::env::args().nth(1).as_deref() == Some("log") {
        let years = std::env::args().nth(2).map_or(1, |years| years.parse().unwrap());
        print!("{}", log(0, years * YEAR));
        return;
    }
    let parse = || drop(serde_json::from_str::<Value>(&year).unwrap());
    let [parsed, reviewed] = middles([&parse, &|| first_review(&[&year])]);

    let years: Vec<String> = (0..CLIENTS).map(|client| log(client, YEAR)).collect();
    let years: Vec<&str> = years.iter().map(String::as_str).collect();
    let parse = || years.iter().for_each(|year| drop(serde_json::from_str::<Value>(year).unwrap()));
    let parsed_all = secs(parse);
    let reviewed_all = secs(|| first_review(&years));
    let caseload = take_in(&years);
    let glanced = secs(|| glance(&caseload));
    drop(caseload);

    let logs = LONGER.map(|years| log(0, years * YEAR));
    let [one, two, four, eight] = logs.each_ref().map(|log| move || first_review(&[log]));
    let longer = middles([&one, &two, &four, &eight]);
    let grown = LONGER.iter().zip(longer).skip(1).map(|(years, secs)| {
        let times = f64::from(u16::try_from(*years).unwrap());
        (format!("{years}y"), secs / (times * longer[0]))
    });
    let growth: BTreeMap<String, f64> = grown.collect();
    let millis = |secs: f64| secs * 1000.0;
    println!(
        "{}",
        json!({
            "bytes_1y": year.len(),
            "parse_1y_ms": millis(parsed),
            "review_1y_ms": millis(reviewed),
            "ratio_to_parse_1y": reviewed / parsed,
            "parse_100y_ms": millis(parsed_all),
            "review_100y_ms": millis(reviewed_all),
            "ratio_to_parse_100y": reviewed_all / parsed_all,
            "growth_100y": reviewed_all / (100.0 * reviewed),
            "growth_of_one_log": growth,
            "glance_100_ms": millis(glanced),
            "glance_100_ratio_to_parse": glanced / parsed_all,
        })
    );
}

/// Takes the logs in, one client each, and works out what each visit's page shows.
fn first_review(logs: &[&str]) {
    let caseload = take_in(logs);
    for (id, client) in caseload.clients() {
        std::hint::black_box(visit(&caseload, &id, &client));
    }
}

fn take_in(logs: &[&str]) -> Caseload<Shelved> {
    let caseload = pollster::block_on(Caseload::open(Shelved)).unwrap();
    for (number, log) in logs.iter().enumerate() {
        let File::Log(records) = file::parse(log).unwrap() else { panic!("a log") };
        let accepted = |record: &Record| {
            let Fact::RoutineAccepted { routine } = &record.event.what else { return None };
            Some((**routine).clone())
        };
        let routine = records.iter().find_map(accepted).unwrap();
        let whose = belonging(&[&routine], &caseload.known(&records), None);
        assert!(matches!(whose, Belonging::Asked(_)));
        let id = Id::new(&format!("client-{number}")).unwrap();
        let client = Client::new(Words::new("A client").unwrap(), FIRST_DAY);
        pollster::block_on(caseload.put_client(&id, client)).unwrap();
        pollster::block_on(caseload.add_routine(&id, routine)).unwrap();
        let new = caseload.join_log(&id, &records).unwrap();
        assert_eq!(new.len(), records.len());
        pollster::block_on(caseload.save()).unwrap();
    }
    caseload
}

/// All that a visit's page works out, less drawing it; the length of its words.
fn visit(caseload: &Caseload<Shelved>, id: &Id, client: &Client) -> usize {
    let history = caseload.history(id);
    let review = Review::of(&history, Review::begins(&history, &[]).unwrap()).unwrap();
    let points = talking_points(&history, &review);
    let mut read = 0;
    for exercise in &review.exercises {
        let id = &exercise.exercise.id;
        read += exercise.days.iter().filter_map(|day| followed(&history, id, day.day)).count();
        read += differences(&history, id, review.from, review.to).len();
        let during: Vec<_> =
            exercise.days.iter().filter_map(|day| Some((day.day, day.worst?))).collect();
        let mornings = history.course(id).map(Course::mornings).unwrap_or_default();
        let mornings: Vec<_> =
            mornings.iter().map(|morning| (morning.date, morning.rating)).collect();
        read += [Trend::of(&during), Trend::of(&mornings)].iter().flatten().count();
    }
    let note = visit_note(&AtVisit {
        label: client.label.as_str(),
        day: review.to,
        history: &history,
        review: Some(&review),
        points: &points,
        put_aside: &BTreeSet::new(),
        next: history.routine(),
        agreed: None,
    });
    read + note.len()
}

/// What the caseload's page says of every client.
fn glance(caseload: &Caseload<Shelved>) {
    for (id, _) in caseload.clients() {
        std::hint::black_box(Glance::of(&caseload.history(&id), &[]));
    }
}

/// A log of so many days as its file has it; another number gives another client.
fn log(client: u64, days: usize) -> String {
    let File::Routine(file) = file::parse(ROUTINE).unwrap() else { panic!("a routine") };
    let mut routine: Value = serde_json::from_str(file.as_filed.get()).unwrap();
    routine["id"] = json!(format!("round-{client}"));
    for exercise in routine["exercises"].as_array_mut().unwrap() {
        exercise["dose"]["sets"] = json!(SETS);
    }
    let routine: Routine = serde_json::from_value(routine).unwrap();
    let mut story = Story { events: Vec::new(), history: History::default(), state: client };
    story.note(at(FIRST_DAY, 6, 0), Fact::RoutineAccepted { routine: Box::new(routine.clone()) });
    for day in FIRST_DAY.iter_days().take(days) {
        story.morning(day);
        story.session(day, &routine);
    }
    print_log(&story.events.into_iter().map(Record::new).collect::<Vec<_>>())
}

fn at(day: NaiveDate, hour: u32, minute: u32) -> DateTime<FixedOffset> {
    let offset = FixedOffset::east_opt(3600).unwrap();
    day.and_hms_opt(hour, minute, 0).unwrap().and_local_timezone(offset).unwrap()
}

struct Story {
    events: Vec<Event>,
    history: History,
    state: u64,
}

impl Story {
    fn note(&mut self, at: DateTime<FixedOffset>, what: Fact) -> EventId {
        let last = self.events.last().map(|event| event.id);
        let millis = u64::try_from(at.timestamp_millis()).unwrap();
        let id = EventId::after(
            last,
            millis,
            self.state.to_le_bytes()[..8].repeat(2)[..10].try_into().unwrap(),
        );
        self.events.push(Event { id, at, zone: None, what });
        self.history.catch_up(self.events.iter());
        id
    }

    /// `SplitMix64` (Steele, Lea and Flood 2014, from memory): the same logs in every run.
    fn random(&mut self, below: u64) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)) % below
    }

    /// Mostly low, at times in the middle zone, seldom high.
    fn points(&mut self) -> PainRating {
        let points = match self.random(60) {
            0 => 6,
            1..=5 => 3 + self.random(3),
            _ => self.random(3),
        };
        PainRating::new(i64::try_from(points).unwrap()).unwrap()
    }

    fn tell(&mut self, at: DateTime<FixedOffset>) {
        for fact in self.history.untold_verdicts() {
            self.note(at, fact);
        }
    }

    fn morning(&mut self, day: NaiveDate) {
        let now = at(day, 7, 0);
        let Some(owed) = self.history.owed_morning(now) else { return };
        let ratings = owed.exercises.into_iter().map(|id| (id, self.points())).collect();
        let swelling = Swelling::NoMore;
        self.note(now, Fact::MorningAnswered { after: owed.after, ratings, swelling });
        self.tell(now);
    }

    fn session(&mut self, day: NaiveDate, routine: &Routine) {
        let mut now = at(day, 18, 0);
        let today = self.history.today(day);
        if today.iter().any(|line| matches!(line.availability, Availability::Stopped(_))) {
            self.note(now, Fact::ToldToGoOn);
        }
        let today = self.history.today(day);
        let open = today.into_iter().filter(|line| line.availability == Availability::Open);
        let plan: Vec<Planned> =
            open.map(|line| Planned { exercise: line.exercise.id, from: line.foothold }).collect();
        let started = Fact::SessionStarted {
            routine: routine.id.clone(),
            version: routine.version,
            at_rest: Some(self.points()),
            worked_today: Some(WorkedToday::AsUsual),
            plan: plan.clone(),
        };
        let session = self.note(now, started);
        for Planned { exercise, from } in plan {
            for number in 1..=SETS {
                now += TimeDelta::seconds(90);
                let set = SetRef { session, exercise: exercise.clone(), number };
                let (rung, ending) = (from.rung, Ending::Complete);
                let ended =
                    Fact::SetEnded { set: set.clone(), rung, reps: 10, work_secs: 40, ending };
                self.note(now, ended);
                now += TimeDelta::seconds(10);
                let rating = self.points();
                self.note(now, Fact::SetRated { set, rating, site: None });
                if 5 < rating.points() {
                    break;
                }
            }
        }
        self.note(now, Fact::SessionEnded { session });
        self.tell(now);
    }
}

fn secs(work: impl FnOnce()) -> f64 {
    let began = Instant::now();
    work();
    began.elapsed().as_secs_f64()
}

/// The middle time of each of several things, done by turns so that a busy machine slows all of them alike.
fn middles<const N: usize>(works: [&dyn Fn(); N]) -> [f64; N] {
    let rounds = [(); REPEATS].map(|()| works.map(secs));
    std::array::from_fn(|which| {
        let mut times = rounds.map(|round| round[which]);
        times.sort_unstable_by(f64::total_cmp);
        times[REPEATS / 2]
    })
}
