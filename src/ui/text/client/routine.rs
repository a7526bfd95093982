//! What stands above and around the client's routine.

pub const MY_ROUTINE: &str = "My routine";
pub const NO_ROUTINE_YET: &str = "No routine yet";
pub const ANSWERS: &str = "Answers to what you wrote";
