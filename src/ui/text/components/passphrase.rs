//! What is said and asked of passphrases.

pub const NOT_THE_SAME: &str = "The two passphrases are not the same. Nothing was saved.";

/// "The passphrase is too short: it takes at least 12 letters. Nothing was saved."
pub fn too_short(fewest_letters: usize) -> String {
    format!(
        "The passphrase is too short: it takes at least {fewest_letters} letters. Nothing was saved."
    )
}

/// What is sealed, where nothing else is said.
pub const COPY: &str = "copy";

/// "Seal the copy with a passphrase".
pub fn seal(what: &str) -> String {
    format!("Seal the {what} with a passphrase")
}

/// What a passphrase is for, and what makes a good one.
pub fn needs_its_passphrase(what: &str) -> String {
    format!(
        "A sealed {what} can only be read with its passphrase. Four words that do not belong together are a good one."
    )
}

/// "If you forget it, nobody can open the copy: not you, not us."
pub fn if_forgotten(what: &str) -> String {
    format!("If you forget it, nobody can open the {what}: not you, not us.")
}

pub const PASSPHRASE: &str = "Passphrase";
pub const THE_SAME_AGAIN: &str = "The same passphrase again";

pub const OPEN_SEALED_FILE: &str = "Open this sealed file?";

/// "\"copy.txt\" is sealed with a passphrase."
pub fn is_sealed(file: &str) -> String {
    format!("\"{file}\" is sealed with a passphrase.")
}

pub const ITS_PASSPHRASE: &str = "Its passphrase";

/// "It could not be opened: the passphrase is not the one. Nothing was changed."
pub fn not_opened(why: &str) -> String {
    format!("It could not be opened: {why}. Nothing was changed.")
}

pub const OPENING: &str = "Opening…";
pub const OPEN_IT: &str = "Open it";
pub const NOT_NOW: &str = "Not now";

pub const SHOW: &str = "Show";

/// What the button "Show" of a field is called: "Show: Its passphrase".
pub fn show(field: &str) -> String {
    format!("Show: {field}")
}
