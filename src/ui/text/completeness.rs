//! The reporting template in the practitioner's words: each row in our own, and how the routine answers it.

use super::dates;
use super::dose::{count, list};
use crate::domain::plan::completeness::{Answer, Elsewhere, How, Missing, Row, ToNote, ToReview};
use crate::domain::plan::limits::MayStepUp;
use crate::domain::words::Words;

/// What the template is, and what it is not here.
pub const WHAT_IT_IS: &str = "The rows of CERT, a published template for describing an exercise programme (Slade 2016). It helps with your notes. Nothing depends on it.";

/// What a row asks for.
pub const fn row(row: Row) -> &'static str {
    match row {
        Row::Equipment => "What is used",
        Row::Provider => "Who teaches it, and what they are trained in",
        Row::AloneOrGroup => "Alone or in a group",
        Row::Supervision => "Watched over or not, and how it reaches the client",
        Row::Adherence => "How it is told whether it was done",
        Row::Motivation => "What helps to keep going",
        Row::ProgressionRule => "The rule for making it harder",
        Row::Progression => "How it is made harder",
        Row::EachExercise => "Each exercise, so that someone else could repeat it",
        Row::HomePart => "What is done at home",
        Row::NotExercise => "Anything that is not exercise",
        Row::Harms => "What went wrong, and how often",
        Row::Setting => "Where it is done",
        Row::Dose => "How much",
        Row::Tailored => "The same for all, or made for one",
        Row::HowTailored => "How it was made to fit",
        Row::StartingLevel => "The rule for where to start",
        Row::FidelityChecked => "How it was checked that it was done as meant",
        Row::AsPlanned => "How far it went as planned",
    }
}

/// "Answered", "To add", or "Elsewhere".
pub const fn mark(answer: &Answer) -> &'static str {
    match answer {
        Answer::Answered(_) => "Answered",
        Answer::NotAnswered(_) => "To add",
        Answer::OutsideTheRoutine(_) => "Elsewhere",
    }
}

/// How a row is answered, what to add, or where its answer belongs.
pub fn answer(answer: &Answer) -> String {
    match answer {
        Answer::Answered(how) => answered(how),
        Answer::NotAnswered(missing) => to_add(missing),
        Answer::OutsideTheRoutine(elsewhere) => belongs(*elsewhere),
    }
}

/// "For your notes: 9 of the 19 rows of a reporting template are answered here, 10 belong elsewhere".
pub fn tally(answers: &[(Row, Answer)]) -> String {
    let of = |mark_of: &str| answers.iter().filter(|(_, answer)| mark(answer) == mark_of).count();
    let to_add = match of("To add") {
        0 => String::new(),
        more => format!("{more} could be added, "),
    };
    format!(
        "For your notes: {} of the {} rows of a reporting template are answered here, {to_add}{} belong elsewhere",
        of("Answered"),
        answers.len(),
        of("Elsewhere")
    )
}

fn answered(how: &How) -> String {
    match how {
        How::Equipment { things } => format!("Named with each exercise: {}.", list(&texts(things))),
        How::OneClientAlone => "Alone: a routine is followed by one client.".to_owned(),
        How::StepUpRule { may_step_up, after_days } => {
            let what = match may_step_up {
                MayStepUp::Nothing => "you talk about the next step",
                MayStepUp::WinBack => "the app gives back what was lost, up to the starting rung",
                MayStepUp::ToTheCeiling => "the app goes one rung up, never above the ceiling",
            };
            format!("After {} that count, {what}.", days_in_a_row(*after_days))
        }
        How::StepUpRules => "In the rule of each exercise; they are not all the same.".to_owned(),
        How::Ladders { rungs } => {
            format!("In the ladders, {} in all.", count(short(*rungs), "rung"))
        }
        How::Steps { lines } => format!(
            "In the steps, {} in all. Whether someone else could repeat it from them is for you to judge.",
            count(short(*lines), "line")
        ),
        How::WholeRoutineAtHome => "The whole routine is the part done at home.".to_owned(),
        How::Dose { one_session } => format!(
            "Sets, reps, tempo, rest, days and times a day are in each dose; about {} a session. For how many weeks belongs in your visit note.",
            dates::minutes(*one_session)
        ),
        How::MadeFor { client } => format!("Made for \"{client}\"."),
        How::Settings { usual_morning, sites } => {
            let mut settings = vec!["the starting rungs".to_owned(), "the ceilings".to_owned()];
            if *usual_morning {
                settings.push("a usual morning".to_owned());
            }
            if 0 < *sites {
                settings.push(count(short(*sites), "site"));
            }
            format!("By {}.", list(&settings))
        }
    }
}

fn to_add(missing: &Missing) -> String {
    match missing {
        Missing::Equipment { exercises } => {
            format!("Say what is needed, or that nothing is, for {}.", list(&texts(exercises)))
        }
        Missing::Rungs { exercises } => {
            format!("Give {} more than one rung.", list(&texts(exercises)))
        }
        Missing::Steps { exercises } => format!("Write steps for {}.", list(&texts(exercises))),
        Missing::Client => {
            "Give the routine the label of the client for whom it is made.".to_owned()
        }
        Missing::Settings => {
            "Give the client's label, and a usual morning or the sites where it may hurt."
                .to_owned()
        }
    }
}

fn belongs(elsewhere: Elsewhere) -> String {
    match elsewhere {
        Elsewhere::VisitNote(what) => {
            let what = match what {
                ToNote::Training => "your training",
                ToNote::Supervision => "whether you are there for some of the sessions",
                ToNote::Motivation => "what you agreed on to keep going",
                ToNote::NotExercise => "advice, hands-on work, anything else",
                ToNote::Setting => "the room, the stairs, the garage",
                ToNote::WhyStartThere => {
                    "the routine says where to start, not why; note what you tested"
                }
            };
            format!("In your visit note: {what}.")
        }
        Elsewhere::LogAndReview(what) => {
            let what = match what {
                ToReview::Adherence => "the sessions and sets that were done",
                ToReview::Harms => {
                    "warning signs, and sets stopped because of pain; add what you were told"
                }
                ToReview::Fidelity => "reps, seconds and rungs, set by set; add what you watched",
                ToReview::AsPlanned => "what was done against the plan",
            };
            format!("In the log and its review: {what}.")
        }
    }
}

fn days_in_a_row(days: u16) -> String {
    if days == 1 { "1 day".to_owned() } else { format!("{days} days in a row") }
}

fn short(number: usize) -> u16 {
    u16::try_from(number).unwrap_or(u16::MAX)
}

fn texts(words: &[Words]) -> Vec<&str> {
    words.iter().map(Words::as_str).collect()
}
