//! What the screen of one exercise says.

pub const NO_SUCH_EXERCISE: &str = "No such exercise";
pub const NONE_OF_THAT_NAME: &str = "Your routine has no exercise of that name.";
pub const YOUR_LADDER: &str = "Your ladder";
/// At the rung of the next session.
pub const HERE_NEXT: &str = "here next";
pub const HOW_TO_DO_IT: &str = "How to do it";
