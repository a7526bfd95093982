//! What the presets come to as they are, nothing else changed: worked out beforehand from the same lives as any
//! other limits, since it is always the same. `make evidence` writes it, and `tests/evidence.rs` compares.

use super::kinds::Kind;
use super::outcomes::Pair;
use crate::domain::plan::limits::Preset;

const WORKED_OUT: &str = include_str!("presets.json");

/// What came of each kind under each preset, in the order of [`Preset::ALL`] and [`Kind::ALL`].
pub type Presets = [[Pair; Kind::ALL.len()]; Preset::ALL.len()];

/// Read anew with each call; numbers to a thousandth.
pub fn worked_out() -> Presets {
    serde_json::from_str(WORKED_OUT).unwrap_or_else(|_| unreachable!("the build is tested with it"))
}
