//! What the button of a moving figure says.

pub const STAND_STILL: &str = "Picture: stand still";
pub const MOVE: &str = "Picture: move";
