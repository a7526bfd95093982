//! What the session says: an exercise's set-up, the set itself, and the rating while the rest runs.

use std::time::Duration;

use crate::domain::log::event::Ending;
use crate::domain::log::warning::WarningSign;
use crate::domain::plan::dose::{Action, Side};
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::session::timeline::Beat;
use crate::ui::text::client::before_session::STOP_HERE;
use crate::ui::text::warning::care;
use crate::ui::text::{dates, dose, uncapitalised};

pub const SOUND_IS_OFF: &str = "Sound is off. Tap to bring it back";

pub const SHALL_IT_SPEAK: &str = "Shall this phone speak?";
pub const WHY_SPEAK: &str =
    "It says each step and counts, so that you need not look. Nothing said leaves the phone.";
pub const YES_SPEAK: &str = "Yes, speak";
pub const SOUNDS_ONLY: &str = "No, sounds only";

/// "Exercise 1 of 4".
pub fn exercise_of(number: usize, of: usize) -> String {
    format!("Exercise {number} of {of}")
}

pub const START_FIRST_SET: &str = "Start the first set";
/// Goes to the next exercise, or ends a session of which this is the last one.
pub const fn leave_out(is_last: bool) -> &'static str {
    if is_last { "Leave out and finish" } else { "Leave out today" }
}
pub const END_SESSION: &str = "End session";

/// "Needs: a chair and a towel".
pub fn needs(things: &str) -> String {
    format!("Needs: {things}")
}

/// Before the help of today.
pub const TODAY: &str = "Today: ";

/// "Ladder: rung 2 of 5", "Ladder: rung 1 of 5, 1 set fewer".
pub fn ladder(here: Foothold, top: RungNumber) -> String {
    let of = format!("Ladder: {} of {}", dose::foothold(Foothold::on(here.rung)), top.get());
    match here.fewer_sets {
        0 => of,
        fewer => format!("{of}, {} fewer", dose::count(fewer, "set")),
    }
}

/// The cautions of an exercise, before it is begun.
pub const TAKE_CARE: &str = "Take care:";

/// Before another exercise, where one hurt too much.
pub const ONE_HURT: &str =
    "An exercise before this one hurt too much. If in doubt, leave this one out today.";

/// At the rung of today.
pub const HERE_TODAY: &str = "today";

pub const SOUND: &str = "Sound";
pub const SOUND_AND_VOICE: &str = "Sound and voice";

/// How to get ready, under the word that fills the screen.
pub const GET_INTO_PLACE: &str = "get into place";
/// How to swap, under the word that fills the screen: "now the left".
pub fn change_sides(to: Option<Side>) -> String {
    to.map_or_else(|| "change sides".to_owned(), |side| format!("now the {}", dose::side(side)))
}

/// What comes after this phase: "then lift, both feet".
pub fn then(phase: &str) -> String {
    format!("then {}", uncapitalised(phase))
}

pub const THEN_CHANGE_SIDES: &str = "then change sides";
/// What comes after the last phase of a set. Who held a position still has to leave it.
pub const fn then_done(last: &Beat) -> &'static str {
    match last {
        Beat::Work { action: Action::Hold, .. } => "then slowly back",
        Beat::Work { action: Action::Lift | Action::Lower | Action::Relax, .. }
        | Beat::GetReady
        | Beat::ChangeSides => "then done",
    }
}

/// "rep 3 of 15".
pub fn rep_of(number: u16, of: u16) -> String {
    format!("rep {number} of {of}")
}

/// Whether words say which foot or hand works, so that no side need be named before them.
pub fn says_side(how: &str, side: &str) -> bool {
    how.contains(side) || how.split_whitespace().any(|word| word == "both")
}

/// "left: heel down slowly".
pub fn on_side(side: &str, how: &str) -> String {
    format!("{side}: {how}")
}

pub const ONE_REP_BACK: &str = "One rep back";
pub const ONE_REP_BACK_DOES: &str = "The last rep again.";
pub const SET_AGAIN: &str = "Set again";
pub const SET_AGAIN_DOES: &str = "This set from its beginning.";
pub const END_SET: &str = "End set";
pub const END_SET_DOES: &str = "What was done so far counts.";
pub const LEAVE_SET_OUT: &str = "Leave set out";
pub const LEAVE_SET_OUT_DOES: &str = "This set does not count.";
pub const END_ALL: &str = "End all";
pub const END_ALL_DOES: &str = "The session ends here.";

/// "set 2 of 3".
pub fn set_of(number: u16, of: u16) -> String {
    format!("set {number} of {of}")
}

/// "Go on with set 2 of 3".
pub fn go_on_with(set: &str) -> String {
    format!("Go on with {set}")
}

/// "The phone slept for about 40 seconds. That time was not counted."
pub fn slept(time: Duration) -> String {
    format!("The phone slept for about {}. That time was not counted.", dates::about(time))
}

/// How the set stands.
pub const PAUSED: &str = "Paused";
/// What a tap does.
pub const PAUSE: &str = "Pause";
pub const SOMETHING_ELSE: &str = "Something else";
pub const STOP_IT_HURTS: &str = "Stop, it hurts";

/// What is asked after a set, by how it ended.
pub const fn question(ending: Ending) -> &'static str {
    match ending {
        Ending::Pain => "How bad was it when you stopped?",
        Ending::Complete | Ending::Short | Ending::LeftOut => "How much did that set hurt?",
    }
}

/// One word for how it stands after a set, as large as its room allows.
pub const REST: &str = "Rest";
pub const OVER: &str = "Over";
pub const STOPPED: &str = "Stopped";
pub const DONE: &str = "Done";

/// After a set that pain stopped.
pub const DID_IT_POP: &str = "Did it pop, twist or give way? Warning signs";

/// What is said aloud once a warning sign was told of: "Stop here today. See a doctor or urgent care today. …".
pub fn stop_here(sign: WarningSign) -> String {
    format!("{STOP_HERE}. {}", care(sign))
}

pub const REST_IS_OVER: &str = "The rest is over";
pub const LEAVE_OUT_NEXT_SET: &str = "Leave out the next set";
pub const GO_ON_RESTING: &str = "Go on resting";

/// To make a rest longer: "Add 15 s".
pub fn add(time: Duration) -> String {
    format!("Add {} s", time.as_secs())
}

/// The way on after a set.
pub const fn go_on(another_set_follows: bool, is_rated: bool) -> &'static str {
    match (another_set_follows, is_rated) {
        (true, true) => "Next set",
        (true, false) => "Next set, without a rating",
        (false, true) => "Go on",
        (false, false) => "Go on without a rating",
    }
}

pub const WHAT_IT_MEANS: &str = "What this rating means";
pub const EXERCISE_ENDS: &str = "This exercise ends here today. That is the plan, not a failure.";

/// "Next set one rung down: both hands on the banister".
pub fn one_rung_down(help: &str) -> String {
    format!("Next set one rung down: {help}")
}

pub const SAME_AGAIN: &str = "Next set: the same again";
pub const SAME_AGAIN_NOTHING_EASIER: &str =
    "Next set: the same again. Nothing easier is left today.";
pub const DONE_FOR_TODAY: &str = "This exercise is done for today";

/// "Then change to the left side."
pub fn change_to(side: Side) -> String {
    format!("Then change to the {} side.", dose::side(side))
}
