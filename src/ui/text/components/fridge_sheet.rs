//! What the sheet for the fridge says.

use crate::domain::words::Words;

pub const PRINT: &str = "Print a sheet for the fridge";

/// "For Sam".
pub fn made_for(client: &Words) -> String {
    format!("For {client}")
}

/// "From Alex".
pub fn made_by(practitioner: &Words) -> String {
    format!("From {practitioner}")
}

/// Before what is lent.
pub const ON_LOAN: &str = "On loan to you:";
/// Before cautions in a row.
pub const TAKE_CARE: &str = "Take care:";
pub const REST_IN_THE_APP: &str = "How each one goes stands in the app, step by step.";

/// The title of an exercise's own rule: "The rule for Heel lowering".
pub fn rule_for(exercise: &Words) -> String {
    format!("The rule for {exercise}")
}

pub const HOW_TO_READ_THE_RULE: &str =
    "Down: pain during the exercise. Across: the next morning, held against a usual one.";

pub const STOP_AND_GET_HELP: &str = "Stop and get help";

pub const WHO_TO_CALL: &str = "Who to call";
pub const PHONE: &str = "Phone";
pub const NEXT_VISIT: &str = "Next visit";
