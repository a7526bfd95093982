//! The note of a visit: the whole text, written out by hand, and what may stand in it.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeSet;

use carryover::domain::event_id::EventId;
use carryover::domain::log::event::Fact;
use carryover::domain::log::history::{History, Note};
use carryover::domain::plan::changes::{Change, RoutineChange, between};
use carryover::domain::plan::dose::Sets;
use carryover::domain::plan::draft::Draft;
use carryover::domain::plan::routine::{Answer, NotARoutine, Routine, Version};
use carryover::domain::visit::answering;
use carryover::domain::visit::review::Review;
use carryover::domain::visit::talking::talking_points;
use carryover::domain::words::{NotWords, Prose, Words};
use carryover::exchange::file::{self, File};
use carryover::exchange::link;
use carryover::ui::text::visit_note::{AtVisit, headline, visit_note};
use chrono::Weekday::{Fri, Mon, Sat, Thu, Tue, Wed};
use proptest::prelude::*;
use serde_json::Value;
use support::revisions::plans;
use support::scripts::a_quarter;
use support::*;

const ASKED: &str = "The last step pulls.\nIs that all right?";

/// A week: an Ease that was followed, a Hold with two days off, a question.
fn week() -> Story {
    let mut story = Story::with(&limits());
    let tell = |story: &mut Story, at| {
        for fact in story.history().untold_verdicts() {
            story.note(at, fact);
        }
    };
    story.session(at(first(Mon), "18:00")).set_at_site(4, Some("heel"));
    tell(&mut story, at(first(Mon), "20:00"));
    story.morning(first(Tue), 1);
    tell(&mut story, at(first(Tue), "07:01"));
    {
        let mut session = story.session(at(first(Tue), "18:00"));
        session.set_at_site(3, Some("calf"));
        session.set_at_site(7, Some("heel"));
    }
    tell(&mut story, at(first(Tue), "20:00"));
    story.note(at(first(Tue), "20:05"), Fact::Note { text: words(ASKED), session: None });
    story.morning(first(Wed), 1);
    tell(&mut story, at(first(Wed), "07:01"));
    story.morning(first(Thu), 1);
    story.note(at(first(Fri), "12:00"), Fact::HandedBack);
    story
}

fn next(history: &History, change: impl FnOnce(&mut Draft)) -> Routine {
    let mut draft = Draft::of(history.routine().unwrap());
    change(&mut draft);
    draft.routine(id("stairs"), Version::new(2).unwrap(), None, first(Fri)).unwrap()
}

fn note_of(history: &History, next: Option<&Routine>, agreed: Option<&Words>) -> String {
    let review = Review::of(history, first(Mon)).unwrap();
    let points = talking_points(history, &review);
    let put_aside = BTreeSet::new();
    let at = AtVisit {
        label: "round 7",
        day: first(Sat),
        history,
        review: Some(&review),
        points: &points,
        put_aside: &put_aside,
        next,
        agreed,
    };
    assert_eq!(visit_note(&at), visit_note(&at));
    assert!(headline(&at).starts_with("Log read to Friday 5 June, routine "));
    visit_note(&at)
}

#[test]
fn a_visit_note_says_what_was_reported_reviewed_changed_and_agreed() {
    let history = week().history();
    let note = history.notes()[0].clone();
    let next = next(&history, |draft| {
        draft.items[0].exercise.dose.sets = Sets::new(2).unwrap();
        answering::answer(draft, &note, Some(words("Yes, as long as it settles.")), &history);
    });
    let agreed = words("Slow on the last step.\nRing before the round.");
    assert_eq!(
        note_of(&history, Some(&next), Some(&agreed)),
        "\
Visit on Saturday 6 June 2026: round 7
Routine: Stairs and chair, version 1. Log read from Monday 1 June 2026 to Friday 5 June 2026.

REPORTED
- Sessions: 2 of 2. Morning checks answered: 2 of 2, and 1 after days without training.
- heel-drop: 2 of 2, 2 in part, 2 days left out by the rule; worst pain during 7 of 10 (calf 3 and heel 7); next morning usually 1.
- Wrote on Tue 2 Jun: \"The last step pulls.
  Is that all right?\"

REVIEWED
- heel-drop: from rung 3 to rung 1; 1 Ease and 1 Hold; 1 of 1 verdicts followed.
- heel-drop: Hold after Tue 2 Jun; on Hold until a morning is as usual.

CHANGED
- heel-drop: 2 sets instead of 3.

AGREED
- Slow on the last step.
  Ring before the round.
- Answered \"The last step pulls.
  Is that all right?\" of Tue 2 Jun: Yes, as long as it settles.

From the client's own log; diaries tend to say more than was done (Nicolson 2018). No diagnosis.
"
    );
}

#[test]
fn a_visit_without_changes_or_words_says_so() {
    let history = week().history();
    let same = next(&history, |_| {});
    for next in [None, Some(&same)] {
        let note = note_of(&history, next, None);
        assert!(note.contains("CHANGED\nThe routine stays as it is.\n"), "{note}");
        assert!(note.contains("AGREED\nNothing was written down.\n"), "{note}");
    }
}

#[test]
fn a_visit_without_a_log_says_so() {
    let history = History::default();
    let put_aside = BTreeSet::new();
    let agreed = words("The phone stayed at home.");
    let at = AtVisit {
        label: "round 7",
        day: first(Sat),
        history: &history,
        review: None,
        points: &[],
        put_aside: &put_aside,
        next: None,
        agreed: Some(&agreed),
    };
    assert_eq!(
        visit_note(&at),
        "\
Visit on Saturday 6 June 2026: round 7

REPORTED
No log was read.

REVIEWED
Nothing to review.

CHANGED
The routine stays as it is.

AGREED
- The phone stayed at home.
"
    );
}

#[test]
fn an_answer_stands_beside_the_exact_question_until_it_is_taken_back() {
    let history = week().history();
    let note = &history.notes()[0];
    let mut draft = Draft::of(history.routine().unwrap());
    answering::answer(&mut draft, note, Some(words("No.")), &history);
    answering::answer(&mut draft, note, Some(words("Yes.")), &history);
    let [answer] = &draft.answers[..] else { panic!("one answer") };
    assert_eq!((answer.to, answer.asked), (note.id, first(Tue)));
    assert_eq!((answer.question.as_str(), answer.answer.as_str()), (ASKED, "Yes."));
    answering::answer(&mut draft, note, None, &history);
    assert!(draft.says_the_same_as(history.routine().unwrap()));
}

/// The answers of the versions that the client took on stay with the client; the next version brings only
/// what is new.
#[test]
fn an_answer_that_arrived_is_kept_by_the_client_and_not_sent_again() {
    let mut story = week();
    let history = story.history();
    let first_note = history.notes()[0].clone();
    let second = next(&history, |draft| {
        answering::answer(draft, &first_note, Some(words("Yes.")), &history);
    });
    let told = between(history.routine().unwrap(), &second);
    let is_told = |change: &Change| matches!(change, Change::Routine(RoutineChange::Answers(_)));
    assert!(told.iter().any(is_told));
    story.accept(at(first(Fri), "13:00"), &second);
    let text = words("And the rucksack?");
    story.note(at(first(Fri), "18:00"), Fact::Note { text, session: None });

    let history = story.history();
    let note: &Note = &history.notes()[1];
    let mut draft = Draft::of(history.routine().unwrap());
    assert_eq!(draft.answers.len(), 1, "as it was handed over");
    answering::answer(&mut draft, note, Some(words("Lighter.")), &history);
    assert_eq!(draft.answers.iter().map(|answer| answer.to).collect::<Vec<_>>(), [note.id]);
    let third = draft.routine(id("stairs"), Version::new(3).unwrap(), None, first(Sat)).unwrap();
    story.accept(at(first(Sat), "13:00"), &third);
    let history = story.history();
    let standing: Vec<&str> =
        history.standing_answers().iter().map(|answer| answer.answer.as_str()).collect();
    assert_eq!(standing, ["Lighter.", "Yes."]);

    // Another answer to the first question takes the place of the one that stands.
    let mut draft = Draft::of(history.routine().unwrap());
    answering::answer(&mut draft, &first_note, Some(words("Better not.")), &history);
    let fourth = draft.routine(id("stairs"), Version::new(4).unwrap(), None, first(Sat)).unwrap();
    story.accept(at(first(Sat), "14:00"), &fourth);
    let history = story.history();
    let standing: Vec<&str> =
        history.standing_answers().iter().map(|answer| answer.answer.as_str()).collect();
    assert_eq!(standing, ["Lighter.", "Better not."]);
}

/// docs/file-format.md: a new optional field that can be passed over safely is no new version.
#[test]
fn answers_travel_by_file_and_by_link_and_older_readers_pass_over_them() {
    let history = week().history();
    let plain = next(&history, |_| {});
    let routine = next(&history, |draft| {
        answering::answer(draft, &history.notes()[0], Some(words("Yes, <b>slowly</b>.")), &history);
    });
    let text = file::print_routine(&routine);
    assert!(!file::print_routine(&plain).contains("answers"), "no answers, no field");
    let Ok(File::Routine(read)) = file::parse(&text) else { panic!("a routine") };
    assert_eq!(read.routine, routine);
    assert_eq!(file::print_routine(&read.routine), text);

    let link = link::condense(&routine, |_| None, |_, _| None).unwrap();
    assert_eq!(link::restore(&link, |_, _| None).unwrap().routine, routine);

    let mut whole: Value = serde_json::from_str(&text).unwrap();
    whole["routine"].as_object_mut().unwrap().remove("answers");
    whole.as_object_mut().unwrap().remove("check");
    let Ok(File::Routine(older)) = file::parse(&whole.to_string()) else { panic!("a routine") };
    assert_eq!(older.routine, plain);
}

proptest! {
    #![proptest_config(a_quarter())]

    /// Any routine with any answers: what goes out by file comes in again byte for byte, and by link word
    /// for word.
    #[test]
    fn a_routine_with_answers_goes_out_and_in_and_out_the_same(
        plan in plans(),
        texts in prop::collection::vec("[ -~\\nà-ÿ→]{0,60}[a-z<\"]", 0..6),
    ) {
        let routine = plan.version(2);
        let mut draft = Draft::of(&routine);
        let ids = (0..).map(|millis| EventId::after(None, millis, [7; 10]));
        draft.answers = ids
            .zip(&texts)
            .map(|(to, text)| Answer {
                to,
                asked: first(Tue),
                question: words(text),
                answer: words(&text.to_uppercase()),
            })
            .collect();
        let routine = draft.routine(routine.id, routine.version, None, first(Fri)).unwrap();
        let text = file::print_routine(&routine);
        let Ok(File::Routine(read)) = file::parse(&text) else { panic!("a routine") };
        prop_assert_eq!(file::print_routine(&read.routine), text);
        let link = link::condense(&routine, |_| None, |_, _| None).unwrap();
        let restored = link::restore(&link, |_, _| None).unwrap();
        prop_assert_eq!(restored.routine, routine);
    }
}

#[test]
fn a_routine_carries_no_more_answers_than_it_can() {
    let history = week().history();
    let mut draft = Draft::of(history.routine().unwrap());
    answering::answer(&mut draft, &history.notes()[0], Some(words("Yes.")), &history);
    let of = |number: usize| {
        let answers = vec![draft.answers[0].clone(); number];
        let draft = Draft { answers, ..draft.clone() };
        draft.routine(id("stairs"), Version::LEAST, None, first(Fri)).map(|_| ())
    };
    assert_eq!(of(Routine::MOST_ANSWERS), Ok(()));
    assert_eq!(of(51), Err(NotARoutine::TooManyAnswers { answers: 51 }));
}

#[test]
fn a_long_text_is_plain_and_has_an_end() {
    assert!(Prose::new("REPORTED\n- nothing").is_ok());
    assert_eq!(Prose::new(" \n"), Err(NotWords::Blank));
    assert_eq!(Prose::new("a\u{7}"), Err(NotWords::Control));
    assert!(Prose::new(&"é".repeat(Prose::LONGEST)).is_ok());
    let letters = Prose::LONGEST + 1;
    assert_eq!(
        Prose::new(&"é".repeat(letters)),
        Err(NotWords::TooLong { letters, most: Prose::LONGEST })
    );
}
