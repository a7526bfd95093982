//! How the app is used, in a client's words. `docs/for-clients.md` says the same.

/// A heading, and what stands under it.
pub type Part = (&'static str, &'static [&'static str]);

pub const GUIDE: [Part; 5] = [
    (
        "A session",
        &[
            "Tap Start. Tick a warning sign if you have one, and tap how much it hurts at rest.",
            "The phone shows, sounds and says each step, so that you need not look.",
            "After each set, tap how much it hurt, from 0 to 10, and where.",
            "If it hurts too much, tap \"Stop, it hurts\". That is part of the plan. The warning signs are there, too.",
        ],
    ),
    (
        "The next morning",
        &[
            "Two taps: how much it hurts, and whether it is swollen. Then each exercise has its light.",
        ],
    ),
    (
        "The ladder",
        &[
            "Each exercise has a ladder. On a higher rung there is less help, or more load.",
            "Ease moves you one rung down. The way up is as your practitioner set it.",
        ],
    ),
    (
        "The next visit",
        &["Tap \"Hand back\". Send the file, or let your practitioner scan the codes."],
    ),
    ("Your notes", &["They stay on this phone. Tap \"Copy\" and save a copy now and then."]),
];
