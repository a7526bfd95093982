//! Random logs of many days, told like the app tells them: several exercises on days of their own, two
//! sides, loads and sites, sets left out and cut short, sessions after midnight, answers that were corrected
//! or given twice, new versions, warning signs and slips, go-aheads, weeks away. The same number gives the
//! same log.

use carryover::domain::event_id::EventId;
use carryover::domain::log::course::{Availability, training_day};
use carryover::domain::log::event::{Ending, Event, Fact, Lifts, Planned, SetRef, WorkedToday};
use carryover::domain::log::history::{History, Today};
use carryover::domain::log::rule::Swelling;
use carryover::domain::log::warning::WarningSign;
use carryover::domain::pain::PainRating;
use carryover::domain::plan::dose::{Days as OnDays, DoseChange, Load, Sets, Sides, TimesADay};
use carryover::domain::plan::ladder::{Ladder, Rung, WordsChange};
use carryover::domain::plan::limits::{
    AfterMiddleSet, Limits, MayStepUp, Preset, RestDays, Site, Zone,
};
use carryover::domain::plan::routine::{Exercise, Routine};
use carryover::domain::words::Id;
use chrono::{DateTime, Days, FixedOffset, NaiveDate, TimeDelta, Weekday};

use super::scripts::SITES;
use super::{at_offset, exercise, first, id, rating, routine, rung, words};

/// `SplitMix64` (Steele, Lea and Flood 2014, from memory).
struct Chance(u64);

impl Chance {
    fn below(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)) % below
    }

    fn one_in(&mut self, number: u64) -> bool {
        self.below(number) == 0
    }

    fn from(&mut self, least: i64, most: i64) -> i64 {
        least + i64::try_from(self.below(u64::try_from(most - least + 1).unwrap())).unwrap()
    }

    /// Mostly low, at times in the middle zone, seldom anything.
    fn points(&mut self) -> PainRating {
        rating(match self.below(12) {
            0 => self.from(0, 10),
            1..=3 => self.from(2, 5),
            _ => self.from(0, 2),
        })
    }

    fn swelling(&mut self) -> Swelling {
        match self.below(14) {
            0 => Swelling::ClearlyMore,
            1 | 2 => Swelling::ALittleMore,
            _ => Swelling::NoMore,
        }
    }
}

/// An exercise with a ladder whose rungs change the dose, on some days of the week.
fn any_exercise(chance: &mut Chance, name: &str) -> Exercise {
    let rungs = chance.from(1, 4);
    let help = |number: i64| Rung {
        help: words(&format!("help {number}")),
        dose: DoseChange {
            sets: chance_of_sets(number),
            load: (number == 3).then(|| Load::Described(words("a thicker loop band"))),
            ..DoseChange::default()
        },
        words: WordsChange::default(),
    };
    let ceiling = chance.from(1, rungs);
    let start = chance.from(1, ceiling);
    let ladder = Ladder::new((1..=rungs).map(help).collect(), rung(start), rung(ceiling)).unwrap();
    let mut exercise = exercise(name, ladder);
    exercise.dose.sets = Sets::new(chance.from(1, 4)).unwrap();
    exercise.dose.load = chance.one_in(2).then(|| Load::Described(words("a light loop band")));
    exercise.dose.times_a_day = TimesADay::new(1 + i64::from(chance.one_in(4))).unwrap();
    exercise.dose.sides = match chance.below(5) {
        0 => Sides::OneAfterTheOther,
        1 => Sides::InTurn,
        2 => Sides::Left,
        _ => Sides::Together,
    };
    if chance.one_in(3) {
        let days = (0..7).filter(|_| chance.one_in(2)).map(|day| Weekday::try_from(day).unwrap());
        exercise.dose.days = OnDays::on(&days.collect::<Vec<_>>());
    }
    exercise
}

fn chance_of_sets(number: i64) -> Option<Sets> {
    (number == 2).then(|| Sets::new(2).unwrap())
}

fn any_limits(chance: &mut Chance) -> Limits {
    let preset = Preset::ALL[usize::try_from(chance.below(3)).unwrap()];
    Limits {
        sites: SITES.map(|(name, counts)| Site { name: words(name), counts }).to_vec(),
        usual_morning: chance.one_in(2).then(|| chance.points()),
        rest_days: RestDays::new(chance.from(0, 3)).unwrap(),
        may_step_up: if chance.one_in(2) { MayStepUp::ToTheCeiling } else { MayStepUp::WinBack },
        after_middle_set: if chance.one_in(3) {
            AfterMiddleSet::OneRungDown
        } else {
            AfterMiddleSet::Same
        },
        ..Limits::of(preset)
    }
}

fn any_routine(chance: &mut Chance, version: i64) -> Routine {
    let limits = any_limits(chance);
    let names = ["heel-drop", "chair-rise", "wall-hold"];
    // An exercise may be taken out for a while.
    let kept: Vec<&str> = names.into_iter().filter(|_| !chance.one_in(5)).collect();
    let kept = if kept.is_empty() { vec!["heel-drop"] } else { kept };
    let exercises: Vec<Exercise> =
        kept.into_iter().map(|name| any_exercise(chance, name)).collect();
    routine(version, &limits, &exercises)
}

/// A log that is being written, folded as it grows.
#[derive(Default)]
struct GrowingLog {
    events: Vec<Event>,
    history: History,
}

impl GrowingLog {
    fn note(&mut self, at: DateTime<FixedOffset>, what: Fact) -> EventId {
        let last = self.events.last().map(|event| event.id);
        let millis = u64::try_from(at.timestamp_millis()).unwrap();
        let id = EventId::after(last, millis, [7; 10]);
        self.events.push(Event { id, at, zone: None, what });
        self.history.catch_up(self.events.iter());
        id
    }

    fn accept(&mut self, at: DateTime<FixedOffset>, routine: Routine) {
        self.note(at, Fact::RoutineAccepted { routine: Box::new(routine) });
    }
}

/// The log of that number.
pub fn random_log(number: u64) -> Vec<Event> {
    let mut chance = Chance(number);
    let began = first(Weekday::Mon);
    let mut version = 1;
    let mut story = GrowingLog::default();
    story.accept(at_offset(began, "06:00", 2), any_routine(&mut chance, version));
    let days = 3 + chance.below(45);
    let mut back_on = began;
    for day in began.iter_days().take(usize::try_from(days).unwrap()) {
        let hours_east = if chance.one_in(9) { chance.from(-3, 5).try_into().unwrap() } else { 2 };
        let at =
            |hour: i64, minute: i64| at_offset(day, &format!("{hour:02}:{minute:02}"), hours_east);
        if day < back_on {
            continue;
        }
        if chance.one_in(40) {
            back_on = day + Days::new(15 + chance.below(10));
        }
        if chance.one_in(12) {
            session(&mut chance, &mut story, at(0, 20));
        }
        if chance.one_in(15) {
            answer(&mut chance, &mut story, at(2, 10), day.pred_opt().unwrap());
        }
        if !chance.one_in(5) {
            let now = at(chance.from(5, 11), 20);
            morning(&mut chance, &mut story, now);
        }
        if chance.one_in(20) {
            let rating = chance.points();
            story.note(at(12, 0), Fact::UsualMorning { rating });
        }
        if chance.one_in(12) {
            version += 1;
            let routine = any_routine(&mut chance, version);
            story.accept(at(12, chance.from(0, 59)), routine);
        }
        for hour in [13, 18] {
            if chance.one_in(if hour == 13 { 4 } else { 1 }) || chance.one_in(3) {
                session(&mut chance, &mut story, at(hour, 15));
            }
        }
        if chance.one_in(25) {
            let signs = vec![WarningSign::Unwell];
            let of = story.note(at(21, 0), Fact::WarningTicked { signs });
            if chance.one_in(3) {
                let sign = WarningSign::Unwell;
                story.note(at(21, 1), Fact::WarningUnticked { of, sign });
            }
            tell(&mut story, at(21, 1));
        }
        let waits = |line: &Today| matches!(line.availability, Availability::Stopped(_));
        if chance.one_in(4) && story.history.today(day).iter().any(waits) {
            story.note(at(21, 30), Fact::ToldToGoOn);
        }
        if chance.one_in(12) {
            let lifts = match chance.below(3) {
                0 => Lifts::All,
                1 => Lifts::WarningSign,
                _ => Lifts::Exercise(id("heel-drop")),
            };
            story.note(at(21, 35), Fact::GoAhead { lifts });
        }
        if chance.one_in(6) {
            correct(&mut chance, &mut story, at(21, 40));
        }
        if chance.one_in(10) {
            let text = words("Harder after a long round.");
            story.note(at(22, 0), Fact::Note { text, session: None });
        }
    }
    story.events
}

fn tell(story: &mut GrowingLog, at: DateTime<FixedOffset>) {
    for fact in story.history.untold_verdicts() {
        story.note(at, fact);
    }
}

fn morning(chance: &mut Chance, story: &mut GrowingLog, now: DateTime<FixedOffset>) {
    let Some(owed) = story.history.owed_morning(now) else {
        // Another phone answers too, or out of turn.
        if chance.one_in(4) {
            answer(chance, story, now, now.date_naive().pred_opt().unwrap());
        }
        return;
    };
    let is_high = chance.one_in(12);
    let points = |chance: &mut Chance| {
        if is_high { rating(chance.from(6, 10)) } else { chance.points() }
    };
    let ratings = owed.exercises.into_iter().map(|id| (id, points(chance))).collect();
    let swelling = chance.swelling();
    story.note(now, Fact::MorningAnswered { after: owed.after, ratings, swelling });
    tell(story, now);
    if chance.one_in(10) {
        answer(chance, story, now + TimeDelta::minutes(5), owed.after);
    }
}

fn answer(
    chance: &mut Chance,
    story: &mut GrowingLog,
    at: DateTime<FixedOffset>,
    after: NaiveDate,
) {
    let routine = story.history.routine().unwrap().clone();
    let rated = routine.exercises().iter().filter(|_| !chance.one_in(4));
    let rated: Vec<Id> = rated.map(|exercise| exercise.id.clone()).collect();
    let ratings = rated.into_iter().map(|id| (id, chance.points())).collect();
    let swelling = chance.swelling();
    story.note(at, Fact::MorningAnswered { after, ratings, swelling });
    tell(story, at);
}

fn session(chance: &mut Chance, story: &mut GrowingLog, begun: DateTime<FixedOffset>) {
    let lines: Vec<Today> = story
        .history
        .today(training_day(begun))
        .into_iter()
        .filter(|line| line.can_be_done() || chance.one_in(25))
        .collect();
    if lines.is_empty() {
        return;
    }
    let plan = lines
        .iter()
        .map(|line| Planned { exercise: line.exercise.id.clone(), from: line.foothold });
    let routine = story.history.routine().unwrap();
    let started = Fact::SessionStarted {
        routine: routine.id.clone(),
        version: routine.version,
        at_rest: (!chance.one_in(6)).then(|| chance.points()),
        worked_today: match chance.below(4) {
            0 => None,
            1 => Some(WorkedToday::Light),
            2 => Some(WorkedToday::AsUsual),
            _ => Some(WorkedToday::Heavy),
        },
        plan: plan.collect(),
    };
    let session = story.note(begun, started);
    let mut now = begun;
    for line in &lines {
        now += TimeDelta::minutes(1);
        if chance.one_in(12) {
            let exercise = line.exercise.id.clone();
            story.note(now, Fact::ExerciseLeftOut { session, exercise });
            continue;
        }
        sets(chance, story, session, line, &mut now);
    }
    if !chance.one_in(10) {
        story.note(now, Fact::SessionEnded { session });
    }
    tell(story, now);
}

/// The sets of one exercise of a session, until pain ends it.
fn sets(
    chance: &mut Chance,
    story: &mut GrowingLog,
    session: EventId,
    line: &Today,
    now: &mut DateTime<FixedOffset>,
) {
    let limits = story.history.course(&line.exercise.id).unwrap().limits().clone();
    let rounds = line.dose.rounds() + u16::from(chance.one_in(20));
    for number in 1..=rounds {
        *now += TimeDelta::minutes(2);
        let set = SetRef { session, exercise: line.exercise.id.clone(), number };
        let mut ending = match chance.below(30) {
            0 => Ending::Pain,
            1 | 2 => Ending::Short,
            3 => Ending::LeftOut,
            _ => Ending::Complete,
        };
        let (rung, work_secs) = (line.foothold.rung, 40);
        let reps = u16::try_from(chance.from(0, 12)).unwrap();
        story.note(*now, Fact::SetEnded { set: set.clone(), rung, reps, work_secs, ending });
        if ending == Ending::Pain && chance.one_in(3) {
            *now += TimeDelta::seconds(8);
            story.note(*now, Fact::StopTakenBack { set: set.clone() });
            ending = Ending::Complete;
            story.note(*now, Fact::SetEnded { set: set.clone(), rung, reps, work_secs, ending });
        }
        if ending == Ending::LeftOut || chance.one_in(12) {
            continue;
        }
        let site = SITES.get(usize::try_from(chance.below(6)).unwrap());
        let (rating, site) = (chance.points(), site.map(|(name, _)| words(name)));
        story.note(*now, Fact::SetRated { set, rating, site: site.clone() });
        let zone = limits.zone_of_set(rating, site.as_ref());
        if ending == Ending::Pain || zone == Zone::High {
            break;
        }
    }
}

/// A slip of one of the latest answers is put right.
fn correct(chance: &mut Chance, story: &mut GrowingLog, at: DateTime<FixedOffset>) {
    let is_answer =
        |event: &&Event| matches!(event.what, Fact::SetRated { .. } | Fact::MorningAnswered { .. });
    let ago = usize::try_from(chance.below(4)).unwrap();
    let Some(event) = story.events.iter().rev().filter(is_answer).nth(ago).cloned() else {
        return;
    };
    let of = event.id;
    if let Fact::MorningAnswered { ratings, .. } = &event.what {
        if chance.one_in(2) {
            let swelling = chance.swelling();
            story.note(at, Fact::SwellingCorrected { of, swelling });
        } else if let Some(exercise) = ratings.keys().next().cloned() {
            let (exercise, rating) = (Some(exercise), chance.points());
            story.note(at, Fact::Corrected { of, exercise, rating, site: None });
        }
    } else {
        let (rating, site) = (chance.points(), chance.one_in(2).then(|| words("knee")));
        story.note(at, Fact::Corrected { of, exercise: None, rating, site });
    }
    tell(story, at);
}
