//! The rule's second edition, one story a sentence, each by the smallest log that shows it.
//!
//! Each comes from a history that the first edition misread, or from a sentence of
//! `docs/clinical-rule.md` that could be read in two ways. The first day of every story is a Monday.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::log::course::{Availability, Stop};
use carryover::domain::log::event::{Ending, Fact, Lifts, SetRef};
use carryover::domain::log::history::{EDITION, History, MorningsTell, Newness};
use carryover::domain::log::rule::{Order, Reason, Swelling, Usual, UsualFrom};
use carryover::domain::log::warning::WarningSign;
use carryover::domain::pain::HalfPoints;
use carryover::domain::plan::ladder::{Foothold, OnLowestRung};
use carryover::domain::plan::limits::{
    AfterBreak, AfterMiddleSet, Cell, Light, Limits, Preset, Settling, Table,
};
use carryover::domain::plan::routine::{AnchorChange, OnHold, Routine, SwellingReach};
use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
use chrono::{Days, NaiveDate};
use support::*;

const SETTLED: i64 = 0;
const UP_A_LITTLE: i64 = 1;
const UP_CLEARLY: i64 = 2;

/// The default limits, with nothing recorded about usual mornings.
fn unrecorded() -> Limits {
    Limits::of(Preset::PainMonitoring)
}

fn climbing_unrecorded() -> Limits {
    Limits { usual_morning: None, ..climbing_after(1) }
}

fn days_on(date: NaiveDate, days: u64) -> NaiveDate {
    date + Days::new(days)
}

/// What the morning after a training day was compared with, and how it was read.
fn read_as(story: &Story, day: NaiveDate) -> (Usual, Settling) {
    let of_morning = |reason: &Reason| {
        let Reason::Morning { usual, settling, .. } = reason else { return None };
        Some((*usual, *settling))
    };
    story.judged(day).verdict.reasons.iter().find_map(of_morning).unwrap()
}

fn because(story: &Story, day: NaiveDate, reason: &Reason) -> bool {
    story.judged(day).verdict.reasons.contains(reason)
}

/// A day that ends in a Hold: high pain, and a morning that has not settled.
fn hold(story: &mut Story, day: NaiveDate) {
    story.train(day, &[7]);
    story.morning(days_on(day, 1), UP_CLEARLY);
    assert_eq!(story.light(day), Light::Hold);
}

/// A day that counts toward a step up.
fn good_day(story: &mut Story, day: NaiveDate) {
    story.train(day, &[1]);
    story.morning(days_on(day, 1), SETTLED);
    assert_eq!(story.order(day), Order::KeepAndCount);
}

// A flare never becomes usual.

#[test]
fn a_flare_never_becomes_usual_and_the_rung_that_flared_is_not_climbed_to_again() {
    let mut story = Story::with(&unrecorded());
    story.train(first(Mon), &[7]);
    for (day, points) in [(Tue, 5), (Wed, 4), (Thu, 1)] {
        story.morning(first(day), points);
    }
    assert_eq!((story.light(first(Mon)), story.stands()), (Light::Hold, on_rung(2)));
    // A morning of 1 is not settled where none is known: the client trains against the Hold.
    story.train(first(Thu), &[1]);
    story.morning(first(Fri), 4);
    let (usual, settling) = read_as(&story, first(Thu));
    assert_eq!((usual.half_points, usual.from), (HalfPoints(0), UsualFrom::Nothing));
    assert_eq!((settling, story.light(first(Thu))), (Settling::UpClearly, Light::Ease));
    assert_eq!(story.stands(), on_rung(1));
    // Two weeks of mornings like that, trained through: still none of them is usual.
    for days in 0..14 {
        let day = days_on(first(Fri), days);
        story.train(day, &[1]);
        story.morning(days_on(day, 1), 4);
        assert_eq!(read_as(&story, day).0.half_points, HalfPoints(0), "{day}");
        assert!(story.stands() <= on_rung(1), "{day}");
    }
}

/// The same with the morning that lets it come back: the first edition read 4 as usual on Friday.
#[test]
fn back_from_a_flare_its_own_mornings_are_none_to_compare_with() {
    let mut story = Story::with(&unrecorded());
    story.train(first(Mon), &[7]);
    for (day, points) in [(Tue, 5), (Wed, 4), (Thu, 0)] {
        story.morning(first(day), points);
    }
    assert!(story.is_open(first(Thu)));
    let counts: Vec<bool> = story.course().mornings().iter().map(|one| one.counts).collect();
    assert_eq!(counts, [false, false, true], "it brought a Hold; it was held; it was open");
    story.train(first(Thu), &[1]);
    story.morning(first(Fri), 4);
    assert_eq!(read_as(&story, first(Thu)).1, Settling::UpClearly);
    assert_eq!((story.light(first(Thu)), story.stands()), (Light::Ease, on_rung(1)));
}

/// Mornings from 1 to 4 over sixty days, fifteen of each, trained on whatever the rule says.
fn creep(story: &mut Story, from: NaiveDate) -> Vec<NaiveDate> {
    let days: Vec<NaiveDate> = (0..60).map(|days| days_on(from, days)).collect();
    for (number, day) in (0..).zip(&days) {
        story.train(*day, &[1]);
        story.morning(days_on(*day, 1), 1 + number / 15);
    }
    days
}

#[test]
fn pain_that_creeps_up_over_sixty_days_is_measured_from_what_the_client_said() {
    let mut story = Story::with(&climbing_unrecorded());
    story.usual_morning(at(first(Mon), "06:10"), 1);
    let days = creep(&mut story, first(Mon));
    for day in &days {
        assert!(read_as(&story, *day).0.half_points <= HalfPoints(2), "{day}");
    }
    assert_eq!(read_as(&story, days[0]).0.from, UsualFrom::Said);
    assert_eq!(read_as(&story, days[20]).1, Settling::UpALittle);
    assert_eq!(read_as(&story, days[35]).1, Settling::UpClearly);
    assert_eq!(read_as(&story, days[50]).1, Settling::UpClearly);
    assert_ne!(story.light(days[50]), Light::Keep);
}

#[test]
fn pain_that_creeps_up_over_sixty_days_is_measured_from_the_first_mornings() {
    let mut story = Story::with(&climbing_unrecorded());
    let days = creep(&mut story, first(Mon));
    for day in &days {
        assert!(read_as(&story, *day).0.half_points <= HalfPoints(2), "{day}");
    }
    assert_eq!(story.course().anchor().unwrap().half_points, HalfPoints(2));
    assert_eq!(story.course().anchor().unwrap().from, UsualFrom::FirstMornings);
    assert_eq!(read_as(&story, days[35]).1, Settling::UpClearly);
    assert_ne!(story.light(days[50]), Light::Keep);
}

#[test]
fn mornings_that_get_better_lower_what_is_usual_below_the_anchor() {
    let mut story = Story::with(&unrecorded());
    story.usual_morning(at(first(Mon), "06:10"), 4);
    for day in [Mon, Tue, Wed] {
        story.morning(first(day), 1);
    }
    story.train(first(Wed), &[1]);
    story.morning(first(Thu), 3);
    let (usual, settling) = read_as(&story, first(Wed));
    assert_eq!((usual.half_points, usual.from), (HalfPoints(2), UsualFrom::Mornings));
    assert_eq!(settling, Settling::UpClearly);
}

#[test]
fn a_new_version_keeps_the_anchor_unless_it_sets_or_clears_it_and_another_routine_asks_again() {
    let anchor = |change: Option<AnchorChange>, routine_id: &str| {
        let mut story = Story::with(&unrecorded());
        story.usual_morning(at(first(Mon), "06:10"), 3);
        let mut next = routine(2, &unrecorded(), &[heel_drop()]);
        next.anchor = change;
        next.id = id(routine_id);
        story.accept(at(first(Tue), "12:00"), &next);
        story.course().anchor().map(|usual| usual.half_points)
    };
    assert_eq!(anchor(None, "stairs"), Some(HalfPoints(6)));
    let set = AnchorChange::Set { rating: rating(2) };
    assert_eq!(anchor(Some(set), "stairs"), Some(HalfPoints(4)));
    assert_eq!(anchor(Some(AnchorChange::Clear), "stairs"), None);
    assert_eq!(anchor(None, "another"), None);
}

// Nothing left to ease.

#[test]
fn nine_every_day_on_the_last_set_of_the_lowest_rung_is_a_hold_and_not_the_same_for_ever() {
    for on_lowest_rung in [OnLowestRung::OneSetFewer, OnLowestRung::Hold] {
        let mut drop = heel_drop();
        drop.ladder = ladder(1, 1, 1);
        drop.dose.sets = 1.try_into().unwrap();
        let mut story = Story::of(&routine(1, &Limits { on_lowest_rung, ..limits() }, &[drop]));
        story.train(first(Mon), &[9]);
        story.morning(first(Tue), SETTLED);
        assert_eq!(story.order(first(Mon)), Order::HoldUntilRested);
        assert!(because(&story, first(Mon), &Reason::NothingEasier));
        assert_eq!(story.availability(first(Wed)), Availability::Held { back_on: first(Thu) });
        assert_eq!(story.today(first(Thu)).dose.sets.get(), 1, "never below one");
        story.morning(first(Thu), SETTLED);
        assert!(story.is_open(first(Thu)));
        story.train(first(Thu), &[9]);
        story.morning(first(Fri), SETTLED);
        assert_eq!(story.order(first(Thu)), Order::HoldUntilAnswered, "the second of two");
        assert_eq!(story.availability(second(Sun)), Availability::Stopped(Stop::TwoHolds));
    }
}

// Warning signs.

#[test]
fn no_version_lifts_a_warning_sign_issued_before_or_after_it_whatever_it_says_of_holds() {
    for issued in [first(Mon), first(Tue), first(Wed), first(Thu)] {
        for on_hold in [None, Some(OnHold::Open), Some(OnHold::Leave)] {
            let mut story = Story::with(&limits());
            story.train(first(Mon), &[1]);
            story.warning(at(first(Tue), "09:00"));
            story.accept(at(first(Thu), "12:00"), &version(2, issued, on_hold));
            let stands = Availability::Stopped(Stop::WarningSign);
            assert_eq!(story.availability(first(Thu)), stands, "{issued} {on_hold:?}");
            assert_eq!(story.availability(third(Mon)), stands, "{issued} {on_hold:?}");
            assert_eq!(story.history().standing_signs(), [WarningSign::Unwell]);
            story.go_ahead(at(third(Mon), "10:00"), Lifts::WarningSign);
            assert!(story.is_open(third(Mon)));
            assert_eq!(story.history().sign_since(), None);
            assert_eq!(story.stands(), on_rung(2));
        }
    }
}

/// A version of the routine, and what it says of the heel drop on Hold.
fn version(number: i64, issued: NaiveDate, on_hold: Option<OnHold>) -> Routine {
    let mut next = routine(number, &limits(), &[heel_drop()]);
    next.issued = issued;
    next.on_hold = on_hold.map(|says| (id("heel-drop"), says)).into_iter().collect();
    next
}

#[test]
fn an_old_file_taken_on_after_another_routine_lifts_no_warning_sign() {
    let mut story = Story::with(&limits());
    story.warning(at(first(Tue), "09:00"));
    let mut other = version(1, first(Wed), Some(OnHold::Open));
    other.id = id("another");
    story.accept(at(first(Wed), "12:00"), &other);
    let old = routine(1, &limits(), &[heel_drop()]);
    assert_eq!(story.history().newness(&old), Newness::Again);
    story.accept(at(first(Thu), "12:00"), &old);
    assert_eq!(story.history().routine().unwrap().id, id("stairs"));
    assert_eq!(story.availability(first(Thu)), Availability::Stopped(Stop::WarningSign));
}

#[test]
fn a_ticked_sign_is_a_fact_from_the_tap_on_and_so_is_taking_the_tick_off_again() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    let signs = vec![WarningSign::Unwell, WarningSign::StuckJoint];
    let of = story.note(at(first(Tue), "17:00"), Fact::WarningTicked { signs });
    assert_eq!(story.availability(first(Tue)), Availability::Stopped(Stop::WarningSign));
    let unticked = |sign| Fact::WarningUnticked { of, sign };
    story.note(at(first(Tue), "17:01"), unticked(WarningSign::Unwell));
    assert_eq!(story.history().standing_signs(), [WarningSign::StuckJoint], "the other stands");
    assert!(!story.is_open(first(Tue)));
    let mut live = story.history();
    story.note(at(first(Tue), "17:02"), unticked(WarningSign::StuckJoint));
    assert!(story.is_open(first(Tue)));
    let history = story.history();
    let slips: Vec<WarningSign> = history.unticked().iter().map(|(_, sign)| *sign).collect();
    assert_eq!(slips, [WarningSign::Unwell, WarningSign::StuckJoint], "both stand in the log");
    assert_eq!((history.warnings().len(), story.stands()), (0, on_rung(3)));
    assert_eq!(story.course().judged().len(), 1, "no Hold of Tuesday");
    live.catch_up(story.events().iter());
    assert_eq!(live.sign_since(), None, "and where the app has been open all along");
}

#[test]
fn a_stop_taken_back_stops_nothing_and_stands_in_the_log() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "18:00")).set(1);
    let Fact::SetRated { set, .. } = story.events().last().unwrap().what.clone() else {
        panic!("a rating")
    };
    let set = SetRef { number: 2, ..set };
    let end = |reps, ending| Fact::SetEnded {
        set: set.clone(),
        rung: rung(3),
        reps,
        work_secs: 16,
        ending,
    };
    let before = story.history();
    story.note(at(first(Mon), "18:05"), end(3, Ending::Pain));
    assert_eq!(story.light(first(Mon)), Light::Hold);
    let mut live = story.history();
    story.note(at(first(Mon), "18:06"), Fact::StopTakenBack { set: set.clone() });
    live.catch_up(story.events().iter());
    for history in [story.history(), live] {
        assert_eq!(history.sessions(), before.sessions());
        assert_eq!(
            history.course(&set.exercise).unwrap().judged(),
            before.course(&set.exercise).unwrap().judged()
        );
    }
    // The same set, ended for good.
    story.note(at(first(Mon), "18:07"), end(8, Ending::Complete));
    let sets = story.history().sessions()[0].sets.clone();
    assert_eq!(sets.iter().map(|set| set.reps).collect::<Vec<_>>()[1..], [8]);
    assert_eq!(story.light(first(Mon)), Light::Keep);
    // A second stop of it is a stop, and one that nobody made is not there to be taken back.
    story.note(at(first(Mon), "18:08"), end(2, Ending::Pain));
    assert_eq!(story.light(first(Mon)), Light::Hold);
    let other = SetRef { number: 3, ..set };
    story.note(at(first(Mon), "18:09"), Fact::StopTakenBack { set: other });
    assert_eq!(story.light(first(Mon)), Light::Hold);
}

#[test]
fn a_version_that_adds_an_exercise_keeps_it_stopped_while_a_sign_stands() {
    let mut story = Story::with(&limits());
    story.warning(at(first(Mon), "09:00"));
    let mut next = routine(2, &limits(), &[heel_drop(), chair_rise()]);
    next.issued = first(Tue);
    story.accept(at(first(Tue), "12:00"), &next);
    let chair = |story: &Story, day| story.today_of(&id("chair-rise"), day).availability;
    assert_eq!(chair(&story, first(Tue)), Availability::Stopped(Stop::WarningSign));
    story.go_ahead(at(first(Wed), "09:00"), Lifts::All);
    assert_eq!(chair(&story, first(Wed)), Availability::Stopped(Stop::WarningSign));
    story.go_ahead(at(first(Wed), "09:01"), Lifts::WarningSign);
    assert_eq!(chair(&story, first(Wed)), Availability::Open);
    assert!(story.is_open(first(Wed)));
}

#[test]
fn a_go_ahead_for_all_or_for_one_exercise_never_includes_a_warning_sign() {
    for lifts in [Lifts::All, Lifts::Exercise(id("heel-drop"))] {
        let mut story = Story::with(&limits());
        story.warning(at(first(Mon), "09:00"));
        story.go_ahead(at(first(Tue), "09:00"), lifts);
        assert_eq!(story.availability(first(Tue)), Availability::Stopped(Stop::WarningSign));
    }
}

/// Every log has such entries from before the second edition.
#[test]
fn the_go_ahead_that_names_nothing_lifts_a_sign_as_it_always_did() {
    let mut story = Story::with(&limits());
    story.warning(at(first(Mon), "09:00"));
    story.told_to_go_on(at(first(Tue), "09:00"));
    assert!(story.is_open(first(Tue)));
}

#[test]
fn a_sign_on_a_day_off_takes_one_rung_and_the_time_off_another() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    story.warning(at(days_on(first(Mon), 20), "09:00"));
    assert_eq!(story.stands(), on_rung(2));
    story.go_ahead(at(days_on(first(Mon), 21), "09:00"), Lifts::WarningSign);
    assert_eq!(story.today(days_on(first(Mon), 21)).foothold, on_rung(1));
}

// The morning check.

fn owed(story: &Story, day: NaiveDate, time: &str) -> Option<NaiveDate> {
    story.history().owed_morning(at(day, time)).map(|owed| owed.after)
}

#[test]
fn the_morning_check_is_not_asked_on_the_evening_of_the_hold_itself() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "05:00")).sets(&[7]);
    for time in ["05:30", "12:00", "20:00", "23:59"] {
        assert_eq!(owed(&story, first(Mon), time), None, "{time}");
    }
    assert_eq!(owed(&story, first(Tue), "00:30"), None, "the same evening still");
    assert_eq!(owed(&story, first(Tue), "04:00"), Some(first(Mon)));
    let mut story = Story::with(&limits());
    story.warning(at(first(Mon), "09:00"));
    assert_eq!(owed(&story, first(Mon), "10:00"), None);
    assert_eq!(owed(&story, first(Tue), "10:00"), Some(first(Mon)));
}

#[test]
fn a_session_between_midnight_and_four_is_asked_about_on_the_morning_that_dawns() {
    let mut story = Story::with(&limits());
    story.session(at(first(Tue), "01:00")).sets(&[4]);
    assert_eq!(story.history().sessions()[0].day(), first(Mon));
    assert_eq!(owed(&story, first(Tue), "03:59"), None);
    assert_eq!(owed(&story, first(Tue), "04:00"), Some(first(Mon)));
    story.morning(first(Tue), UP_A_LITTLE);
    assert_eq!(story.light(first(Mon)), Light::Ease);
    assert_eq!(owed(&story, first(Wed), "09:00"), None, "asked once");
}

#[test]
fn a_check_owed_for_yesterday_stays_open_until_midnight_whatever_today_brings() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    story.session(at(first(Tue), "18:00")).sets(&[7]);
    assert_eq!(owed(&story, first(Tue), "23:59"), Some(first(Mon)));
}

#[test]
fn mornings_are_asked_while_an_exercise_is_stopped() {
    let mut story = Story::with(&limits());
    story.warning(at(first(Mon), "09:00"));
    for day in [first(Tue), first(Sun), second(Mon), third(Fri)] {
        assert_eq!(owed(&story, day, "07:00"), Some(first(Mon)), "{day}");
    }
    story.go_ahead(at(third(Fri), "10:00"), Lifts::WarningSign);
    assert_eq!(owed(&story, third(Sat), "07:00"), None);

    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Thu), SETTLED);
    hold(&mut story, first(Thu));
    assert_eq!(story.availability(first(Sun)), Availability::Stopped(Stop::TwoHolds));
    assert_eq!(owed(&story, second(Wed), "07:00"), Some(first(Thu)));

    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    assert_eq!(story.availability(second(Wed)), Availability::Stopped(Stop::NotSettled));
    assert_eq!(owed(&story, second(Wed), "07:00"), Some(first(Mon)));
}

// Corrections.

#[test]
fn a_correction_at_noon_neither_steps_up_into_the_mornings_session_nor_names_a_rung_nobody_is_on() {
    let mut story = Story::with(&climbing_after(1));
    story.train(first(Mon), &[1]);
    let slip = story.morning(first(Tue), UP_CLEARLY);
    assert_eq!((story.light(first(Mon)), story.stands()), (Light::Ease, on_rung(2)));
    story.session(at(first(Tue), "07:30")).sets(&[1]);
    story.correct(at(first(Tue), "12:00"), slip, SETTLED);
    assert_eq!(story.order(first(Mon)), Order::KeepAndCount);
    assert_eq!(story.judged(first(Mon)).next, on_rung(2), "there Tuesday began");
    assert_eq!((story.stands(), story.count()), (on_rung(2), 1), "the count stands");
    story.morning(first(Wed), SETTLED);
    assert_eq!((story.stands(), story.count()), (on_rung(3), 0), "and the next day takes it");
    assert_eq!(story.judged(first(Tue)).from, on_rung(2));
}

#[test]
fn a_step_up_that_a_correction_brings_about_is_dated_by_the_session_that_uses_it() {
    let mut drop = heel_drop();
    drop.ladder = ladder(5, 1, 5);
    let mut story = Story::of(&routine(1, &climbing_after(1), &[drop]));
    story.train(first(Mon), &[1]);
    let slip = story.morning(first(Tue), UP_A_LITTLE);
    story.correct(at(first(Tue), "12:00"), slip, SETTLED);
    assert_eq!(story.stands(), on_rung(2));
    good_day(&mut story, first(Fri));
    good_day(&mut story, second(Mon));
    assert_eq!(story.stands(), on_rung(2), "seven days after Monday, three after it was used");
    good_day(&mut story, second(Thu));
    assert_eq!(story.stands(), on_rung(2));
    good_day(&mut story, second(Fri));
    assert_eq!(story.stands(), on_rung(3));
}

#[test]
fn a_mistaken_ten_corrected_before_the_next_session_leaves_no_trace_on_the_ladder() {
    let mut story = Story::with(&limits());
    let slip = story.session(at(first(Mon), "18:00")).set(10);
    assert_eq!((story.light(first(Mon)), story.stands()), (Light::Hold, on_rung(2)));
    story.correct(at(first(Tue), "06:30"), slip, 1);
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
    assert_eq!(story.stands(), on_rung(3));
    assert!(story.is_open(first(Tue)));
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.order(first(Mon)), Order::KeepAndCount);
    // Nor is it the first of two Holds.
    hold(&mut story, first(Wed));
    assert_eq!(story.order(first(Wed)), Order::HoldUntilRested);
    let both = story.events().iter().filter(|event| {
        matches!(event.what, Fact::SetRated { .. } | Fact::Corrected { .. }) && event.id >= slip
    });
    assert!(2 <= both.count(), "the slip and its correction stand in the log");
}

#[test]
fn a_corrected_morning_is_or_is_not_one_of_the_usual_ones_as_it_was_meant() {
    let mut story = Story::with(&unrecorded());
    story.train(first(Mon), &[1]);
    let slip = story.morning(first(Tue), 9);
    assert!(!story.course().mornings()[0].counts);
    story.correct(at(first(Tue), "07:05"), slip, 1);
    assert!(story.course().mornings()[0].counts);
}

/// A session from before 04:00 that went on after the morning was answered, and a late answer about
/// swelling: the morning turns out to have brought a Hold.
#[test]
fn a_morning_is_none_of_the_usual_ones_once_its_day_became_a_hold() {
    let mut story = Story::with(&unrecorded());
    story.session(at(first(Tue), "03:50")).set(1);
    let mut stopped = story.clone();
    let ended = story.events().last().unwrap().what.clone();
    let Fact::SetRated { set, .. } = ended else { panic!("a rating") };
    stopped.morning_at(at(first(Tue), "04:10"), 1, Swelling::NoMore);
    assert!(stopped.course().mornings()[0].counts);
    let set = SetRef { number: 2, ..set };
    let (rung, reps, work_secs, ending) = (rung(3), 4, 16, Ending::Pain);
    stopped.note(at(first(Tue), "04:20"), Fact::SetEnded { set, rung, reps, work_secs, ending });
    assert_eq!(stopped.light(first(Mon)), Light::Hold);
    assert!(!stopped.course().mornings()[0].counts);

    let mut late = Story::with(&unrecorded());
    late.train(first(Mon), &[1]);
    late.morning(first(Tue), 1);
    assert!(late.course().mornings()[0].counts);
    let (ratings, swelling) = ([].into(), Swelling::ClearlyMore);
    let about_monday = Fact::MorningAnswered { after: first(Mon), ratings, swelling };
    late.note(at(first(Wed), "07:00"), about_monday);
    assert_eq!(late.light(first(Mon)), Light::Hold);
    assert!(!late.course().mornings()[0].counts);
}

/// Someone has looked at the sign before the morning is answered.
#[test]
fn the_morning_after_the_day_of_a_sign_is_none_of_the_usual_ones() {
    for trains in [true, false] {
        let mut story = Story::with(&unrecorded());
        if trains {
            story.train(first(Mon), &[0]);
        }
        story.warning(at(first(Mon), "20:00"));
        story.go_ahead(at(first(Tue), "06:00"), Lifts::WarningSign);
        story.morning(first(Tue), 1);
        assert!(!story.course().mornings()[0].counts);
    }
}

#[test]
fn a_correction_of_the_swelling_in_a_late_answer_holds_instead_of_the_slip() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    let ratings = [(id("heel-drop"), rating(0))].into();
    let late =
        Fact::MorningAnswered { after: first(Mon), ratings, swelling: Swelling::ClearlyMore };
    let of = story.note(at(first(Wed), "07:00"), late);
    assert_eq!(story.light(first(Mon)), Light::Hold);
    let corrected = Fact::SwellingCorrected { of, swelling: Swelling::NoMore };
    story.note(at(first(Wed), "07:01"), corrected);
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
    assert!(story.is_open(first(Wed)));
}

fn answer_about(after: NaiveDate, points: i64, swelling: Swelling) -> Fact {
    let ratings = [(id("heel-drop"), rating(points))].into();
    Fact::MorningAnswered { after, ratings, swelling }
}

#[test]
fn a_correction_of_one_late_answer_leaves_what_another_morning_told_of_the_same_day() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    story.note(at(first(Wed), "07:00"), answer_about(first(Mon), 0, Swelling::ClearlyMore));
    let later = answer_about(first(Mon), 0, Swelling::NoMore);
    let of = story.note(at(first(Thu), "07:00"), later);
    story.correct(at(first(Thu), "07:01"), of, 1);
    assert_eq!(story.light(first(Mon)), Light::Hold);
}

/// Of two answers on one morning one is late; during a Hold it is an answer to what is asked.
#[test]
fn a_late_rating_is_read_only_during_a_hold_and_whichever_answer_came_first() {
    let late = answer_about(first(Mon), 1, Swelling::NoMore);
    let in_time = answer_about(first(Wed), 0, Swelling::NoMore);
    let mut quiet = Story::with(&limits());
    quiet.train(first(Mon), &[1]);
    let mut held = Story::with(&limits());
    held.train(first(Mon), &[7]);
    for (before, read, is_open) in [(quiet, 0, true), (held, 1, false)] {
        for answers in [[&late, &in_time], [&in_time, &late]] {
            let mut story = before.clone();
            for (answer, time) in answers.into_iter().zip(["07:00", "07:30"]) {
                story.note(at(first(Thu), time), answer.clone());
            }
            let course = story.course();
            let known = course.mornings().last().unwrap();
            assert_eq!((known.date, known.rating), (first(Thu), rating(read)));
            assert_eq!(story.is_open(first(Thu)), is_open);
        }
    }
}

// Time off.

#[test]
fn thirteen_days_between_two_training_days_are_no_break_and_fourteen_are_one() {
    for (days, rung, count) in [(13, 3, 2), (14, 2, 1), (40, 2, 1)] {
        let mut story = Story::with(&limits());
        good_day(&mut story, first(Mon));
        assert_eq!(story.count(), 1);
        let back = days_on(first(Mon), days);
        assert_eq!(story.today(back).foothold, on_rung(rung), "{days}");
        assert_eq!(story.today(back).days_away.is_some(), rung == 2, "{days}");
        good_day(&mut story, back);
        assert_eq!(story.judged(back).from, on_rung(rung), "{days}");
        assert_eq!(story.count(), count, "the count lapses: {days}");
    }
}

#[test]
fn the_practitioner_sets_how_long_a_break_is() {
    for (length, days, rung) in [(7, 6, 3), (7, 7, 2), (60, 59, 3), (60, 60, 2)] {
        let break_days = length.try_into().unwrap();
        let mut story = Story::with(&Limits { break_days, ..limits() });
        story.train(first(Mon), &[1]);
        assert_eq!(story.today(days_on(first(Mon), days)).foothold, on_rung(rung), "{days}");
    }
}

#[test]
fn the_first_day_back_starts_as_the_practitioner_set() {
    let back = third(Mon);
    let begun = |after_break, ladder_of: (i64, i64, i64), sets: i64| {
        let mut drop = heel_drop();
        drop.ladder = ladder(ladder_of.0, ladder_of.1, ladder_of.2);
        drop.dose.sets = sets.try_into().unwrap();
        let mut story = Story::of(&routine(1, &Limits { after_break, ..limits() }, &[drop]));
        story.train(first(Mon), &[1]);
        story
    };
    let lower =
        |ladder_of, sets| begun(AfterBreak::OneRungLower, ladder_of, sets).today(back).foothold;
    assert_eq!(lower((5, 3, 4), 3), on_rung(2));
    assert_eq!(lower((5, 1, 4), 3), fewer_sets(1), "on the lowest rung one set fewer");
    assert_eq!(lower((5, 1, 4), 1), on_rung(1), "never below one");
    let same = begun(AfterBreak::Same, (5, 3, 4), 3);
    assert_eq!((same.today(back).foothold, same.is_open(back)), (on_rung(3), true));
    let mut wait = begun(AfterBreak::WaitForMe, (5, 3, 4), 3);
    assert!(wait.is_open(days_on(first(Mon), 13)));
    assert_eq!(wait.availability(back), Availability::Stopped(Stop::TimeOff));
    wait.go_ahead(at(back, "09:00"), Lifts::Exercise(id("heel-drop")));
    assert_eq!((wait.today(back).foothold, wait.is_open(back)), (on_rung(3), true));
}

#[test]
fn training_on_regardless_after_a_break_that_waits_does_not_lift_the_stop() {
    let mut story = Story::with(&Limits { after_break: AfterBreak::WaitForMe, ..limits() });
    story.train(first(Mon), &[1]);
    story.train(third(Mon), &[1]);
    story.morning(third(Tue), SETTLED);
    assert_eq!(story.availability(third(Tue)), Availability::Stopped(Stop::TimeOff));
    story.go_ahead(at(third(Tue), "09:00"), Lifts::All);
    assert!(story.is_open(third(Tue)));
}

#[test]
fn the_days_off_after_a_hold_are_no_part_of_a_break() {
    for (days, is_break) in [(15, false), (16, true)] {
        let mut story = Story::with(&limits());
        hold(&mut story, first(Mon));
        story.morning(first(Wed), SETTLED);
        let back = days_on(first(Mon), days);
        let start = if is_break { on_rung(1) } else { on_rung(2) };
        assert_eq!(story.today(back).foothold, start, "{days} days, two of them off");
    }
}

#[test]
fn a_step_up_that_was_granted_and_never_trained_on_is_lost_in_a_break() {
    for (after_break, back) in
        [(AfterBreak::OneRungLower, 2), (AfterBreak::Same, 3), (AfterBreak::WaitForMe, 3)]
    {
        let mut story = Story::with(&Limits { after_break, ..climbing_after(1) });
        good_day(&mut story, first(Mon));
        assert_eq!(story.stands(), on_rung(4));
        story.go_ahead(at(third(Mon), "09:00"), Lifts::All);
        assert_eq!(story.today(third(Mon)).foothold, on_rung(back), "{after_break:?}");
    }
}

#[test]
fn what_a_break_took_is_won_back_like_any_lost_rung() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    for day in [Mon, Tue, Wed] {
        assert_eq!(story.today(third(day)).foothold, on_rung(2), "{day}");
        good_day(&mut story, third(day));
    }
    assert_eq!(story.stands(), on_rung(3));
}

// Swelling and high mornings.

#[test]
fn a_little_more_swelling_on_a_third_morning_within_seven_days_is_clearly_more() {
    let mut story = Story::with(&limits());
    for (day, next, order) in [
        (first(Mon), first(Tue), Order::KeepAndStay),
        (first(Tue), first(Wed), Order::KeepAndStay),
        (first(Wed), first(Thu), Order::HoldUntilRested),
    ] {
        story.train(day, &[1]);
        story.swollen_morning(next, SETTLED, Swelling::ALittleMore);
        assert_eq!(story.order(day), order, "{day}");
    }
    assert!(because(&story, first(Wed), &Reason::SwellingAddedUp));
    assert_eq!(story.availability(first(Thu)), Availability::Held { back_on: first(Sat) });
    // It does not come back on such a morning either.
    story.swollen_morning(first(Sat), SETTLED, Swelling::ALittleMore);
    assert!(!story.is_open(first(Sat)));
}

#[test]
fn clearly_more_counts_as_one_of_the_three_and_a_morning_seven_days_ago_does_not() {
    let third_time = |mornings: [(NaiveDate, Swelling); 2]| {
        let mut story = Story::with(&limits());
        for (day, swelling) in mornings {
            story.swollen_morning(day, SETTLED, swelling);
        }
        story.train(second(Mon), &[1]);
        story.swollen_morning(second(Tue), SETTLED, Swelling::ALittleMore);
        story.order(second(Mon))
    };
    let (little, clearly) = (Swelling::ALittleMore, Swelling::ClearlyMore);
    let added_up = Order::HoldUntilRested;
    assert_eq!(third_time([(first(Wed), clearly), (first(Fri), little)]), added_up);
    assert_eq!(third_time([(first(Wed), little), (second(Mon), little)]), added_up);
    assert_eq!(third_time([(first(Tue), little), (first(Fri), little)]), Order::KeepAndStay);
    assert_eq!(
        third_time([(first(Wed), Swelling::NoMore), (first(Fri), little)]),
        Order::KeepAndStay
    );
}

#[test]
fn swelling_says_nothing_of_an_exercise_that_is_out_of_its_reach() {
    let chair = carryover::domain::plan::routine::Exercise {
        swelling: SwellingReach::OutOfReach,
        ..chair_rise()
    };
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop(), chair]));
    story.train(first(Mon), &[1]);
    story.train_other("chair-rise", first(Mon), &[1]);
    story.swollen_morning(first(Tue), SETTLED, Swelling::ClearlyMore);
    let order = |exercise: &str| {
        let history = story.history();
        history.course(&id(exercise)).unwrap().judged().last().unwrap().verdict.order
    };
    assert_eq!(order("heel-drop"), Order::HoldUntilRested);
    assert_eq!(order("chair-rise"), Order::KeepAndCount);
}

#[test]
fn mornings_of_eight_where_eight_is_usual_never_climb() {
    let mut story = Story::with(&Limits { usual_morning: Some(rating(8)), ..climbing_after(1) });
    for days in 0..10 {
        let day = days_on(first(Mon), days);
        story.train(day, &[1]);
        story.morning(days_on(day, 1), 8);
        assert_eq!(story.order(day), Order::KeepAndStay, "{day}");
        assert!(because(&story, day, &Reason::MorningHigh { rating: rating(8) }));
        assert_eq!((story.stands(), story.count()), (on_rung(3), 0), "{day}");
    }
    let today = days_on(first(Mon), 10);
    let seven: Vec<NaiveDate> = (4..=10).map(|days| days_on(first(Mon), days)).collect();
    assert_eq!(story.today(today).high_days, seven, "what the app says before a session");
}

#[test]
fn high_pain_at_rest_just_before_a_session_never_counts() {
    let mut story = Story::with(&climbing_after(1));
    story.session_of(&id("heel-drop"), at(first(Mon), "18:00"), Some(rating(6))).sets(&[1]);
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.order(first(Mon)), Order::KeepAndStay);
    assert!(because(&story, first(Mon), &Reason::AtRestHigh { rating: rating(6) }));
    assert_eq!(story.today(first(Tue)).high_days, [first(Mon)]);
}

// Within a day.

fn easing() -> Limits {
    Limits { after_middle_set: AfterMiddleSet::OneRungDown, ..limits() }
}

#[test]
fn no_set_is_eased_more_than_one_rung_below_the_start_of_the_day_over_two_sessions_either() {
    let mut story = Story::with(&easing());
    assert_eq!(story.today(first(Mon)).least, rung(2));
    story.session(at(first(Mon), "08:00")).sets(&[3, 3]);
    assert_eq!(story.today(first(Mon)).foothold, on_rung(2));
    assert_eq!(story.today(first(Mon)).least, rung(2), "as it was in the morning");
    assert_eq!(story.course().least_on(first(Mon)), rung(2));
    story.session(at(first(Mon), "20:00")).sets(&[3, 3, 3]);
    let rungs: Vec<u16> = story
        .history()
        .sessions()
        .iter()
        .flat_map(|session| session.sets.iter().map(|set| set.rung.get()).collect::<Vec<_>>())
        .collect();
    assert_eq!(rungs, [3, 2, 2, 2, 2]);
    assert_eq!(story.stands(), on_rung(2));
    assert_eq!(story.today(first(Tue)).least, rung(1), "another day, from where it starts");
}

#[test]
fn on_the_lowest_rung_there_is_no_rung_below_the_start_of_the_day() {
    let mut drop = heel_drop();
    drop.ladder = ladder(5, 1, 4);
    let story = Story::of(&routine(1, &easing(), &[drop]));
    assert_eq!(story.today(first(Mon)).least, rung(1));
}

#[test]
fn after_a_break_the_day_eases_from_where_it_starts_then() {
    let mut story = Story::with(&easing());
    story.train(first(Mon), &[1]);
    assert_eq!(story.today(third(Mon)).foothold, on_rung(2));
    assert_eq!(story.course().least_on(third(Mon)), rung(1));
}

// Worse from morning to morning.

#[test]
fn three_mornings_each_worse_than_the_one_before_are_said_to_the_client() {
    let is_said = |ratings: &[i64], today: NaiveDate| {
        let mut story = Story::with(&limits());
        for (day, points) in first(Mon).iter_days().zip(ratings) {
            story.train(day, &[1]);
            story.morning(day + Days::new(1), *points);
        }
        story.today(today).mornings_tell == Some(MorningsTell::WorseInARow)
    };
    assert!(is_said(&[0, 1, 2, 3], first(Fri)));
    assert!(is_said(&[3, 0, 1, 2, 3], first(Sun)), "until the day after");
    assert!(!is_said(&[0, 1, 2, 3], first(Sun)), "no longer");
    assert!(!is_said(&[0, 1, 2, 2], first(Fri)));
    assert!(!is_said(&[1, 2, 3], first(Thu)), "two of three");
    assert!(!is_said(&[0, 1, 2, 3, 2], first(Sat)));
}

// Silence.

#[test]
fn two_middle_days_whose_mornings_were_never_answered_are_said_to_the_client() {
    let silent = |ratings: [i64; 2], answered: Option<NaiveDate>, today: NaiveDate| {
        let mut story = Story::with(&limits());
        for (day, points) in [Mon, Wed].into_iter().zip(ratings) {
            story.train(first(day), &[points]);
        }
        if let Some(day) = answered {
            story.morning(day, SETTLED);
        }
        assert_eq!(
            story.today(today).mornings_tell == Some(MorningsTell::Unanswered),
            story.course().middle_days_unanswered(today).is_some()
        );
        story.course().middle_days_unanswered(today)
    };
    let both = Some([first(Mon), first(Wed)]);
    assert_eq!(silent([4, 4], None, first(Thu)), None, "it can still be answered");
    assert_eq!(silent([4, 4], None, first(Fri)), both);
    assert_eq!(silent([4, 4], Some(first(Thu)), first(Fri)), None);
    assert_eq!(silent([2, 4], None, first(Fri)), None);
    assert_eq!(silent([4, 2], None, first(Fri)), None);
}

// A go-ahead names what it lifts.

#[test]
fn a_go_ahead_for_one_exercise_lifts_that_one_and_no_other() {
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop(), chair_rise()]));
    for (day, settled) in [(first(Mon), first(Thu)), (first(Thu), first(Sun))] {
        story.train(day, &[7]);
        story.train_other("chair-rise", day, &[7]);
        story.morning(days_on(day, 1), UP_CLEARLY);
        story.morning(settled, SETTLED);
    }
    let of =
        |story: &Story, exercise: &str| story.today_of(&id(exercise), second(Mon)).availability;
    let stopped = Availability::Stopped(Stop::TwoHolds);
    assert_eq!((of(&story, "heel-drop"), of(&story, "chair-rise")), (stopped, stopped));
    story.go_ahead(at(second(Mon), "09:00"), Lifts::WarningSign);
    assert_eq!(of(&story, "heel-drop"), stopped, "a word about a sign is about a sign");
    story.go_ahead(at(second(Mon), "09:01"), Lifts::Exercise(id("heel-drop")));
    assert_eq!((of(&story, "heel-drop"), of(&story, "chair-rise")), (Availability::Open, stopped));
    story.go_ahead(at(second(Mon), "09:02"), Lifts::All);
    assert_eq!(of(&story, "chair-rise"), Availability::Open);
}

#[test]
fn a_go_ahead_for_an_exercise_lifts_a_plain_hold_and_one_for_all_does_not() {
    for (lifts, open) in [(Lifts::All, false), (Lifts::Exercise(id("heel-drop")), true)] {
        let mut story = Story::with(&limits());
        hold(&mut story, first(Mon));
        story.go_ahead(at(first(Tue), "10:00"), lifts);
        assert_eq!(story.is_open(first(Tue)), open);
        assert_eq!(story.stands(), on_rung(2), "one rung down");
        assert_eq!(story.light(first(Mon)), Light::Hold, "what was told stands");
    }
}

// Versions.

/// A plain Hold of Monday, or the second of two on Thursday, and then a version.
fn held_then(second_hold: bool, issued: NaiveDate, on_hold: Option<OnHold>) -> Availability {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    let mut taken_on = first(Tue);
    if second_hold {
        story.morning(first(Thu), SETTLED);
        hold(&mut story, first(Thu));
        story.morning(second(Mon), SETTLED);
        taken_on = second(Mon);
    }
    story.accept(at(taken_on, "12:00"), &version(2, issued, on_hold));
    story.availability(taken_on)
}

#[test]
fn a_version_lifts_what_it_says_and_where_it_is_silent_stops_and_no_days_off() {
    let (open, held) = (Availability::Open, Availability::Held { back_on: first(Thu) });
    let stopped = Availability::Stopped(Stop::TwoHolds);
    for (on_hold, plain, two) in
        [(None, held, open), (Some(OnHold::Open), open, open), (Some(OnHold::Leave), held, stopped)]
    {
        assert_eq!(held_then(false, first(Tue), on_hold), plain, "{on_hold:?}");
        assert_eq!(held_then(true, second(Mon), on_hold), two, "{on_hold:?}");
    }
}

#[test]
fn a_version_issued_before_the_day_of_the_verdict_lifts_nothing_and_on_that_day_it_does() {
    let sunday_before = first(Mon).pred_opt().unwrap();
    let held = Availability::Held { back_on: first(Thu) };
    assert_eq!(held_then(false, sunday_before, Some(OnHold::Open)), held);
    assert_eq!(held_then(false, first(Mon), Some(OnHold::Open)), Availability::Open);
    let stopped = Availability::Stopped(Stop::TwoHolds);
    assert_eq!(held_then(true, first(Wed), None), stopped);
    assert_eq!(held_then(true, first(Wed), Some(OnHold::Open)), stopped);
    assert_eq!(held_then(true, first(Thu), None), Availability::Open);
}

#[test]
fn a_version_taken_on_before_the_hold_was_known_does_not_answer_it() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.accept(at(first(Tue), "06:00"), &version(2, first(Mon), Some(OnHold::Open)));
    story.morning(first(Tue), UP_CLEARLY);
    assert_eq!(story.availability(first(Tue)), Availability::Held { back_on: first(Thu) });
}

/// The second Hold of a week counts the first; once both are answered nothing counts them any more, and
/// still Thursday was told that it was the second.
#[test]
fn a_verdict_is_not_rewritten_once_it_was_answered() {
    let answers: [fn(&mut Story); 2] = [
        |story| story.accept(at(first(Fri), "12:00"), &version(2, first(Fri), None)),
        |story| story.go_ahead(at(first(Fri), "12:00"), Lifts::All),
    ];
    for answer in answers {
        let mut story = Story::with(&limits());
        hold(&mut story, first(Mon));
        story.morning(first(Thu), SETTLED);
        hold(&mut story, first(Thu));
        let told = story.judged(first(Thu));
        assert_eq!(told.verdict.order, Order::HoldUntilAnswered);
        answer(&mut story);
        for day in [Sat, Sun] {
            story.morning(first(day), SETTLED);
            assert_eq!(story.judged(first(Thu)), told, "{day}");
        }
        assert!(story.is_open(first(Sun)));
    }
}

/// What is learnt later of a day that was answered brings a Hold where its light was milder; where that
/// turns out to be a slip, the day is as it was answered.
#[test]
fn what_makes_an_answered_day_worse_stands_until_it_is_corrected() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    let mut other =
        routine(2, &Limits { rest_days: 1.try_into().unwrap(), ..limits() }, &[heel_drop()]);
    other.issued = first(Tue);
    story.accept(at(first(Tue), "06:00"), &other);
    let of = story.morning(first(Tue), UP_CLEARLY);
    assert_eq!((story.light(first(Mon)), story.stands()), (Light::Hold, on_rung(2)));
    assert!(!story.is_open(first(Tue)));
    story.correct(at(first(Tue), "07:05"), of, SETTLED);
    assert_eq!((story.light(first(Mon)), story.stands()), (Light::Keep, on_rung(3)));
    assert!(story.is_open(first(Tue)));
}

#[test]
fn newer_is_newer_than_the_highest_version_that_was_ever_taken_on() {
    let mut story = Story::of(&routine(3, &limits(), &[heel_drop()]));
    let of = |story: &Story, number| {
        story.history().newness(&routine(number, &limits(), &[heel_drop()]))
    };
    assert_eq!(
        [2, 3, 4].map(|number| of(&story, number)),
        [Newness::Older, Newness::Same, Newness::Newer]
    );
    let mut other = routine(1, &limits(), &[chair_rise()]);
    other.id = id("another");
    story.accept(at(first(Tue), "12:00"), &other);
    assert_eq!(
        [2, 3, 4].map(|number| of(&story, number)),
        [Newness::Again, Newness::Again, Newness::Newer]
    );
    story.accept(at(first(Wed), "12:00"), &routine(2, &limits(), &[heel_drop()]));
    // What was reached is kept: the highest one is 3 still.
    assert_eq!(of(&story, 3), Newness::Same);
    assert_eq!(of(&story, 4), Newness::Newer);
}

#[test]
fn an_old_version_taken_on_again_lifts_no_stop_and_nothing_starts_higher_by_it() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Thu), SETTLED);
    hold(&mut story, first(Thu));
    assert_eq!(story.stands(), on_rung(1));
    let mut other = routine(1, &limits(), &[chair_rise()]);
    other.id = id("another");
    other.issued = first(Sat);
    story.accept(at(first(Sat), "12:00"), &other);
    let mut again = version(1, first(Sun), Some(OnHold::Open));
    again.exercises();
    again.title = words("the same number, another start");
    let mut drop = heel_drop();
    drop.ladder = ladder(5, 4, 5);
    let mut higher = routine(1, &limits(), &[drop]);
    higher.issued = first(Sun);
    story.accept(at(first(Sun), "12:00"), &again);
    assert_eq!(story.availability(first(Sun)), Availability::Stopped(Stop::TwoHolds));
    story.accept(at(first(Sun), "13:00"), &other);
    story.accept(at(first(Sun), "14:00"), &higher);
    assert_eq!(story.availability(first(Sun)), Availability::Stopped(Stop::TwoHolds));
    assert_eq!(story.stands(), on_rung(1));
}

/// A version with other sets, or another start, taken on after some time off.
fn placed_after(
    days: u64,
    change: impl Fn(&mut carryover::domain::plan::routine::Exercise),
) -> Foothold {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    let back = days_on(first(Mon), days);
    let mut drop = heel_drop();
    change(&mut drop);
    let mut next = routine(2, &limits(), &[drop]);
    next.issued = back;
    story.accept(at(back, "09:00"), &next);
    story.today(back).foothold
}

#[test]
fn a_moved_start_or_changed_sets_is_the_practitioners_word_break_or_no_break() {
    for days in [2, 20] {
        assert_eq!(placed_after(days, |drop| drop.ladder = ladder(5, 4, 5)), on_rung(4), "{days}");
        assert_eq!(placed_after(days, |drop| drop.ladder = ladder(5, 2, 5)), on_rung(2), "{days}");
        let sets = |drop: &mut carryover::domain::plan::routine::Exercise| {
            drop.dose.sets = 2.try_into().unwrap();
        };
        assert_eq!(placed_after(days, sets), on_rung(3), "{days}");
    }
    assert_eq!(placed_after(20, |_| ()), on_rung(2), "a version that says nothing of it");
    assert_eq!(placed_after(20, |drop| drop.ladder = ladder(5, 3, 5)), on_rung(2), "a ceiling");
}

#[test]
fn a_verdict_of_a_day_before_that_arrives_after_a_moved_start_takes_the_lower() {
    for (morning, stands) in [(SETTLED, 4), (UP_A_LITTLE, 2)] {
        let mut story = Story::with(&limits());
        story.train(first(Mon), &[4]);
        let mut drop = heel_drop();
        drop.ladder = ladder(5, 4, 5);
        story.accept(at(first(Tue), "06:00"), &routine(2, &limits(), &[drop]));
        assert_eq!(story.stands(), on_rung(4));
        story.morning(first(Tue), morning);
        assert_eq!(story.stands(), on_rung(stands));
    }
}

// Logs begun under the first edition.

/// A day that only has pain at rest to compare with, told as the first edition told it.
fn told_by_the_first_edition() -> Story {
    let mut story = Story::with(&unrecorded());
    story.session_of(&id("heel-drop"), at(first(Mon), "18:00"), Some(rating(2))).sets(&[1]);
    story.morning(first(Tue), 2);
    let judged = story.judged(first(Mon));
    assert_eq!(judged.verdict.order, Order::KeepNotCounted);
    let order = Order::KeepAndCount;
    let (reasons, next) = (Vec::new(), judged.next);
    let told =
        Fact::VerdictGiven { exercise: id("heel-drop"), day: first(Mon), order, reasons, next };
    story.note(at(first(Tue), "07:01"), told);
    story
}

#[test]
fn in_an_older_log_a_verdict_stays_as_it_was_told_and_the_client_stands_where_this_edition_says() {
    let story = told_by_the_first_edition();
    assert!(story.history().is_of_an_earlier_edition());
    assert_eq!(story.order(first(Mon)), Order::KeepAndCount, "as it was told");
    assert_eq!(story.count(), 0, "as it is worked out now");
    assert!(story.history().untold_verdicts().is_empty(), "nothing is told a second time");
}

#[test]
fn from_the_day_the_rule_was_explained_a_log_is_of_this_edition() {
    let mut story = told_by_the_first_edition();
    story.note(at(first(Tue), "08:00"), Fact::RuleExplained { edition: EDITION });
    assert!(!story.history().is_of_an_earlier_edition());
    assert_eq!(story.order(first(Mon)), Order::KeepAndCount, "what came before stays");
    story.session_of(&id("heel-drop"), at(first(Tue), "18:00"), Some(rating(2))).sets(&[1]);
    story.morning(first(Wed), 2);
    let next = story.judged(first(Tue)).next;
    let (order, reasons) = (Order::KeepAndCount, Vec::new());
    let told =
        Fact::VerdictGiven { exercise: id("heel-drop"), day: first(Tue), order, reasons, next };
    story.note(at(first(Wed), "07:01"), told);
    assert_eq!(
        story.order(first(Tue)),
        Order::KeepNotCounted,
        "the log decides, not what was told"
    );
}

#[test]
fn a_log_that_begins_with_this_edition_has_nothing_to_explain() {
    assert!(!History::default().is_of_an_earlier_edition());
    let mut story = Story::with(&limits());
    assert!(!story.history().is_of_an_earlier_edition(), "nobody has trained yet");
    story.note(at(first(Mon), "06:10"), Fact::RuleExplained { edition: EDITION });
    story.train(first(Mon), &[1]);
    assert!(!story.history().is_of_an_earlier_edition());
}

// Readings that were settled.

#[test]
fn sets_worked_and_not_rated_give_no_verdict_unless_the_joint_is_clearly_more_swollen() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "18:00")).unrated();
    let mut swollen = story.clone();
    story.swollen_morning(first(Tue), UP_CLEARLY, Swelling::ALittleMore);
    assert_eq!(story.course().judged(), []);
    assert!(story.is_open(first(Tue)));
    let of = swollen.swollen_morning(first(Tue), SETTLED, Swelling::ClearlyMore);
    assert_eq!(swollen.order(first(Mon)), Order::HoldUntilRested);
    assert!(because(&swollen, first(Mon), &Reason::NotRated));
    let corrected = Fact::SwellingCorrected { of, swelling: Swelling::NoMore };
    swollen.note(at(first(Tue), "07:01"), corrected);
    assert_eq!((swollen.light(first(Mon)), swollen.stands()), (Light::Keep, on_rung(3)));
    assert!(swollen.is_open(first(Tue)));
}

/// An answer at noon takes the Ease of the day before back, once a session was done on the lower rung.
#[test]
fn a_day_without_a_verdict_leaves_the_client_no_higher_than_where_it_began() {
    let mut limits = limits();
    let (low, middle) = (limits.table.low_max(), limits.table.middle_max());
    let rows = [[Cell::Counts, Cell::Stay, Cell::Ease, Cell::Ease]; 3];
    limits.table = Table::new(low, middle, rows).unwrap();
    let mut story = Story::with(&limits);
    story.train(first(Mon), &[0]);
    story.session(at(first(Tue), "10:00")).unrated();
    story.morning_at(at(first(Tue), "12:00"), SETTLED, Swelling::NoMore);
    assert_eq!((story.light(first(Mon)), story.stands()), (Light::Keep, on_rung(2)));
}

/// An answer about something else, once a break has taken the step.
#[test]
fn a_step_up_that_was_told_stays_told_though_a_break_has_taken_it() {
    let mut story = Story::with(&climbing_after(1));
    good_day(&mut story, first(Mon));
    let told = story.judged(first(Mon));
    assert_eq!(told.next, on_rung(4));
    story.train(days_on(first(Mon), 14), &[0]);
    assert_eq!(story.stands(), on_rung(2));
    story.morning(days_on(first(Mon), 15), SETTLED);
    assert_eq!(story.judged(first(Mon)), told);
}

#[test]
fn ease_holds_for_a_second_session_of_the_same_day_and_moves_from_where_the_day_started() {
    let limits = Limits { table: Preset::NearlyPainFree.table(), ..limits() };
    let mut story = Story::with(&limits);
    story.session(at(first(Mon), "08:00")).sets(&[2]);
    assert_eq!(story.light(first(Mon)), Light::Ease);
    assert_eq!(story.today(first(Mon)).foothold, on_rung(2));
    story.session(at(first(Mon), "20:00")).sets(&[2]);
    assert_eq!(story.judged(first(Mon)).from, on_rung(3));
    assert_eq!(story.stands(), on_rung(2), "once a day, not once a session");
}

/// Last week 9, 9, 9, 0, 0: only the two of nought count, so a point more this week is a rise, though the
/// plain median of last week is 9.
#[test]
fn a_flare_of_last_week_does_not_hide_that_mornings_are_rising() {
    let mut story = Story::with(&limits());
    for (day, points) in [(Tue, 9), (Wed, 9), (Thu, 9), (Fri, 0), (Sat, 0)] {
        story.morning(first(day), points);
    }
    for day in [Tue, Wed] {
        story.morning(second(day), 1);
    }
    story.train(second(Sat), &[4]);
    story.morning(second(Sun), SETTLED);
    let medians = story.course().weekly_medians(second(Sun));
    assert_eq!(medians, (Some(HalfPoints(2)), Some(HalfPoints(0))));
    assert!(because(&story, second(Sat), &Reason::WeeksRising));
    assert_eq!(story.light(second(Sat)), Light::Ease);
}

/// Ten days off are over later than the seven days for which a Hold waits: the day of return is the last
/// chance.
#[test]
fn a_hold_that_waits_longer_than_a_week_has_its_last_chance_on_the_day_of_return() {
    for (answered, later) in
        [(Some(second(Fri)), Availability::Open), (None, Availability::Stopped(Stop::NotSettled))]
    {
        let rest_days = 10.try_into().unwrap();
        let mut story = Story::with(&Limits { rest_days, ..limits() });
        hold(&mut story, first(Mon));
        assert_eq!(story.availability(second(Thu)), Availability::Held { back_on: second(Fri) });
        if let Some(day) = answered {
            story.morning(day, SETTLED);
        }
        assert_eq!(story.availability(second(Sat)), later);
    }
}

/// The evening's light reads the morning as not answered; where one as usual makes it milder, the stop that two
/// Holds bring is not settled before that morning is over.
#[test]
fn a_stop_told_before_its_morning_hangs_on_it() {
    let second_hold = |preset: Preset| {
        let mut story = Story::with(&Limits { table: preset.table(), ..limits() });
        hold(&mut story, first(Mon));
        story.morning(first(Thu), SETTLED);
        story.train(first(Thu), &[7]);
        assert_eq!(story.availability(first(Thu)), Availability::Stopped(Stop::TwoHolds));
        story
    };
    let mut story = second_hold(Preset::PainMonitoring);
    let hangs = |story: &Story, day| story.course().stop_hangs_on_morning(day);
    assert!(hangs(&story, first(Thu)) && hangs(&story, first(Fri)));
    assert!(!hangs(&story, first(Sat)), "the morning is over");
    story.morning(first(Fri), SETTLED);
    assert_eq!(story.light(first(Thu)), Light::Ease);
    assert!(story.is_open(first(Fri)));

    let mut story = second_hold(Preset::PainMonitoring);
    story.morning(first(Fri), UP_CLEARLY);
    assert!(!hangs(&story, first(Fri)), "it was answered");
    assert_eq!(story.availability(first(Fri)), Availability::Stopped(Stop::TwoHolds));

    let story = second_hold(Preset::NearlyPainFree);
    assert!(!hangs(&story, first(Thu)), "high pain is Hold whatever the morning");
}
