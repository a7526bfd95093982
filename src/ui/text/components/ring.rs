//! What the way to ring the practitioner is called.

use crate::domain::plan::phone::PhoneNumber;

/// "Ring Sam: 01632 960 123".
pub fn ring(who: &str, number: &PhoneNumber) -> String {
    format!("Ring {who}: {number}")
}
