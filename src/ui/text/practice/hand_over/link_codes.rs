//! What the code to scan and the link say.

pub const BY_SCANNING: &str = "By scanning";
pub const DRAWING: &str = "Drawing the code…";
/// What the code is, for those who do not see it.
pub const CODE: &str = "The routine as a code to scan";
pub const SHOW_SMALLER: &str = "Show smaller codes";
pub const SHOW_ONE: &str = "Show one code";

const OF_SEVERAL: &str = "one after the other. On the client's phone open this app, tap \"Scan the codes\" and keep it still.";

/// Why there is no code, with the other way.
pub fn no_code(why: &str) -> String {
    format!("No code could be made: {why}. Hand the file over instead.")
}

/// What to do with so many codes.
pub fn how_to_scan(count: usize) -> String {
    if count == 1 {
        "Let the client point the phone's own camera at it. It opens the routine to look at; nothing is sent anywhere.".to_owned()
    } else {
        format!("It is too much for one code, so there are {count}, {OF_SEVERAL}")
    }
}

/// The same for codes that are smaller than the one that would do.
pub fn how_to_scan_smaller(count: usize) -> String {
    format!("The same routine in {count} smaller codes, {OF_SEVERAL}")
}

pub const COPY_LINK: &str = "Copy the link";
pub const COPIED: &str = "The link is copied.";
pub const NOT_COPIED: &str = "This browser did not copy the link.";
pub const SHARE_LINK: &str = "Share the link";
pub const NOT_SHARED: &str = "This device could not share the link. Copy it instead.";
pub const TRY_IT: &str = "Try it as the client";
