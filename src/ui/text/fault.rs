//! What is said when the app meets a fault of its own.

pub fn broke(fault: &str) -> String {
    format!(
        "Something in the app broke. What you entered so far is kept. Close the app and open it again. ({fault})"
    )
}
