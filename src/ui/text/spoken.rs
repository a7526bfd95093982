//! What the app says aloud, line by line: short enough for the time there is, and in the words of a coach.

use std::time::Duration;

use super::client::session::ONE_HURT;
use super::{capitalised, dose, sentence, sentences, verdict};
use crate::domain::log::event::Ending;
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::{Action, Dose};
use crate::domain::plan::ladder::RungNumber;
use crate::domain::plan::routine::Exercise;
use crate::domain::session::coach::{Line, Mark, Next, Opening, Says, SoFar, Waits};
use crate::domain::session::runner::Means;
use crate::domain::words::Words;

/// The pace of a voice that takes its time, in words a minute (common practice, no source).
const WORDS_A_MINUTE: u32 = 150;

/// What is shown and read out where the voice is asked for, and said when it is turned on.
pub const SAMPLE: &str = "Lower, left foot. Two. One.";

/// How long some words take to say.
pub fn length(words: &str) -> Duration {
    let is_between = |letter: char| letter.is_whitespace() || letter == '-';
    let count = words.split(is_between).filter(|word| !word.is_empty()).count();
    let count = u32::try_from(count).unwrap_or(u32::MAX);
    Duration::from_mins(1) / WORDS_A_MINUTE * count
}

/// The words of a line: of the forms that it has, the fullest that can be said in the time there is.
/// None where what came before is still being said, or no form fits.
pub fn words(line: &Line) -> Option<String> {
    let fits = |words: &String| line.room.is_none_or(|room| length(words) <= room);
    forms(line).into_iter().find(fits)
}

/// What a screen reader is given, where the app does not speak: no counting, and no question that stands
/// on the page as the title of what has the focus.
pub fn for_a_reader(line: &Line) -> Option<String> {
    match &line.says {
        Says::Count { .. } => None,
        Says::Asked { ending, rest, .. } => {
            let ended = match ending {
                Ending::Pain => "Stopped.",
                Ending::Complete | Ending::Short | Ending::LeftOut => "Set done.",
            };
            let rest = rest.map(|rest| format!(" Rest, {}.", secs(rest)));
            Some(format!("{ended}{}", rest.unwrap_or_default()))
        }
        Says::SetUp { .. }
        | Says::GetReady(_)
        | Says::ChangeSides(_)
        | Says::Phase(_)
        | Says::HalfWay { .. }
        | Says::Paused
        | Says::Meant { .. }
        | Says::RestEnds { .. }
        | Says::RestOver(_)
        | Says::Finished => words(line),
    }
}

/// The forms of a line, the fullest first.
fn forms(line: &Line) -> Vec<String> {
    let is_said = |opening: &Line, since: Duration| {
        words(opening).is_none_or(|words| length(&words) <= since)
    };
    match &line.says {
        Says::SetUp { number, of, exercise, foothold, dose, so_far } => {
            let help = verdict::help(*foothold, &exercise.ladder);
            let hurt = match so_far {
                SoFar::Well => String::new(),
                SoFar::OneHurt => format!(" {ONE_HURT}"),
            };
            vec![set_up((*number, *of), &hurt, exercise, foothold.rung, &help, dose)]
        }
        Says::GetReady(next) => {
            vec![format!("{}. Get ready.", set_of(next)), "Get ready.".to_owned()]
        }
        Says::ChangeSides(Some(side)) => {
            vec![format!("Change sides. Now the {} side.", dose::side(*side))]
        }
        Says::ChangeSides(None) => vec!["Change sides.".to_owned()],
        Says::Phase(opening) => phase(opening),
        Says::Count { left, since, opening } if is_said(opening, *since) => vec![counted(*left)],
        Says::HalfWay { since, opening } if is_said(opening, *since) => vec!["Half-way.".to_owned()],
        Says::Count { .. } | Says::HalfWay { .. } => Vec::new(),
        Says::Paused => vec!["Paused. Tap Go on when you are ready.".to_owned()],
        Says::Asked { ending, number, of, rest, side } => {
            let asked = match ending {
                Ending::Pain => "Stopped. How bad was it? Tap a number from 0 to 10.".to_owned(),
                Ending::Complete | Ending::Short | Ending::LeftOut => {
                    let done = if number == of {
                        "The last set is done".to_owned()
                    } else {
                        format!("Set {number} of {of} is done")
                    };
                    format!("{done}. How much did it hurt? Tap a number from 0 to 10.")
                }
            };
            let Some(rest) = rest else { return vec![asked, "How much did it hurt?".to_owned()] };
            let rest = format!("Rest, {}.", secs(*rest));
            let side = side.map(|side| format!(" Then the {} side.", dose::side(side)));
            vec![
                format!("{asked} {rest}{}", side.unwrap_or_default()),
                asked,
                "How much did it hurt?".to_owned(),
            ]
        }
        Says::Meant { rating, means, next, waits } => {
            let mut forms = meant(*rating, *means, next.as_ref());
            if waits.is_some() {
                forms.insert(0, format!("{} Tap Next set when you are ready.", forms[0]));
            }
            forms
        }
        Says::RestEnds { left, next, waits } => {
            let left = capitalised(&secs(*left));
            match waits {
                None => {
                    let help = verdict::help(next.foothold, next.ladder);
                    vec![
                        format!("{left} to {}. {}.", set_in_sentence(next), capitalised(&help)),
                        format!("{left} to {}.", set_in_sentence(next)),
                        format!("{left}."),
                    ]
                }
                Some(Waits::ForARating) => {
                    vec![
                        format!("{left}. The next set waits for your number."),
                        "Tap a number.".to_owned(),
                    ]
                }
                Some(Waits::ForATap) => vec![format!("{left}. The next set waits for you.")],
            }
        }
        Says::RestOver(Waits::ForARating) => vec![
            "The rest is over. How much did that set hurt? Tap a number from 0 to 10. The next set waits."
                .to_owned(),
        ],
        Says::RestOver(Waits::ForATap) => {
            vec!["The rest is over. Tap Next set when you are ready.".to_owned()]
        }
        Says::Finished => {
            vec!["That was the session. What it means is on the screen.".to_owned()]
        }
    }
}

/// "Exercise 1 of 4: Still heel raise. Fetch a clear wall. …"
fn set_up(
    (number, of): (usize, usize),
    hurt: &str,
    exercise: &Exercise,
    rung: RungNumber,
    help: &str,
    dose: &Dose,
) -> String {
    let things: Vec<&str> = exercise.equipment_on(rung).iter().map(Words::as_str).collect();
    let fetch = if things.is_empty() {
        String::new()
    } else {
        format!(" You need {}.", dose::list(&things))
    };
    let mut words = String::new();
    for step in exercise.steps_on(rung) {
        words.push(' ');
        words.push_str(&sentence(step));
    }
    if !exercise.cautions.is_empty() {
        words.push_str(" Take care. ");
        words.push_str(&sentences(&exercise.cautions));
    }
    let name = &exercise.name;
    let much = how_much(dose);
    format!(
        "Exercise {number} of {of}: {name}.{hurt}{fetch}{words} Help today: {help}. {much}. Tap Start when you are in place."
    )
}

/// "3 sets of 30 seconds", "3 sets of 8, left side".
fn how_much(dose: &Dose) -> String {
    let sets = match dose.tempo.phases() {
        [hold] if hold.action == Action::Hold && dose.reps.get() == 1 => {
            let sets = dose::count(dose.sets.get(), "set");
            format!("{sets} of {}", secs(hold.secs.get().into()))
        }
        _ => dose::sets(dose),
    };
    let sides = dose::sides(dose.sides).map(|sides| format!(", {sides}"));
    format!("{sets}{}", sides.unwrap_or_default())
}

fn set_of(next: &Next) -> String {
    capitalised(&set_in_sentence(next))
}

/// "set 2 of 3, left side".
fn set_in_sentence(next: &Next) -> String {
    let side = next.side.map(|side| format!(", {} side", dose::side(side)));
    format!("set {} of {}{}", next.set, next.of, side.unwrap_or_default())
}

fn phase(opening: &Opening) -> Vec<String> {
    let mark = match opening.mark {
        Mark::None => "",
        Mark::HalfWay => "Half-way. ",
        Mark::Last => "Last one. ",
    };
    let Opening { action, word, how, .. } = *opening;
    let lasts = opening.secs.map(|left| format!(" {}.", capitalised(&secs(left))));
    let lasts = lasts.unwrap_or_default();
    let (full, short) = (dose::phase(action, word, how), dose::phase(action, word, None));
    let on_side = opening.side.map(|side| capitalised(dose::side(side)));
    let side = on_side.as_ref().map(|side| format!("{side} side. ")).unwrap_or_default();
    let tells_how = opening.is_first_rep || opening.mark == Mark::HalfWay;
    let forms = [
        tells_how.then(|| format!("{side}{mark}{full}.{lasts}")),
        Some(format!("{side}{mark}{short}.{lasts}")),
        Some(format!("{side}{short}.{lasts}")),
        on_side.map(|side| format!("{side}. {short}.")),
        Some(format!("{short}.{lasts}")),
        Some(format!("{short}.")),
    ];
    forms.into_iter().flatten().collect()
}

fn counted(left: u64) -> String {
    const NUMBERS: [&str; 10] =
        ["One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten"];
    let place = usize::try_from(left).ok().and_then(|left| left.checked_sub(1));
    let number = place.and_then(|place| NUMBERS.get(place));
    number.map_or_else(|| format!("{left}."), |number| format!("{number}."))
}

fn meant(rating: PainRating, means: Means, next: Option<&Next>) -> Vec<String> {
    let points = rating.points();
    match (means, next) {
        (Means::EndExercise, _) => vec![
            format!(
                "{points}. This exercise ends here today. That is the plan, not a failure. Tap Go on."
            ),
            format!("{points}. This exercise ends here today."),
        ],
        (Means::EaseNextSet { to }, Some(next)) => {
            let help = verdict::help(to, next.ladder);
            vec![
                format!("{points}. The next set is one rung down: {help}."),
                format!("{points}. One rung down: {help}."),
                "One rung down.".to_owned(),
            ]
        }
        (Means::NothingEasier, Some(_)) => vec![
            format!("{points}. The next set stays the same: nothing easier is left today."),
            format!("{points}. The next set stays the same."),
            format!("{points}."),
        ],
        (Means::CarryOn, Some(_)) => {
            vec![format!("{points}. The next set stays the same."), format!("{points}.")]
        }
        (Means::CarryOn | Means::NothingEasier | Means::EaseNextSet { .. }, None) => {
            vec![format!("{points}. This exercise is done for today. Tap Go on.")]
        }
    }
}

fn secs(count: u64) -> String {
    match count {
        1 => "one second".to_owned(),
        60 => "one minute".to_owned(),
        count if 60 < count && count % 60 == 0 => format!("{} minutes", count / 60),
        count => format!("{count} seconds"),
    }
}
