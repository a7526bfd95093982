//! The warning signs asked about before and after a session, and the care that each one calls for.
//!
//! They are the usual public advice, sources in `docs/cautions.md`. Ticking one is not a diagnosis:
//! the app stops, names the care, and defers to the people who give it.

use serde::{Deserialize, Serialize};

/// Something that means: do not train, get help.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WarningSign {
    /// Chest pain or pressure, short of breath, faint, an uneven heartbeat, sudden weakness, trouble
    /// speaking or seeing.
    ChestOrBreath,
    /// Numbness between the legs, or a change in bladder or bowel control, or both legs weak.
    SaddleNumbness,
    /// A foot or hand that is newly cold, pale or numb.
    ColdOrNumb,
    /// One calf or thigh newly swollen, warm, sore or changed in colour.
    SwollenCalf,
    /// A joint suddenly hot, red and very painful, or fever, or a wound that is red or leaks.
    HotJointOrFever,
    /// A fall, a pop or a twist since last time, or the shape changed, or weight cannot be put on it.
    InjuryOrNoWeight,
    /// The joint is stuck, or keeps giving way.
    StuckJoint,
    /// Dizzy or unwell today, or pain that wakes at night.
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
    pub const ALL: [Self; 8] = [
        Self::ChestOrBreath,
        Self::SaddleNumbness,
        Self::ColdOrNumb,
        Self::SwollenCalf,
        Self::HotJointOrFever,
        Self::InjuryOrNoWeight,
        Self::StuckJoint,
        Self::Unwell,
    ];

    pub const fn care(self) -> Care {
        match self {
            Self::ChestOrBreath | Self::SaddleNumbness | Self::ColdOrNumb => Care::Emergency,
            Self::SwollenCalf
            | Self::HotJointOrFever
            | Self::InjuryOrNoWeight
            | Self::StuckJoint => Care::Today,
            Self::Unwell => Care::BeforeTraining,
        }
    }
}
