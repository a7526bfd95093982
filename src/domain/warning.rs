//! The warning signs asked about before and after a session, and the care that each one calls for.
//!
//! They are the usual public advice, sources in `docs/cautions.md`. Ticking one is not a diagnosis:
//! the app stops, names the care, and defers to the people who give it.

use serde::{Deserialize, Serialize};

/// Something that means: do not train, get help.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WarningSign {
    /// Chest pain or pressure, very short of breath, fainting, sudden weakness, trouble speaking.
    ChestOrBreath,
    /// One calf or thigh newly swollen, warm, sore or changed in colour.
    SwollenCalf,
    /// A joint suddenly hot, red and very painful, or fever with joint pain.
    HotJointOrFever,
    /// Numbness between the legs, or a change in bladder or bowel control, or both legs weak.
    SaddleNumbness,
    /// A fall, a pop or a twist since last time, and weight cannot be put on it or the shape changed.
    InjuryOrNoWeight,
    /// The joint locks or gives way, or there is new numbness, or pain that wakes at night and stays.
    LockingOrNumb,
    /// Dizzy, feverish or unwell today.
    Unwell,
}

/// How soon help is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Care {
    /// The local emergency number, now.
    Emergency,
    /// A doctor or urgent care, today.
    Today,
    /// The practitioner or a doctor, before training again.
    BeforeTraining,
}

impl WarningSign {
    /// Every sign, those that need the fastest help first.
    pub const ALL: [Self; 7] = [
        Self::ChestOrBreath,
        Self::SaddleNumbness,
        Self::SwollenCalf,
        Self::HotJointOrFever,
        Self::InjuryOrNoWeight,
        Self::LockingOrNumb,
        Self::Unwell,
    ];

    pub const fn care(self) -> Care {
        match self {
            Self::ChestOrBreath | Self::SaddleNumbness => Care::Emergency,
            Self::SwollenCalf | Self::HotJointOrFever | Self::InjuryOrNoWeight => Care::Today,
            Self::LockingOrNumb | Self::Unwell => Care::BeforeTraining,
        }
    }
}
