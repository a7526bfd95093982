//! What scanning a routine says.

pub const CLOSE_THE_CAMERA: &str = "Close the camera";
