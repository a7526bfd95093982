//! What the review says where other limits are tried on its log.

pub const TITLE: &str = "Try other limits on this log";
pub const NOTHING_CHANGES: &str =
    "Nothing is changed by trying. The client goes on under the limits that were handed over.";
pub const TAKE: &str = "Take these limits into the draft";
pub const PUT_ASIDE: &str = "Put them aside";
pub const TAKEN: &str = "They are in the draft now. The client gets them with the next routine.";

/// Before anything is changed.
pub const fn as_begun(is_of_a_draft: bool) -> &'static str {
    if is_of_a_draft {
        "These are the limits of the draft. Change one to see what differs."
    } else {
        "These are the limits of the log's routine. Change one to see what differs."
    }
}
