//! What stands beside an exercise at a visit: where the client is, what can be decided, and what the client reads.

use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::routine::Exercise;
use crate::domain::visit::choice::Choice;
use crate::ui::text::dose::list;
use crate::ui::text::{dose, verdict};

pub const EXERCISES: &str = "Each exercise";
pub const DONE: &str = "Done";
pub const EVERYTHING: &str = "Everything that can be changed";
pub const HAND_OVER: &str = "Hand over";
pub const NO_CHANGE_YET: &str =
    "Nothing is changed yet. What you choose here collects into the next version.";

/// "Choices for Heel lowering"
pub fn choices_for(name: &str) -> String {
    format!("Choices for {name}")
}

/// "Help back: Heel lowering", a button as it is read out.
pub fn chosen_for(choice: Choice, name: &str) -> String {
    format!("{}: {name}", self::choice(choice))
}

pub const fn choice(choice: Choice) -> &'static str {
    match choice {
        Choice::Keep => "Keep",
        Choice::HelpBack => "Help back",
        Choice::NextRung => "Next rung",
        Choice::OtherDose => "Other dose",
        Choice::Out => "Out",
    }
}

/// "Now on rung 2 of 4, one hand on the banister. 3 sets of 15."
pub fn stands(exercise: &Exercise, at: Foothold) -> String {
    let ladder = &exercise.ladder;
    let help = verdict::help(at, ladder);
    let sets = dose::short(&at.dose(&exercise.dose, ladder));
    match ladder.top().get() {
        1 => format!("Now: {help}. {sets}."),
        top => format!("Now on rung {} of {top}: {help}. {sets}.", at.rung.get()),
    }
}

/// The change of an exercise that is opened in place.
pub fn change_of(name: &str) -> String {
    format!("Change of {name}")
}

/// "The client will read: You begin on rung 3: one hand. 2 sets instead of 3."
pub fn client_reads(lines: &[String]) -> String {
    format!("The client will read: {}.", lines.join(". "))
}

/// "Changed for version 3: Heel lowering and Chair rise."
pub fn collected(version: u16, names: &[String]) -> String {
    if names.is_empty() {
        format!("There are changes or answers for version {version}.")
    } else {
        format!("Changed for version {version}: {}.", list(names))
    }
}
