//! What is said of a screen that is on its way, or did not arrive.

pub const ONE_MOMENT: &str = "One moment…";

pub const DID_NOT_LOAD: &str = "This page did not load";
pub const WHAT_TO_DO: &str =
    "A part of the app did not arrive. Check that you are online, then try again.";
pub const NOTHING_LOST: &str = "Nothing you entered is lost.";
