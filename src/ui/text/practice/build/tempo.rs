//! What the reading of a written tempo says.

use crate::domain::plan::dose::Tempo;
use crate::domain::plan::tempo_notation::{NotRead, Order};
use crate::ui::text::refusals::InWords;
use crate::ui::text::{capitalised, dose};

pub const READ_A_WRITTEN_TEMPO: &str = "Read a written tempo";
pub const TEMPO: &str = "Tempo, such as 3-1-2-0";
pub const WHICH_FIRST: &str = "Which number comes first";
pub const CHOOSE_WHICH_FIRST: &str = "Choose which number comes first.";
pub const SECONDS_FOR_X: &str = "Seconds for X, if there is one";

/// What the first number is for.
pub const fn order(order: Order) -> &'static str {
    match order {
        Order::LoweringFirst => "Lowering first",
        Order::LiftingFirst => "Lifting first",
    }
}

/// "Lower 3 s, then lift 2 s. One rep takes 5 s."
pub fn read(tempo: &Tempo) -> String {
    format!("{}. One rep takes {} s.", capitalised(&dose::tempo(tempo)), tempo.rep_time().as_secs())
}

/// "No tempo is written here; it looks like 3-1-2-0."
pub fn not_read(why: &NotRead) -> String {
    format!("{}.", capitalised(&why.in_words()))
}
