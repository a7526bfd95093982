//! Logs told as stories: a postal worker with a sore Achilles tendon, a staircase with a banister, a
//! kitchen chair. A story writes the events that the app would write, planned from where the log says
//! the client stands.

#![allow(dead_code, reason = "each test file uses its own part")]
#![expect(clippy::unwrap_used, reason = "a story that cannot be told must fail its test")]

pub mod phone;
pub mod random_logs;
pub mod revisions;
pub mod scripts;
pub mod strip;

use carryover::domain::event_id::EventId;
use carryover::domain::log::course::{Availability, Course, Judged, training_day};
use carryover::domain::log::event::{Ending, Event, Fact, Lifts, Planned, SetRef};
use carryover::domain::log::history::{History, Today};
use carryover::domain::log::rule::{Order, Swelling};
use carryover::domain::log::warning::WarningSign;
use carryover::domain::pain::PainRating;
use carryover::domain::plan::dose::{
    Action, Days, Dose, Phase, PhaseSecs, Reps, RestSecs, Sets, Sides, Tempo, TimesADay,
};
use carryover::domain::plan::ladder::{Foothold, Ladder, Rung, RungNumber};
use carryover::domain::plan::limits::{AfterMiddleSet, Light, Limits, MayStepUp, Preset, Zone};
use carryover::domain::plan::routine::{Exercise, Routine, SwellingReach};
use carryover::domain::words::{Id, Words};
use chrono::{DateTime, Days as Span, FixedOffset, NaiveDate, NaiveTime, Weekday};
use serde_json::json;

pub fn rating(points: i64) -> PainRating {
    PainRating::new(points).unwrap()
}

pub fn words(text: &str) -> Words {
    Words::new(text).unwrap()
}

pub fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

pub fn rung(number: i64) -> RungNumber {
    RungNumber::new(number).unwrap()
}

pub fn on_rung(number: i64) -> Foothold {
    Foothold::on(rung(number))
}

/// The lowest rung, with some sets taken off.
pub fn fewer_sets(fewer_sets: u16) -> Foothold {
    Foothold { rung: RungNumber::LEAST, fewer_sets }
}

/// The story's first day, a Monday.
const FIRST_DAY: NaiveDate = NaiveDate::from_ymd_opt(2026, 6, 1).unwrap();

fn day_of(week: u64, weekday: Weekday) -> NaiveDate {
    FIRST_DAY + Span::new(week * 7 + u64::from(weekday.num_days_from_monday()))
}

/// A day of the story's first week.
pub fn first(weekday: Weekday) -> NaiveDate {
    day_of(0, weekday)
}

pub fn second(weekday: Weekday) -> NaiveDate {
    day_of(1, weekday)
}

pub fn third(weekday: Weekday) -> NaiveDate {
    day_of(2, weekday)
}

/// A moment as a log writes it: RFC 3339 with the local offset.
pub fn moment(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).unwrap()
}

/// A time of day in the zone where the story begins.
pub fn at(date: NaiveDate, time: &str) -> DateTime<FixedOffset> {
    at_offset(date, time, 2)
}

pub fn at_offset(date: NaiveDate, time: &str, hours_east: i32) -> DateTime<FixedOffset> {
    let time = NaiveTime::parse_from_str(time, "%H:%M").unwrap();
    let offset = FixedOffset::east_opt(hours_east * 3600).unwrap();
    date.and_time(time).and_local_timezone(offset).unwrap()
}

pub fn three_sets_of_ten() -> Dose {
    let phase = |action, secs| Phase::of(action, PhaseSecs::new(secs).unwrap());
    Dose {
        sets: Sets::new(3).unwrap(),
        reps: Reps::new(10).unwrap(),
        tempo: Tempo::new(vec![phase(Action::Lift, 1), phase(Action::Lower, 3)]).unwrap(),
        rest_secs: RestSecs::new(60).unwrap(),
        sides: Sides::Together,
        load: None,
        times_a_day: TimesADay::LEAST,
        days: Days::EVERY,
    }
}

/// A ladder of that many rungs, which change nothing in the dose.
pub fn ladder(rungs: i64, start: i64, ceiling: i64) -> Ladder {
    let help = [
        "both feet, both hands on the banister",
        "both feet, one hand",
        "both feet",
        "one foot, one hand",
        "one foot",
    ];
    let rungs = help.iter().cycle().take(usize::try_from(rungs).unwrap());
    let rungs = rungs.map(|help| Rung::of(words(help))).collect();
    Ladder::new(rungs, rung(start), rung(ceiling)).unwrap()
}

pub const HEEL: &str = "heel";

/// Lowering the heel from a stair: five rungs, the start on the third, the ceiling on the fourth.
pub fn heel_drop() -> Exercise {
    exercise("heel-drop", ladder(5, 3, 4))
}

pub fn chair_rise() -> Exercise {
    exercise("chair-rise", ladder(3, 2, 3))
}

pub fn exercise(name: &str, ladder: Ladder) -> Exercise {
    Exercise {
        id: id(name),
        name: words(name),
        purpose: None,
        equipment: Vec::new(),
        steps: vec![words("stand tall, go slowly")],
        watch_for: Vec::new(),
        cautions: Vec::new(),
        dose: three_sets_of_ten(),
        ladder,
        limits: None,
        swelling: SwellingReach::Reaches,
        source: None,
        photo: None,
    }
}

/// The default limits, with a usual morning of nought so that a story's mornings read as rises.
pub fn limits() -> Limits {
    Limits { usual_morning: Some(rating(0)), ..Limits::of(Preset::PainMonitoring) }
}

pub fn routine(version: i64, limits: &Limits, exercises: &[Exercise]) -> Routine {
    serde_json::from_value(json!({
        "id": "stairs",
        "version": version,
        "title": "Stairs and chair",
        "issued": "2026-06-01",
        "limits": limits,
        "exercises": exercises,
    }))
    .unwrap()
}

/// A log that is being written.
#[derive(Clone)]
pub struct Story {
    events: Vec<Event>,
    exercise: Id,
}

impl Story {
    /// The heel drop alone, accepted on the first Monday morning.
    pub fn with(limits: &Limits) -> Self {
        Self::of(&routine(1, limits, &[heel_drop()]))
    }

    /// A story about the first exercise of a routine, accepted on the first Monday morning.
    pub fn of(routine: &Routine) -> Self {
        Self::begun(at(FIRST_DAY, "06:00"), routine)
    }

    /// A story about the first exercise of a routine, accepted at a moment of its own.
    pub fn begun(at: DateTime<FixedOffset>, routine: &Routine) -> Self {
        let mut story = Self { events: Vec::new(), exercise: routine.exercises()[0].id.clone() };
        story.accept(at, routine);
        story
    }

    pub fn accept(&mut self, at: DateTime<FixedOffset>, routine: &Routine) {
        self.note(at, Fact::RoutineAccepted { routine: Box::new(routine.clone()) });
    }

    /// Writes one event; ids follow the order of writing when two fall on the same moment.
    pub fn note(&mut self, at: DateTime<FixedOffset>, what: Fact) -> EventId {
        let last = self.events.last().map(|event| event.id);
        let millis = u64::try_from(at.timestamp_millis()).unwrap();
        let id = EventId::after(last, millis, [7; 10]);
        self.events.push(Event { id, at, zone: None, what });
        id
    }

    pub fn events(&self) -> &[Event] {
        &self.events
    }

    pub fn history(&self) -> History {
        History::fold(&self.events)
    }

    pub fn today(&self, date: NaiveDate) -> Today {
        self.today_of(&self.exercise, date)
    }

    pub fn today_of(&self, exercise: &Id, date: NaiveDate) -> Today {
        let today = self.history().today(date);
        today.into_iter().find(|line| line.exercise.id == *exercise).unwrap()
    }

    /// Starts a session of the story's exercise, from where the log says the client stands.
    pub fn session(&mut self, at: DateTime<FixedOffset>) -> SessionStory<'_> {
        let exercise = self.exercise.clone();
        self.session_of(&exercise, at, None)
    }

    pub fn session_of(
        &mut self,
        exercise: &Id,
        at: DateTime<FixedOffset>,
        at_rest: Option<PainRating>,
    ) -> SessionStory<'_> {
        let history = self.history();
        let today = self.today_of(exercise, training_day(at));
        let routine = history.routine().unwrap();
        let started = Fact::SessionStarted {
            routine: routine.id.clone(),
            version: routine.version,
            at_rest,
            worked_today: None,
            plan: vec![Planned { exercise: exercise.clone(), from: today.foothold }],
        };
        let session = self.note(at, started);
        SessionStory {
            limits: routine.limits_for(&today.exercise).clone(),
            story: self,
            session,
            exercise: exercise.clone(),
            rung: today.foothold.rung,
            least: today.least,
            number: 0,
            now: at,
        }
    }

    /// A session at six in the evening, each set rated.
    pub fn train(&mut self, date: NaiveDate, ratings: &[i64]) {
        self.session(at(date, "18:00")).sets(ratings);
    }

    pub fn train_other(&mut self, exercise: &str, date: NaiveDate, ratings: &[i64]) {
        self.session_of(&id(exercise), at(date, "18:30"), None).sets(ratings);
    }

    /// A morning answered at seven, with no more swelling.
    pub fn morning(&mut self, date: NaiveDate, points: i64) -> EventId {
        self.morning_at(at(date, "07:00"), points, Swelling::NoMore)
    }

    pub fn swollen_morning(&mut self, date: NaiveDate, points: i64, swelling: Swelling) -> EventId {
        self.morning_at(at(date, "07:00"), points, swelling)
    }

    /// A morning answered for every exercise of the routine, after the day before.
    pub fn morning_at(
        &mut self,
        at: DateTime<FixedOffset>,
        points: i64,
        swelling: Swelling,
    ) -> EventId {
        let history = self.history();
        let ids = history.routine().unwrap().exercises().iter().map(|one| one.id.clone());
        let after = at.date_naive().pred_opt().unwrap();
        let ratings = ids.map(|id| (id, rating(points))).collect();
        self.note(at, Fact::MorningAnswered { after, ratings, swelling })
    }

    pub fn warning(&mut self, at: DateTime<FixedOffset>) {
        self.note(at, Fact::WarningTicked { signs: vec![WarningSign::Unwell] });
    }

    pub fn told_to_go_on(&mut self, at: DateTime<FixedOffset>) {
        self.note(at, Fact::ToldToGoOn);
    }

    /// Someone qualified said to go on: with one exercise, with all that is stopped, or about the sign.
    pub fn go_ahead(&mut self, at: DateTime<FixedOffset>, lifts: Lifts) {
        self.note(at, Fact::GoAhead { lifts });
    }

    /// What the client says mornings are usually like.
    pub fn usual_morning(&mut self, at: DateTime<FixedOffset>, points: i64) {
        self.note(at, Fact::UsualMorning { rating: rating(points) });
    }

    pub fn correct(&mut self, at: DateTime<FixedOffset>, of: EventId, points: i64) {
        let corrected = self.events.iter().find(|event| event.id == of).unwrap();
        let is_morning = matches!(corrected.what, Fact::MorningAnswered { .. });
        let exercise = is_morning.then(|| self.exercise.clone());
        self.note(at, Fact::Corrected { of, exercise, rating: rating(points), site: None });
    }

    pub fn course(&self) -> Course {
        self.history().course(&self.exercise).unwrap().clone()
    }

    /// The verdict of a training day.
    pub fn judged(&self, date: NaiveDate) -> Judged {
        self.course().judged().iter().rfind(|judged| judged.day == date).unwrap().clone()
    }

    pub fn order(&self, date: NaiveDate) -> Order {
        self.judged(date).verdict.order
    }

    pub fn light(&self, date: NaiveDate) -> Light {
        self.order(date).light()
    }

    /// Where the next session starts.
    pub fn stands(&self) -> Foothold {
        self.course().foothold()
    }

    pub fn count(&self) -> u16 {
        self.course().count()
    }

    pub fn availability(&self, date: NaiveDate) -> Availability {
        self.course().availability(date)
    }

    pub fn is_open(&self, date: NaiveDate) -> bool {
        self.availability(date) == Availability::Open
    }
}

/// A session under way: sets follow each other two minutes apart, and the rung follows the rule
/// within a session.
pub struct SessionStory<'a> {
    story: &'a mut Story,
    session: EventId,
    exercise: Id,
    limits: Limits,
    pub rung: RungNumber,
    /// The rung below which no set is eased today.
    least: RungNumber,
    number: u16,
    /// What the clock says; setting it is setting the clock.
    pub now: DateTime<FixedOffset>,
}

impl SessionStory<'_> {
    pub fn sets(&mut self, ratings: &[i64]) -> &mut Self {
        for &points in ratings {
            self.set(points);
        }
        self
    }

    pub fn set(&mut self, points: i64) -> EventId {
        self.set_at_site(points, None)
    }

    pub fn set_at_site(&mut self, points: i64, site: Option<&str>) -> EventId {
        let set = self.ended(Ending::Complete);
        let (rating, site) = (rating(points), site.map(words));
        let zone = self.limits.zone_of_set(rating, site.as_ref());
        if zone == Zone::Middle && self.limits.after_middle_set == AfterMiddleSet::OneRungDown {
            let below = RungNumber::new(i64::from(self.rung.get()) - 1).unwrap_or(self.rung);
            self.rung = below.max(self.least).min(self.rung);
        }
        self.pass(20);
        self.story.note(self.now, Fact::SetRated { set, rating, site })
    }

    pub fn unrated(&mut self) -> &mut Self {
        self.ended(Ending::Complete);
        self
    }

    /// A set that pain put an end to, left unrated.
    pub fn stopped(&mut self) -> &mut Self {
        self.ended(Ending::Pain);
        self
    }

    fn ended(&mut self, ending: Ending) -> SetRef {
        self.number += 1;
        self.pass(100);
        let set =
            SetRef { session: self.session, exercise: self.exercise.clone(), number: self.number };
        let fact =
            Fact::SetEnded { set: set.clone(), rung: self.rung, reps: 10, work_secs: 40, ending };
        self.story.note(self.now, fact);
        set
    }

    fn pass(&mut self, secs: i64) {
        self.now += chrono::TimeDelta::seconds(secs);
    }
}

/// Limits under which the app climbs by itself after so many step-up days.
pub fn climbing_after(days: i64) -> Limits {
    Limits {
        may_step_up: MayStepUp::ToTheCeiling,
        step_up_after: days.try_into().unwrap(),
        ..limits()
    }
}
