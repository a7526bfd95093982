//! What a browser or a device would not do.

use super::InWords;
use crate::platform::camera::NoCamera;
use crate::platform::compression::{CannotInflate, CannotUnpack};
use crate::platform::files::Unreadable;
use crate::platform::picture::{self, NotTaken};
use crate::platform::sealer::NotDone;

/// Each is a sentence of its own.
impl InWords for NoCamera {
    fn in_words(&self) -> String {
        match self {
            Self::Denied => "This app may not use the camera. Allow it in the browser's settings for this page.",
            Self::Missing => "No camera was found on this device.",
            Self::Busy => "Another app may be using the camera. Close that app and try again.",
            Self::Unsupported => "This browser cannot use the camera here.",
            Self::NoReader => {
                "The part of the app that reads codes could not be loaded. Check the connection and try again."
            }
            Self::Stopped => "The camera stopped. Try again.",
        }
        .to_owned()
    }
}

impl InWords for CannotInflate {
    fn in_words(&self) -> String {
        match self {
            Self::Unsupported => "this browser is too old to unpack it",
            Self::Damaged => "it cannot be unpacked",
            Self::TooLarge => "it unpacks to too much",
        }
        .to_owned()
    }
}

impl InWords for CannotUnpack {
    fn in_words(&self) -> String {
        match self {
            Self::Link(error) => error.in_words(),
            Self::Inflating(error) => error.in_words(),
        }
    }
}

impl InWords for Unreadable {
    fn in_words(&self) -> String {
        match self {
            Self::Kept => "it could not be read from this device".to_owned(),
            Self::TooLarge { most } => format!("it is larger than {} MB", most / 1_000_000),
            Self::TooMuch { most } => format!(
                "together with those before it, it is larger than {} MB; open it by itself",
                most / 1_000_000
            ),
        }
    }
}

impl InWords for NotTaken {
    fn in_words(&self) -> String {
        match self {
            Self::NotAPicture => {
                "this file is no JPEG, PNG or WebP picture that this browser can open".to_owned()
            }
            Self::TooLarge => format!("the file is larger than {} MB", picture::MOST_BYTES / 1e6),
            Self::TooManyPixels(sides) => format!(
                "the picture claims {} x {} pixels; at most {} million are opened",
                sides.width,
                sides.height,
                picture::MOST_PIXELS / 1_000_000
            ),
            Self::NotSmall => {
                "the picture could not be made small enough to travel with the routine".to_owned()
            }
        }
    }
}

/// Each finishes a sentence that ends in "because".
impl InWords for NotDone {
    fn in_words(&self) -> String {
        match self {
            Self::NoSealer => {
                "the part of the app that does this could not be loaded; check the connection"
                    .to_owned()
            }
            Self::GaveOut => {
                "this device could not do it; close other apps and try again".to_owned()
            }
            Self::Refused(why) => why.in_words(),
        }
    }
}
