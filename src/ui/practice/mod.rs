//! The practitioner's screens.
