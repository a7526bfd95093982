//! What stands with the table of the rule.

use crate::domain::plan::limits::Preset;
use crate::ui::text::verdict;

pub const THE_RULE: &str = "The rule";

/// A rule's title with what it is made from: "The rule: Wider green".
pub fn titled(title: &str, preset: Option<Preset>) -> String {
    format!("{title}: {}", verdict::preset(preset))
}

pub const PAIN_DURING: &str = "Pain during";
pub const AGAINST_A_USUAL_MORNING: &str = "The next morning is held against a usual one.";
pub const ALWAYS: &str = "Always";
pub const A_HABIT_NOT_A_MEASURE: &str = "These rules are a habit of the trade with a long use, not a tested measure. Your practitioner's word comes first.";
