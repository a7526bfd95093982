//! What a visit reads beyond the week itself: differences by the time of day and by the day's work, whether
//! verdicts were followed, sites apart, and from which day on. Each by a log written out by hand.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::log::event::{Ending, Fact, Planned, SetRef, WorkedToday};
use carryover::domain::log::rule::Swelling;
use carryover::domain::plan::ladder::Foothold;
use carryover::domain::plan::limits::Light;
use carryover::domain::visit::differences::{DayPart, Difference, FEWEST, Group, differences};
use carryover::domain::visit::following::{Followed, followed};
use carryover::domain::visit::review::{Review, limits_at};
use carryover::domain::visit::talking::Ratings;
use carryover::domain::words::Words;
use carryover::ui::text::{log, review as said};
use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
use chrono::{Days, NaiveDate};
use support::*;

/// A session of one set at some time of a day, from where the client stands.
fn session(story: &mut Story, day: NaiveDate, time: &str, worked: WorkedToday, points: i64) {
    let exercise = id("heel-drop");
    let history = story.history();
    let routine = history.routine().unwrap();
    let from = story.stands();
    let plan = vec![Planned { exercise: exercise.clone(), from }];
    let started = Fact::SessionStarted {
        routine: routine.id.clone(),
        version: routine.version,
        at_rest: None,
        worked_today: Some(worked),
        plan,
    };
    let session = story.note(at(day, time), started);
    let set = SetRef { session, exercise, number: 1 };
    let (rung, ending) = (from.rung, Ending::Complete);
    story.note(
        at(day, time),
        Fact::SetEnded { set: set.clone(), rung, reps: 10, work_secs: 40, ending },
    );
    story.note(at(day, time), Fact::SetRated { set, rating: rating(points), site: None });
}

fn differences_of(story: &Story) -> Vec<Difference> {
    let history = story.history();
    let to = history.last_day().unwrap();
    differences(&history, &id("heel-drop"), first(Mon), to)
}

fn days(number: usize) -> impl Iterator<Item = NaiveDate> {
    first(Mon).iter_days().take(number)
}

/// Farrar 2001: people notice two points. The order of five against five has a z of 2.5 (the row
/// `stat-ranksum-five-apart`), beyond 1.96.
#[test]
fn pain_two_points_higher_in_the_evening_is_told_and_one_point_is_not() {
    let by_evening = |points: i64, sessions: usize| {
        let mut story = Story::with(&limits());
        for day in days(sessions) {
            session(&mut story, day, "09:00", WorkedToday::AsUsual, 1);
            session(&mut story, day, "19:00", WorkedToday::AsUsual, points);
        }
        differences_of(&story)
    };
    let [told] = by_evening(3, FEWEST)[..] else { panic!("one difference") };
    assert_eq!(told.ratings, Ratings::During);
    assert_eq!(told.lower.group, Group::Started(DayPart::Morning));
    assert_eq!(told.higher.group, Group::Started(DayPart::Evening));
    assert_eq!((told.lower.count, told.higher.count), (FEWEST, FEWEST));
    assert!((told.higher.median - 3.0).abs() < 1e-12);
    assert_eq!(by_evening(2, FEWEST), [], "within measurement error");
    assert_eq!(by_evening(5, FEWEST - 1), [], "too few sessions");
}

#[test]
fn medians_apart_that_chance_could_order_so_are_not_told() {
    let mut story = Story::with(&limits());
    let points = [(0, 0), (1, 1), (2, 4), (4, 5), (5, 5)];
    for (day, (morning, evening)) in days(5).zip(points) {
        session(&mut story, day, "09:00", WorkedToday::AsUsual, morning);
        session(&mut story, day, "19:00", WorkedToday::AsUsual, evening);
    }
    assert_eq!(differences_of(&story), [], "2 and 4 in the middle, but all mixed up");
}

#[test]
fn mornings_after_a_heavy_day_are_held_against_those_after_other_days() {
    let mut story = Story::with(&limits());
    for (number, day) in days(12).enumerate() {
        let (worked, morning) =
            if number % 2 == 0 { (WorkedToday::Heavy, 4) } else { (WorkedToday::AsUsual, 1) };
        session(&mut story, day, "18:00", worked, 2);
        story.morning(day + Days::new(1), morning);
    }
    let [told] = differences_of(&story)[..] else { panic!("one difference") };
    assert_eq!(told.ratings, Ratings::NextMorning);
    assert_eq!(told.lower.group, Group::Worked(WorkedToday::AsUsual));
    assert_eq!(told.higher.group, Group::Worked(WorkedToday::Heavy));
    assert_eq!((told.lower.count, told.higher.count), (6, 6));
}

#[test]
fn a_morning_after_sessions_in_two_parts_of_a_day_belongs_to_neither() {
    let mut story = Story::with(&limits());
    for (number, day) in days(12).enumerate() {
        session(&mut story, day, "09:00", WorkedToday::AsUsual, 2);
        if number % 2 == 0 {
            session(&mut story, day, "19:00", WorkedToday::AsUsual, 2);
        }
        story.morning(day + Days::new(1), if number % 2 == 0 { 4 } else { 1 });
    }
    assert_eq!(differences_of(&story), []);
}

/// The hours of the client's own clock, as `dates::greeting` has them.
#[test]
fn a_day_has_three_parts() {
    let part = |time| DayPart::of(at(first(Mon), time));
    assert_eq!([part("04:00"), part("11:59")], [DayPart::Morning; 2]);
    assert_eq!([part("12:00"), part("17:59")], [DayPart::Afternoon; 2]);
    assert_eq!([part("18:00"), part("03:59")], [DayPart::Evening; 2]);
}

/// Tells the client what stands, as the app does after each session and each morning.
fn tell(story: &mut Story, day: NaiveDate, time: &str) {
    for fact in story.history().untold_verdicts() {
        story.note(at(day, time), fact);
    }
}

fn came_of(story: &Story, day: NaiveDate) -> Option<Followed> {
    followed(&story.history(), &id("heel-drop"), day).map(|(_, came)| came)
}

/// A Monday in the middle zone with a morning up by one: Ease, one rung down.
fn eased() -> Story {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4, 4, 4]);
    tell(&mut story, first(Mon), "20:00");
    story.morning(first(Tue), 1);
    tell(&mut story, first(Tue), "07:01");
    story
}

#[test]
fn a_verdict_is_followed_when_the_next_day_begins_where_it_said() {
    let mut story = eased();
    assert_eq!(came_of(&story, first(Mon)), Some(Followed::NotDoneSince));
    assert_eq!(came_of(&story, first(Sun)), None, "nothing was told");
    story.train(first(Wed), &[2, 2, 2]);
    assert_eq!(came_of(&story, first(Mon)), Some(Followed::AsTold { on: first(Wed) }));
    let history = story.history();
    let (told, _) = followed(&history, &id("heel-drop"), first(Mon)).unwrap();
    assert_eq!((told.order.light(), told.next), (Light::Ease, on_rung(2)));
}

/// A session of some sets on a rung of the client's choice.
fn train_on(story: &mut Story, day: NaiveDate, rung_number: i64, sets: u16) {
    let exercise = id("heel-drop");
    let history = story.history();
    let routine = history.routine().unwrap();
    let plan = vec![Planned { exercise: exercise.clone(), from: story.stands() }];
    let (routine, version) = (routine.id.clone(), routine.version);
    let (at_rest, worked_today) = (None, None);
    let started = Fact::SessionStarted { routine, version, at_rest, worked_today, plan };
    let session = story.note(at(day, "18:00"), started);
    for number in 1..=sets {
        let set = SetRef { session, exercise: exercise.clone(), number };
        let (rung, ending) = (rung(rung_number), Ending::Complete);
        story.note(
            at(day, "18:05"),
            Fact::SetEnded { set: set.clone(), rung, reps: 10, work_secs: 40, ending },
        );
        story.note(at(day, "18:06"), Fact::SetRated { set, rating: rating(2), site: None });
    }
}

#[test]
fn less_help_more_help_and_more_sets_than_told_are_told_apart() {
    for (number, sets, expected) in [
        (2, 3, Followed::AsTold { on: first(Wed) }),
        (2, 2, Followed::AsTold { on: first(Wed) }),
        (2, 4, Followed::MoreSets { on: first(Wed), sets: 4 }),
        (3, 3, Followed::LessHelp { on: first(Wed), rung: rung(3) }),
        (1, 3, Followed::MoreHelp { on: first(Wed), rung: rung(1) }),
    ] {
        let mut story = eased();
        train_on(&mut story, first(Wed), number, sets);
        assert_eq!(came_of(&story, first(Mon)), Some(expected), "rung {number}, {sets} sets");
    }
}

/// A Hold on Monday means two days off, back on Thursday once the latest morning was settled.
#[test]
fn training_on_a_day_off_is_told_and_training_after_it_is_not() {
    let held = || {
        let mut story = Story::with(&limits());
        story.train(first(Mon), &[7]);
        story.morning(first(Tue), 1);
        tell(&mut story, first(Tue), "07:01");
        assert_eq!(story.light(first(Mon)), Light::Hold);
        story
    };
    let mut soon = held();
    train_on(&mut soon, first(Wed), 2, 3);
    assert_eq!(came_of(&soon, first(Mon)), Some(Followed::WhileLeftOut { on: first(Wed) }));

    let mut unsettled = held();
    unsettled.morning(first(Thu), 2);
    train_on(&mut unsettled, first(Thu), 2, 3);
    assert_eq!(came_of(&unsettled, first(Mon)), Some(Followed::WhileLeftOut { on: first(Thu) }));

    let mut settled = held();
    settled.morning(first(Thu), 0);
    // A second Hold that day does not make the first one broken.
    settled.train(first(Thu), &[7]);
    assert_eq!(came_of(&settled, first(Mon)), Some(Followed::AsTold { on: first(Thu) }));
}

#[test]
fn a_verdict_told_after_the_next_session_began_was_not_there_to_be_followed() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4, 4, 4]);
    tell(&mut story, first(Mon), "20:00");
    // On the stairs again at six in the morning, before the check was answered.
    session(&mut story, first(Tue), "06:00", WorkedToday::AsUsual, 2);
    story.morning(first(Tue), 1);
    tell(&mut story, first(Tue), "07:01");
    assert_eq!(story.light(first(Mon)), Light::Ease);
    assert_eq!(came_of(&story, first(Mon)), Some(Followed::AsTold { on: first(Tue) }));
}

#[test]
fn a_new_version_in_between_says_something_of_its_own() {
    let mut story = eased();
    story.accept(at(first(Tue), "12:00"), &routine(2, &limits(), &[heel_drop()]));
    story.train(first(Wed), &[2, 2, 2]);
    assert_eq!(came_of(&story, first(Mon)), Some(Followed::NewVersion { on: first(Wed) }));
}

#[test]
fn each_site_keeps_its_own_worst_of_a_day() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "18:00")).set_at_site(2, Some(HEEL));
    {
        let mut session = story.session(at(first(Mon), "20:00"));
        session.set_at_site(1, Some("calf"));
        session.set_at_site(3, Some(HEEL));
        session.set(1);
    }
    let review = Review::of(&story.history(), first(Mon)).unwrap();
    let day = &review.exercises[0].days[0];
    let sites: Vec<(Option<&str>, u8)> = day
        .sites
        .iter()
        .map(|(site, worst)| (site.as_ref().map(Words::as_str), worst.points()))
        .collect();
    assert_eq!(sites, [(None, 1), (Some("calf"), 1), (Some(HEEL), 3)]);
    assert_eq!(day.worst, Some(rating(3)));
}

/// A visit reads from the last one on, and closing it does not take it away.
#[test]
fn a_visit_reads_from_the_last_visit_or_version_before_the_last_day() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[2]);
    story.morning_at(at(first(Sat), "07:00"), 1, Swelling::NoMore);
    let begins = |story: &Story, visits: &[NaiveDate]| Review::begins(&story.history(), visits);
    assert_eq!(begins(&story, &[]), Some(first(Mon)));
    assert_eq!(begins(&story, &[first(Wed)]), Some(first(Wed)));
    assert_eq!(begins(&story, &[first(Wed), first(Sat)]), Some(first(Wed)), "closed on that day");
    assert_eq!(begins(&story, &[second(Mon)]), Some(first(Mon)), "closed after it");
    assert_eq!(begins(&story, &[NaiveDate::MIN]), Some(first(Mon)), "nothing is before the first");
    story.accept(at(first(Fri), "10:00"), &routine(2, &limits(), &[heel_drop()]));
    story.train(first(Sun), &[2]);
    assert_eq!(begins(&story, &[first(Wed)]), Some(first(Fri)));
    assert_eq!(Foothold::on(rung(3)), story.stands());
}

/// docs/numbers.md: the next mornings of training days, and no others.
#[test]
fn a_typical_next_morning_is_one_after_training() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[2, 2, 2]);
    story.morning(first(Tue), 4);
    // Two rest days, each with an answer.
    story.morning(first(Wed), 5);
    story.morning(first(Thu), 5);
    let review = Review::of(&story.history(), first(Mon)).unwrap();
    assert_eq!(review.exercises[0].typical_morning, Some(rating(4).into()));
    assert_eq!((review.mornings.done, review.mornings.prescribed), (1, 1));
    assert_eq!(review.mornings.extra, 2);
    // What the client's own screens count is the two together.
    assert_eq!(log::what_it_holds(&story.history()), "1 session and 3 morning answers");
    assert_eq!(said::mornings(review.mornings), "1 of 1, and 2 after days without training");
}

/// Of two answers on one morning the worse counts, as in the rule; one of the night is no morning.
#[test]
fn a_morning_that_two_phones_answered_is_one() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[2, 2, 2]);
    story.morning_at(at(first(Tue), "02:00"), 9, Swelling::ClearlyMore);
    story.morning_at(at(first(Tue), "07:00"), 1, Swelling::ALittleMore);
    story.morning_at(at(first(Tue), "07:30"), 3, Swelling::NoMore);
    let review = Review::of(&story.history(), first(Mon)).unwrap();
    let day = &review.exercises[0].days[0];
    assert_eq!((day.morning, day.swelling), (Some(rating(3)), Some(Swelling::ALittleMore)));
    assert_eq!(log::what_it_holds(&story.history()), "1 session and 1 morning answer");
}

#[test]
fn a_warning_sign_is_a_hold_of_its_own_day_and_leaves_the_day_before_as_it_was() {
    let mut story = Story::with(&limits());
    story.train(first(Thu), &[1, 1, 1]);
    tell(&mut story, first(Thu), "20:00");
    story.warning(at(first(Fri), "12:00"));
    tell(&mut story, first(Fri), "12:00");
    let history = story.history();
    let review = Review::of(&history, first(Mon)).unwrap();
    let exercise = &review.exercises[0];
    let lights: Vec<_> = exercise.lights.iter().map(|(day, light)| (*day, *light)).collect();
    assert_eq!(lights, [(first(Thu), Light::Keep), (first(Fri), Light::Hold)]);
    assert_eq!(exercise.days[0].told.last().unwrap().order.light(), Light::Keep);
    assert_eq!(said::lights(exercise).unwrap(), "1 Keep and 1 Hold");
    assert_eq!(said::happened(exercise, &review), None, "no Hold after Thursday");
    assert_eq!(review.warned.iter().copied().collect::<Vec<_>>(), [first(Fri)]);
    let table = carryover::exchange::csv::print(&history);
    let row = table.lines().find(|row| row.starts_with("2026-06-04,")).unwrap();
    assert!(row.contains(",keep,") && !row.contains(",hold,"), "{row}");
}

#[test]
fn the_rung_changed_only_where_sets_were_worked_on_several() {
    let mut story = Story::with(&limits());
    train_on(&mut story, first(Mon), 3, 3);
    story.morning(first(Tue), 3);
    tell(&mut story, first(Tue), "07:01");
    let changed = |story: &Story| {
        Review::of(&story.history(), first(Mon)).unwrap().exercises[0].rung_changed()
    };
    assert_eq!(story.stands(), on_rung(2), "the next session starts lower");
    assert!(!changed(&story), "all ratings are of one rung");
    train_on(&mut story, first(Wed), 2, 3);
    assert!(changed(&story));
    // There and back again is a change, too.
    train_on(&mut story, first(Thu), 3, 3);
    assert!(changed(&story));
}

/// The sets of a day are held against the version that its session followed, not the latest.
#[test]
fn sets_are_of_those_that_the_version_of_the_session_asked_for() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1, 1, 1]);
    let mut fewer = heel_drop();
    fewer.dose.sets = carryover::domain::plan::dose::Sets::new(2).unwrap();
    story.accept(at(first(Tue), "12:00"), &routine(2, &limits(), &[fewer]));
    story.train(first(Tue), &[1, 1]);
    let review = Review::of(&story.history(), first(Mon)).unwrap();
    let sets: Vec<String> = review.exercises[0].days.iter().map(said::sets).collect();
    assert_eq!(sets, ["3 of 3", "2 of 2"]);
}

/// A light of an earlier version stands beside the limits of that version.
#[test]
fn a_verdict_is_shown_with_the_limits_that_held_when_it_was_told() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[3, 3, 3]);
    let wider = carryover::domain::plan::limits::Limits {
        table: carryover::domain::plan::limits::Preset::WiderGreen.table(),
        ..limits()
    };
    story.accept(at(first(Tue), "12:00"), &routine(2, &wider, &[heel_drop()]));
    let history = story.history();
    let low_max =
        |date, time| limits_at(&history, &id("heel-drop"), at(date, time)).unwrap().table.low_max();
    assert_eq!(low_max(first(Mon), "20:00"), rating(2));
    assert_eq!(low_max(first(Tue), "20:00"), rating(3));
}
