//! What the welcome says, and where the log is gone.

pub const TITLE: &str = "Carryover";
pub const WHAT_FOR: &str = "Your home exercises between visits";
pub const HOW_IT_BEGINS: &str = "Your practitioner gives you a routine. This app guides you through it, asks how it felt, and says whether to keep, ease or hold each exercise.";
pub const RESTORE_YOUR_LOG: &str = "Restore a copy of your log";
pub const I_AM_THE_PRACTITIONER: &str = "I am the practitioner";

pub const WITHOUT_A_COPY: &str = "Without one, ask your practitioner for your routine again. They also have what you handed back.";
