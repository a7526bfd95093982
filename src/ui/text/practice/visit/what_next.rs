//! What stands beside an exercise at a visit: where the client is, what can be decided, and what the client reads.

use crate::domain::plan::ladder::{Foothold, RungNumber};
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

/// Why there is no help to give back, or no next rung to begin on; nothing where there is both.
pub fn not_there(
    has_easier: bool,
    has_harder: bool,
    top: RungNumber,
    here: Foothold,
) -> Option<String> {
    let easier = (!has_easier).then_some(match here.rung {
        RungNumber::LEAST => "No help back: it is on the lowest rung.",
        _ => "No help back from here: change the ladder under Other dose.",
    });
    let harder = (!has_harder).then(|| {
        if here.rung == top {
            "No next rung: it is on the highest."
        } else if 0 < here.fewer_sets {
            "No next rung yet: the sets that were taken off come back first."
        } else {
            "No next rung yet: the rule wins back the rungs up to where the ladder begins."
        }
    });
    let why: Vec<&str> = [easier, harder].into_iter().flatten().collect();
    (!why.is_empty()).then(|| why.join(" "))
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
