//! What the page of a visit says.

pub const BACK_TO_CLIENT: &str = "Client";
pub const OPEN_LOG: &str = "Open the log";
pub const NO_LOG: &str = "No log yet. Open the file that the client handed back.";

/// "Visit: Anna".
pub fn title(client: &str) -> String {
    format!("Visit: {client}")
}
