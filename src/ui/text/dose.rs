//! Doses, sides, loads and rungs in words.

use crate::domain::plan::dose::{Action, Days, Dose, Phase, PhaseWord, Side, Sides, Tempo};
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::tempo_notation::{self, Order};
use crate::domain::session::timeline::Beat;
use crate::domain::words::Words;

/// "one, two and three".
pub fn list<T: AsRef<str>>(things: &[T]) -> String {
    match things {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [most @ .., last] => {
            let most: Vec<&str> = most.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", most.join(", "), last.as_ref())
        }
    }
}

/// "1 set", "3 sets".
pub fn count(number: u16, thing: &str) -> String {
    if number == 1 { format!("1 {thing}") } else { format!("{number} {thing}s") }
}

/// The one word that fills the screen.
pub fn phase_word(beat: &Beat) -> String {
    match beat {
        Beat::GetReady => "Ready".to_owned(),
        Beat::ChangeSides => "Swap".to_owned(),
        Beat::Work { action, word, .. } => word_of(*action, word.as_ref()),
    }
}

/// A phase by its own word, or by its action: "Out", "Lift".
pub fn word_of(action: Action, own: Option<&PhaseWord>) -> String {
    own.map_or_else(|| action_word(action).to_owned(), |own| super::capitalised(own.as_str()))
}

/// A phase in words: "Lower, left foot only", or with a word of its own "Out to the side".
pub fn phase(action: Action, own: Option<&PhaseWord>, how: Option<&Words>) -> String {
    let word = word_of(action, own);
    match (own, how) {
        (_, None) => word,
        (Some(_), Some(how)) => format!("{word} {how}"),
        (None, Some(how)) => format!("{word}, {how}"),
    }
}

/// What a phase is called that has no word of its own.
pub const fn action_word(action: Action) -> &'static str {
    match action {
        Action::Lift => "Lift",
        Action::Lower => "Lower",
        // Hold is a light.
        Action::Hold => "Stay",
        Action::Relax => "Relax",
    }
}

pub const fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

pub const fn sides(sides: Sides) -> Option<&'static str> {
    match sides {
        Sides::Together => None,
        Sides::Left => Some("left side"),
        Sides::Right => Some("right side"),
        Sides::InTurn => Some("left, then right, in each set"),
        Sides::OneAfterTheOther => Some("all sets on the left, then all on the right"),
    }
}

/// " and 1 in part": sets that were begun, after the number of whole ones.
pub fn in_part(begun: u16) -> String {
    match begun {
        0 => String::new(),
        begun => format!(" and {begun} in part"),
    }
}

/// "3 sets of 15", "5 sets of 30 s".
pub fn sets(dose: &Dose) -> String {
    let (sets, reps) = (dose.sets.get(), dose.reps.get());
    match dose.tempo.phases() {
        [hold] if hold.action == Action::Hold && reps == 1 => {
            format!("{} of {} s", count(sets, "set"), hold.secs.get())
        }
        [hold] if hold.action == Action::Hold => {
            format!("{} of {reps}, staying {} s each", count(sets, "set"), hold.secs.get())
        }
        _ => format!("{} of {reps}", count(sets, "set")),
    }
}

/// "3 × 15", "5 × 30 s".
pub fn short(dose: &Dose) -> String {
    let (sets, reps) = (dose.sets.get(), dose.reps.get());
    match dose.tempo.phases() {
        [hold] if hold.action == Action::Hold && reps == 1 => {
            format!("{sets} × {} s", hold.secs.get())
        }
        [hold] if hold.action == Action::Hold => {
            format!("{sets} × {reps}, staying {} s", hold.secs.get())
        }
        _ => format!("{sets} × {reps}"),
    }
}

/// "lower 3 s, then lift 2 s (both feet)".
pub fn tempo(tempo: &Tempo) -> String {
    let phase = |phase: &Phase| {
        let how = phase.how.as_ref().map(|how| format!(" ({how})")).unwrap_or_default();
        let word = word_of(phase.action, phase.word.as_ref()).to_lowercase();
        format!("{word} {} s{how}", phase.secs.get())
    };
    tempo.phases().iter().map(phase).collect::<Vec<_>>().join(", then ")
}

/// A tempo as the trade writes it, its order spelled out, where it can be written so.
pub fn written(tempo: &Tempo) -> Option<String> {
    let (order, numbers) = tempo_notation::written(tempo)?;
    let order = match order {
        Order::LoweringFirst => "lowering, pause, lifting, pause",
        Order::LiftingFirst => "lifting, pause, lowering, pause",
    };
    Some(format!("Written {numbers} in the order {order}."))
}

/// Everything about a dose on one line.
pub fn whole(dose: &Dose) -> String {
    with_the_rest(sets(dose), dose)
}

/// The same, as short as it is read at a glance.
pub fn at_a_glance(dose: &Dose) -> String {
    with_the_rest(short(dose), dose)
}

fn with_the_rest(sets: String, dose: &Dose) -> String {
    let mut parts = vec![sets];
    let is_plain_hold = matches!(dose.tempo.phases(), [hold] if hold.action == Action::Hold);
    if !is_plain_hold {
        parts.push(tempo(&dose.tempo));
    }
    parts.extend(dose.load.as_ref().map(ToString::to_string));
    parts.extend(sides(dose.sides).map(str::to_owned));
    if 1 < dose.rounds() {
        parts.push(format!("rest {} s", dose.rest_secs.get()));
    }
    parts.join("; ")
}

/// "every day", "twice a day on Monday and Friday".
pub fn how_often(dose: &Dose) -> String {
    let times = match dose.times_a_day.get() {
        1 => String::new(),
        2 => "twice a day".to_owned(),
        times => format!("{times} times a day"),
    };
    let days = which_days(&dose.days);
    if times.is_empty() { days } else { format!("{times}, {days}") }
}

/// "Fetch 6 things".
pub fn fetch(things: usize) -> String {
    format!("Fetch {}", count(u16::try_from(things).unwrap_or(u16::MAX), "thing"))
}

/// "every day", "on Monday and Friday".
pub fn which_days(days: &Days) -> String {
    match days.named().as_slice() {
        [] => "every day".to_owned(),
        named => format!("on {}", super::dates::days(named)),
    }
}

/// "rung 2", or "rung 1, one set fewer".
pub fn foothold(foothold: Foothold) -> String {
    let rung = foothold.rung.get();
    match foothold.fewer_sets {
        0 => format!("rung {rung}"),
        fewer => format!("rung {rung}, {} fewer", count(fewer, "set")),
    }
}
