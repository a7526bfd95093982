//! What is said where a place that hurt is chosen.

pub const WHERE: &str = "Where?";
/// The same for those who hear it.
pub const WHERE_DID_IT_HURT: &str = "Where did it hurt?";
