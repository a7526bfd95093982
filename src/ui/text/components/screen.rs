//! What every screen can say: the ways back, and that it is a preview.

pub const DEMO: &str = "This is the demo. None of it enters a log of yours.";
pub const DEMO_IN_BRIEF: &str = "Demo.";
pub const LEAVE_DEMO: &str = "Leave the demo";

pub const TRY_OUT: &str = "This is a try-out. Nothing here reaches a client.";
pub const TRY_OUT_IN_BRIEF: &str = "Try-out.";
pub const BACK_TO_TODAY: &str = "Back to Today";
pub const BACK_TO_CASELOAD: &str = "Back to the caseload";
