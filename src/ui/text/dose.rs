//! Doses, sides, loads and rungs in words.

use crate::domain::dose::{Action, Days, Dose, Side, Sides, Tempo};
use crate::domain::ladder::Foothold;
use crate::domain::tempo_notation::{self, Order};
use crate::domain::timeline::Beat;

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
pub const fn phase_word(beat: &Beat) -> &'static str {
    match beat {
        Beat::GetReady => "Ready",
        Beat::ChangeSides => "Swap",
        Beat::Work { action, .. } => action_word(*action),
    }
}

pub const fn action_word(action: Action) -> &'static str {
    match action {
        Action::Lift => "Lift",
        Action::Lower => "Lower",
        Action::Hold => "Hold",
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

/// "3 sets of 15", "5 holds of 30 s".
pub fn sets(dose: &Dose) -> String {
    let (sets, reps) = (dose.sets.get(), dose.reps.get());
    match dose.tempo.phases() {
        [hold] if hold.action == Action::Hold && reps == 1 => {
            format!("{} of {} s", count(sets, "hold"), hold.secs.get())
        }
        [hold] if hold.action == Action::Hold => {
            format!("{} of {reps} holds of {} s", count(sets, "set"), hold.secs.get())
        }
        _ => format!("{} of {reps}", count(sets, "set")),
    }
}

/// "lower 3 s, then lift 2 s (both feet)".
pub fn tempo(tempo: &Tempo) -> String {
    let phase = |phase: &crate::domain::dose::Phase| {
        let how = phase.how.as_ref().map(|how| format!(" ({how})")).unwrap_or_default();
        format!("{} {} s{how}", action_word(phase.action).to_ascii_lowercase(), phase.secs.get())
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
    let mut parts = vec![sets(dose)];
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
