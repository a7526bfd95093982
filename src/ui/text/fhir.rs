//! What the export for a clinic's record system says. What it said once stays: records are compared.

use super::dose::count;
use crate::domain::log::event::Lifts;
use crate::domain::log::history::DoneSet;
use crate::domain::log::rule::Swelling;
use crate::domain::log::warning::WarningSign;
use crate::domain::plan::dose::{Action, Dose, Phase, Sides};
use crate::domain::plan::ladder::Rung;
use crate::domain::plan::limits::Limits;
use crate::domain::plan::routine::Exercise;
use crate::exchange::fhir::Says;

pub fn in_words(says: Says) -> String {
    match says {
        Says::Version(routine) => format!("{}, version {}", routine.title, routine.version.get()),
        Says::Limits(limits) => limits_in_words(limits),
        Says::Dose(dose) => dose_in_words(dose),
        Says::Ladder(exercise) => ladder_in_words(exercise),
        Says::Set(set, help) => set_in_words(set, help),
        Says::CutShort => "Cut short by choice".to_owned(),
        Says::StoppedBecauseOfPain => "Stopped because of pain".to_owned(),
        Says::LeftOut => "Left out by choice".to_owned(),
        Says::PainAtRest => "Pain at rest before the session".to_owned(),
        Says::PainDuring(exercise) => format!("Worst pain during a set: {exercise}"),
        Says::PainThisMorning(exercise) => format!("Pain this morning: {exercise}"),
        Says::PainInTheNight(exercise) => format!("Pain in the night: {exercise}"),
        Says::PainOnAUsualMorning => "Pain on a usual morning lately".to_owned(),
        Says::SwellingAgainstTheDayBefore => "Swelling against the day before".to_owned(),
        Says::Swelling(swelling) => swelling_in_words(swelling).to_owned(),
        Says::SignTicked => "Warning sign ticked by the client".to_owned(),
        Says::Sign(sign) => sign_in_words(sign).to_owned(),
        Says::ToldByTheClient => "Told by the client".to_owned(),
        Says::ToldToGoOn => "Someone qualified said to go on".to_owned(),
        Says::GoAhead(lifts) => go_ahead(lifts),
        Says::NoteByTheClient => "Note by the client".to_owned(),
        Says::TheApp(version) => format!("Carryover {version}, on the client's own device"),
    }
}

fn limits_in_words(limits: &Limits) -> String {
    format!(
        "Pain during an exercise up to {} is low, up to {} is middle, more is high.",
        limits.table.low_max().points(),
        limits.table.middle_max().points()
    )
}

fn dose_in_words(dose: &Dose) -> String {
    let phase = |phase: &Phase| {
        let action = match phase.action {
            Action::Lift => "lift",
            Action::Lower => "lower",
            Action::Hold => "hold",
            Action::Relax => "relax",
        };
        let how = phase.how.as_ref().map(|how| format!(" ({how})")).unwrap_or_default();
        format!("{action} {} s{how}", phase.secs.get())
    };
    let tempo: Vec<String> = dose.tempo.phases().iter().map(phase).collect();
    let sides = match dose.sides {
        Sides::Together => "",
        Sides::Left => "; left side",
        Sides::Right => "; right side",
        Sides::InTurn => "; left, then right, in each set",
        Sides::OneAfterTheOther => "; all sets on the left, then all on the right",
    };
    let load = dose.load.as_ref().map(|load| format!("; {load}")).unwrap_or_default();
    format!(
        "{} of {}: {}; rest {} s{sides}{load}",
        count(dose.sets.get(), "set"),
        count(dose.reps.get(), "rep"),
        tempo.join(", "),
        dose.rest_secs.get()
    )
}

fn ladder_in_words(exercise: &Exercise) -> String {
    let ladder = &exercise.ladder;
    let rung = |(number, rung): (u16, &Rung)| {
        let load = exercise.load_not_named(rung).map(|load| format!(", {load}"));
        format!("{number}. {}{}", rung.help, load.unwrap_or_default())
    };
    let rungs: Vec<String> = (1..).zip(ladder.rungs()).map(rung).collect();
    format!(
        "Help, most first: {}. Start on rung {}, not above rung {} before the next visit.",
        rungs.join("; "),
        ladder.start().get(),
        ladder.ceiling().get()
    )
}

fn set_in_words(set: &DoneSet, help: Option<&str>) -> String {
    let help = help.map(|help| format!(" ({help})")).unwrap_or_default();
    let worked = if set.work_secs == 1 {
        "1 second".to_owned()
    } else {
        format!("{} seconds", set.work_secs)
    };
    format!(
        "Set {}: {}, {worked} of work, rung {}{help}",
        set.number,
        count(set.reps, "rep"),
        set.rung.get()
    )
}

const fn swelling_in_words(swelling: Swelling) -> &'static str {
    match swelling {
        Swelling::NoMore => "no more",
        Swelling::ALittleMore => "a little more",
        Swelling::ClearlyMore => "clearly more",
    }
}

/// In a few words: what is asked about each sign is in the app.
const fn sign_in_words(sign: WarningSign) -> &'static str {
    match sign {
        WarningSign::ChestOrBreath => "chest or breath",
        WarningSign::SaddleNumbness => "saddle numbness",
        WarningSign::ColdOrNumb => "cold or numb",
        WarningSign::SwollenCalf => "swollen calf",
        WarningSign::HotJointOrFever => "hot joint or fever",
        WarningSign::InjuryOrNoWeight => "injury or no weight",
        WarningSign::StuckJoint => "stuck joint",
        WarningSign::Unwell => "unwell",
    }
}

fn go_ahead(lifts: &Lifts) -> String {
    match lifts {
        Lifts::WarningSign => "Someone qualified has looked at the warning sign".to_owned(),
        Lifts::Exercise(exercise) => {
            format!("Someone qualified said to go on with {}", exercise.as_str())
        }
        Lifts::All => "Someone qualified said to go on with all that was stopped".to_owned(),
    }
}
