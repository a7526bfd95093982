//! Five years of daily use, told by a clock of their own: whatever part of the log was brought forward, the
//! app stands where folding the whole log says; what a start reads does not grow; and the log stays small
//! beside what a browser lets an app keep.

#![expect(clippy::unwrap_used, reason = "a life that cannot be told must fail its test")]

mod support;

use carryover::domain::event_id::EventId;
use carryover::domain::log::course::Availability;
use carryover::domain::log::event::{Ending, Event, Fact, Planned, SetRef};
use carryover::domain::log::history::brought_forward::{AT_HAND, BroughtForward, last_seam};
use carryover::domain::log::history::{History, Today};
use carryover::domain::log::rule::Swelling;
use carryover::domain::log::warning::WarningSign;
use carryover::domain::plan::limits::Limits;
use carryover::domain::plan::routine::{Exercise, Routine};
use carryover::store::journal::{Journal, Stamp};
use chrono::{DateTime, Datelike, Days, FixedOffset, NaiveDate, TimeDelta};
use pollster::block_on;
use proptest::prelude::*;
use support::phone::Phone;
use support::{at_offset, chair_rise, climbing_after, exercise, heel_drop, ladder, rating, words};

const FIRST_DAY: NaiveDate = NaiveDate::from_ymd_opt(2026, 1, 5).unwrap();
const FIVE_YEARS: u64 = 5 * 365;

/// What a client's life is like.
#[derive(Clone, Copy, Debug)]
struct Manner {
    /// Exercises, and sets of each.
    work: (usize, u16),
    /// Whether days are left out, clocks are wrong, and answers corrected.
    is_wild: bool,
}

struct Life {
    phone: Phone,
    manner: Manner,
    state: u64,
    version: i64,
    hours_east: i32,
    zone: &'static str,
}

impl Life {
    fn new(manner: Manner, seed: u64) -> Self {
        let (phone, zone) = (Phone::default(), "Europe/Berlin");
        Self { phone, manner, state: seed, version: 0, hours_east: 1, zone }
    }

    /// `SplitMix64` (Steele, Lea and Flood 2014, from memory).
    fn random(&mut self, below: u64) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)) % below
    }

    fn once_in(&mut self, times: u64) -> bool {
        self.random(times) == 0
    }

    fn is_wild_once_in(&mut self, times: u64) -> bool {
        self.manner.is_wild && self.once_in(times)
    }

    fn points(&mut self) -> i64 {
        let points = match self.random(60) {
            0 => 6,
            1..=5 => 3 + self.random(3),
            _ => self.random(3),
        };
        i64::try_from(points).unwrap()
    }

    fn at(&self, day: NaiveDate, time: &str) -> DateTime<FixedOffset> {
        at_offset(day, time, self.hours_east)
    }

    fn note(
        &self,
        journal: &Journal<Phone>,
        at: DateTime<FixedOffset>,
        facts: Vec<Fact>,
    ) -> EventId {
        let stamp = Stamp { at, zone: Some(words(self.zone)) };
        let facts_are_told = !facts.iter().all(Fact::is_on_a_list);
        let noted = journal.append(facts, &stamp, || [7; 10]);
        let last = noted.last.unwrap();
        block_on(noted).unwrap();
        let is_left = facts_are_told && !journal.history().verdicts_due(at).is_empty();
        assert!(!is_left, "what is told is told once");
        last
    }

    fn tell(&self, journal: &Journal<Phone>, at: DateTime<FixedOffset>) {
        let stamp = Stamp { at, zone: Some(words(self.zone)) };
        if let Some(told) = journal.tell(&stamp, || [7; 10]) {
            block_on(told).unwrap();
        }
    }

    /// The app is opened on a day.
    fn open(&self, today: NaiveDate) -> Journal<Phone> {
        let journal = block_on(Journal::open(self.phone.clone())).unwrap();
        if !journal.serves(today) {
            block_on(journal.read_whole()).unwrap();
        }
        block_on(journal.keep_brought_forward());
        journal
    }

    /// The next version of the routine, seldom quite the same as the last.
    fn routine(&mut self) -> Routine {
        self.version += 1;
        let start = 1 + i64::try_from(self.random(2)).unwrap();
        let squat = exercise("squat", ladder(4, start, 4));
        let all: Vec<Exercise> =
            vec![heel_drop(), chair_rise(), squat, exercise("step-up", ladder(3, 1, 2))];
        let sets = self.manner.work.1.into();
        let with_sets = |mut exercise: Exercise| {
            exercise.dose.sets = carryover::domain::plan::dose::Sets::new(sets).unwrap();
            exercise
        };
        let all: Vec<Exercise> = all.into_iter().take(self.manner.work.0).map(with_sets).collect();
        // What a morning is usually like is recorded, or read from the mornings before.
        let usual_morning = self.once_in(3).then(|| rating(1));
        let climbing = climbing_after(1 + i64::try_from(self.random(4)).unwrap());
        let limits = Limits { usual_morning, ..climbing };
        support::routine(self.version, &limits, &all)
    }

    /// One day of the app in use.
    fn day(&mut self, journal: &Journal<Phone>, day: NaiveDate) {
        if self.is_wild_once_in(60) {
            self.hours_east = [-9, 1, 2, 12][usize::try_from(self.random(4)).unwrap()];
        }
        self.morning(journal, day);
        if journal.history().routine().is_none() || self.once_in(40) {
            let routine = Box::new(self.routine());
            self.note(journal, self.at(day, "07:30"), vec![Fact::RoutineAccepted { routine }]);
        }
        if !self.is_wild_once_in(12) {
            self.session(journal, day);
        }
        if self.once_in(7) {
            let text = words("The stairs went well.");
            let noted = vec![Fact::Note { text, session: None }, Fact::HandedBack];
            self.note(journal, self.at(day, "20:00"), noted);
        }
        if self.is_wild_once_in(150) {
            let signs = vec![WarningSign::Unwell];
            self.note(journal, self.at(day, "21:00"), vec![Fact::WarningTicked { signs }]);
            self.tell(journal, self.at(day, "21:00"));
        }
    }

    fn morning(&mut self, journal: &Journal<Phone>, day: NaiveDate) {
        let mut now = self.at(day, "06:45");
        let is_silent_month = self.manner.is_wild && day.month().is_multiple_of(3);
        if self.is_wild_once_in(10) || (is_silent_month && !self.once_in(6)) {
            return;
        }
        if self.is_wild_once_in(400) {
            // The clock is wrong by weeks, either way, for one answer.
            let weeks = i64::try_from(self.random(13)).unwrap() - 6;
            now += TimeDelta::weeks(weeks);
        }
        let Some(owed) = journal.history().owed_morning(now) else { return };
        let ratings = owed.exercises.iter().map(|id| (id.clone(), rating(self.points()))).collect();
        let swelling = if self.once_in(50) { Swelling::ALittleMore } else { Swelling::NoMore };
        let answered = Fact::MorningAnswered { after: owed.after, ratings, swelling };
        let of = self.note(journal, now, vec![answered]);
        self.tell(journal, now);
        if self.is_wild_once_in(40) {
            let exercise = owed.exercises.first().cloned();
            let corrected =
                Fact::Corrected { of, exercise, rating: rating(self.points()), site: None };
            let swelling = Fact::SwellingCorrected { of, swelling: Swelling::NoMore };
            self.note(journal, now, vec![corrected, swelling]);
            self.tell(journal, now);
        }
    }

    fn session(&mut self, journal: &Journal<Phone>, day: NaiveDate) {
        let mut now = self.at(day, "08:00");
        let history = journal.history();
        let is_stopped = |history: &History| {
            let lines = history.today(day);
            lines.iter().any(|line| matches!(line.availability, Availability::Stopped(_)))
        };
        if is_stopped(&history) {
            self.note(journal, now, vec![Fact::ToldToGoOn]);
        }
        let history = journal.history();
        let routine = history.routine().unwrap();
        let open = history.today(day).into_iter().filter(Today::can_be_done);
        let plan: Vec<Planned> =
            open.map(|line| Planned { exercise: line.exercise.id, from: line.foothold }).collect();
        let started = Fact::SessionStarted {
            routine: routine.id.clone(),
            version: routine.version,
            at_rest: Some(rating(self.points())),
            worked_today: None,
            plan: plan.clone(),
        };
        let session = self.note(journal, now, vec![started]);
        for Planned { exercise, from } in plan {
            for number in 1..=self.manner.work.1 {
                now += TimeDelta::seconds(100);
                let set = SetRef { session, exercise: exercise.clone(), number };
                let ending = if self.once_in(300) { Ending::Pain } else { Ending::Complete };
                let ended = Fact::SetEnded {
                    set: set.clone(),
                    rung: from.rung,
                    reps: 10,
                    work_secs: 40,
                    ending,
                };
                self.note(journal, now, vec![ended]);
                let rating = rating(self.points());
                let of = self.note(journal, now, vec![Fact::SetRated { set, rating, site: None }]);
                if self.is_wild_once_in(500) {
                    let rating = support::rating(self.points());
                    let slip = Fact::Corrected { of, exercise: None, rating, site: None };
                    self.note(journal, now, vec![slip]);
                }
            }
        }
        if !self.is_wild_once_in(30) {
            self.note(journal, now, vec![Fact::SessionEnded { session }]);
        }
        self.tell(journal, now);
    }
}

/// That the app stands where the whole log says, in all that the client's days ask.
fn expect_as_folded_whole(part: &History, whole: &History, now: DateTime<FixedOffset>) {
    let forward = |history: &History| serde_json::to_value(history.brought_forward()).unwrap();
    assert_eq!(forward(part), forward(whole), "at {now}");
    for today in [now, now + TimeDelta::days(1), now + TimeDelta::days(9)] {
        assert_eq!(part.today(today.date_naive()), whole.today(today.date_naive()), "at {now}");
        assert_eq!(part.owed_morning(today), whole.owed_morning(today), "at {now}");
        assert_eq!(part.open_session(today), whole.open_session(today), "at {now}");
    }
    assert_eq!(part.untold_verdicts(), whole.untold_verdicts(), "at {now}");
    assert_eq!(part.routine(), whole.routine());
    assert_eq!(part.has_answers(), whole.has_answers());
    assert_eq!(part.first_trained(), whole.first_trained());
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: ProptestConfig::default().cases / 128,
        failure_persistence: None,
        max_shrink_iters: 0,
        ..ProptestConfig::default()
    })]

    #[test]
    fn five_years_stand_where_the_whole_log_says_at_every_start(seed in any::<u64>()) {
        let manner = Manner { work: (2, 2), is_wild: true };
        let mut life = Life::new(manner, seed);
        let mut day = FIRST_DAY;
        let (mut starts, mut in_part) = (0, 0);
        while day < FIRST_DAY + Days::new(FIVE_YEARS) {
            let journal = life.open(day);
            (starts, in_part) = (starts + 1, in_part + u32::from(!journal.is_whole()));
            if life.once_in(25) {
                let whole = History::fold(&life.phone.events());
                expect_as_folded_whole(&journal.history(), &whole, life.at(day, "06:00"));
            }
            for _ in 0..=life.random(6) {
                life.day(&journal, day);
                day = day + Days::new(1 + if life.once_in(40) { life.random(30) } else { 0 });
                if !journal.serves(day) {
                    block_on(journal.read_whole()).unwrap();
                }
            }
        }
        prop_assert!(starts / 2 < in_part, "only {in_part} of {starts} starts read a part alone");
    }

    #[test]
    fn any_seam_will_do(seed in any::<u64>()) {
        let mut life = Life::new(Manner { work: (2, 1), is_wild: true }, seed);
        let journal = life.open(FIRST_DAY);
        for day in FIRST_DAY.iter_days().take(130) {
            life.day(&journal, day);
        }
        let events = life.phone.events();
        let mut seams = 0;
        for until in 1..=events.len() {
            let events: Vec<&Event> = events[..until].iter().collect();
            let is_new_day = |[one, next]: [&Event; 2]| one.at.date_naive() < next.at.date_naive();
            if !(2..until).contains(&(until - 1)) || !is_new_day([events[until - 2], events[until - 1]]) {
                continue;
            }
            let Some(seam) = last_seam(&events) else { continue };
            seams += 1;
            let forward = History::fold(events[..seam].iter().copied()).brought_forward().unwrap();
            let text = serde_json::to_string(&forward).unwrap();
            let forward: BroughtForward = serde_json::from_str(&text).unwrap();
            prop_assert!(events[seam..].iter().all(|event| forward.carries(event)));
            let mut part = History::from(forward);
            let (now, later) = (events[until - 1].at, events[seam..].to_vec());
            // One event after another, and all at once.
            for end in 1..=later.len() {
                part.catch_up(later[..end].iter().copied());
            }
            let whole = History::fold(events);
            expect_as_folded_whole(&part, &whole, now);
        }
        prop_assert!(20 < seams, "only {seams} seams");
    }
}

/// Browsers' quotas, as MDN tells them ("Storage quotas and eviction criteria"): 60 % of the disk in Chrome,
/// 10 % in Firefox, 60 % in Safari. The smallest is a tenth: 800 MB of the smallest phone that a browser of
/// 2023 runs on, with 8 GB.
const SMALLEST_QUOTA: usize = 800_000_000;

#[test]
fn five_years_stay_far_below_the_smallest_quota_and_a_start_reads_no_more_than_after_a_month() {
    let mut life = Life::new(Manner { work: (4, 3), is_wild: false }, 1);
    let mut day = FIRST_DAY;
    let mut read_at_start = Vec::new();
    while day < FIRST_DAY + Days::new(FIVE_YEARS) {
        life.phone.bytes_read.replace(0);
        let journal = life.open(day);
        read_at_start.push(life.phone.bytes_read.take());
        for _ in 0..3 {
            life.day(&journal, day);
            day = day + Days::new(1);
        }
    }
    let (of_a_month, of_five_years) =
        (read_at_start[5..15].iter().max(), read_at_start.iter().max());
    assert!(
        of_five_years.unwrap() * 10 < of_a_month.unwrap() * 15,
        "{of_a_month:?} bytes grew to {of_five_years:?}"
    );
    assert!(3 * AT_HAND < i64::try_from(read_at_start.len()).unwrap());
    let bytes = life.phone.bytes();
    assert!(bytes * 20 < SMALLEST_QUOTA, "{bytes} bytes");
}
