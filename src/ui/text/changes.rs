//! What a newer version of a routine changes, in the client's words: "3 sets instead of 2".

use super::dose::{count, list, sides, tempo, which_days};
use super::{capitalised, dates, verdict};
use crate::domain::log::course::GoesOn;
use crate::domain::plan::changes::{Change, ExerciseChange, LimitChange, RoutineChange, Swap};
use crate::domain::plan::dose::{DoseChange, Sides};
use crate::domain::plan::ladder::{OnLowestRung, WordsChange};
use crate::domain::plan::limits::{AfterBreak, AfterMiddleSet, MayStepUp, Preset, Site};
use crate::domain::plan::phone::PhoneNumber;
use crate::domain::plan::routine::{AnchorChange, Exercise, OnHold, SwellingReach};
use crate::domain::words::{Id, Words};

/// The changes of one exercise, of the rule, or of the routine as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    pub title: String,
    pub lines: Vec<String>,
}

/// What a change is about, in the order in which a client wants to know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Subject<'a> {
    Exercise(&'a Id),
    Rule,
    Routine,
}

/// All changes in plain words: the exercises in their order, then the rule, then the rest.
pub fn told(changes: &[Change]) -> Vec<About> {
    let mut all: Vec<(Subject, About)> = Vec::new();
    for change in changes {
        let (subject, title, lines) = match change {
            Change::Exercise { id, name, what } => {
                (Subject::Exercise(id), name.to_string(), exercise(what))
            }
            Change::Limits(limit) => (Subject::Rule, "The rule".to_owned(), limits(limit)),
            Change::Routine(what) => (Subject::Routine, "The routine".to_owned(), routine(what)),
        };
        if lines.is_empty() {
            continue;
        }
        match all.iter_mut().find(|(known, _)| *known == subject) {
            Some((_, about)) => about.lines.extend(lines),
            None => all.push((subject, About { title, lines })),
        }
    }
    let place = |subject: &Subject| match subject {
        Subject::Exercise(_) => 0,
        Subject::Rule => 1,
        Subject::Routine => 2,
    };
    all.sort_by_key(|(subject, _)| place(subject));
    all.into_iter().map(|(_, about)| about).collect()
}

/// Where the client goes on under a newer version: "you stay on rung 3, one hand on the banister".
pub fn goes_on(exercise: &Exercise, goes_on: GoesOn) -> String {
    let foothold = goes_on.foothold();
    let there =
        format!("rung {}: {}", foothold.rung.get(), verdict::help(foothold, &exercise.ladder));
    match goes_on {
        GoesOn::Kept { was, is } if was.rung == is.rung && is.fewer_sets < was.fewer_sets => {
            format!("You stay on {there}, with all sets again")
        }
        GoesOn::Kept { was, is } if was.rung == is.rung => format!("You stay on {there}"),
        GoesOn::Kept { was, .. } if was.fewer_sets == 0 => {
            format!("You go on with the same help, now on {there}")
        }
        GoesOn::Kept { .. } => format!("You go on on {there}"),
        GoesOn::AtTheCeiling { .. } => {
            format!("You go on on the highest rung before the next visit, {there}")
        }
        GoesOn::AtTheStart { .. } => format!("You begin on {there}"),
        GoesOn::New { .. } => format!("New for you. You begin on {there}"),
    }
}

fn routine(what: &RoutineChange) -> Vec<String> {
    let one = |line: String| vec![line];
    match what {
        RoutineChange::Id(_) => {
            one("It is another routine, and takes the place of the one you follow".to_owned())
        }
        RoutineChange::Version(version) => {
            one(format!("Version {} instead of {}", version.is.get(), version.was.get()))
        }
        RoutineChange::Title(title) => one(renamed(title)),
        RoutineChange::Client(client) => one(text("Made for", client)),
        RoutineChange::Practitioner(who) => one(text("From", who)),
        RoutineChange::Phone(phone) => {
            let number = |phone: &Option<PhoneNumber>| phone.as_ref().map(PhoneNumber::to_string);
            one(text_of("To ring:", number(&phone.is), number(&phone.was)))
        }
        RoutineChange::Issued(issued) => {
            one(format!("Of {} instead of {}", dates::day(issued.is), dates::day(issued.was)))
        }
        RoutineChange::Source(source) => one(now("Source", source)),
        RoutineChange::Cautions(cautions) => lines("cautions", "Take care", cautions),
        RoutineChange::Joint(joint) => one(text("The question about swelling is about:", joint)),
        RoutineChange::Anchor(AnchorChange::Set { rating }) => {
            one(format!("A usual morning is taken to be {}", rating.points()))
        }
        RoutineChange::Anchor(AnchorChange::Clear) => {
            one("What a usual morning is like is found anew, from the next mornings".to_owned())
        }
        RoutineChange::Answers(answers) => answers
            .added()
            .into_iter()
            .map(|answer| {
                let day = dates::day(answer.asked);
                format!("An answer to what was written on {day}: {}", answer.answer)
            })
            .collect(),
    }
}

fn exercise(what: &ExerciseChange) -> Vec<String> {
    let one = |line: String| vec![line];
    match what {
        ExerciseChange::Added => one("New".to_owned()),
        ExerciseChange::LeftOut => one("Not in the routine any more".to_owned()),
        ExerciseChange::Moved { after: None } => one("Comes first now".to_owned()),
        ExerciseChange::Moved { after: Some(after) } => one(format!("Comes after {after} now")),
        ExerciseChange::Name(name) => one(renamed(name)),
        ExerciseChange::Purpose(purpose) => one(now("What it is for", purpose)),
        ExerciseChange::Equipment(things) => lines("things", "Fetch", things),
        ExerciseChange::Steps(steps) => lines("steps", "Step", steps),
        ExerciseChange::WatchFor(watch) => lines("points to watch", "Watch for", watch),
        ExerciseChange::Cautions(cautions) => lines("cautions", "Take care", cautions),
        ExerciseChange::Source(source) => one(now("Source", source)),
        ExerciseChange::Photo(Swap { is: None, .. }) => one("No photo any more".to_owned()),
        ExerciseChange::Photo(Swap { was: None, .. }) => one("A photo of your set-up".to_owned()),
        ExerciseChange::Photo(_) => one("Another photo of your set-up".to_owned()),
        ExerciseChange::Swelling(reach) => one(match reach.is {
            SwellingReach::Reaches => "Swelling counts for it now",
            SwellingReach::OutOfReach => "Swelling does not count for it any more",
        }
        .to_owned()),
        ExerciseChange::OnHold(OnHold::Open) => {
            one("If it is on Hold or stopped, it is open again".to_owned())
        }
        ExerciseChange::OnHold(OnHold::Leave) => {
            one("If it is on Hold or stopped, it stays so".to_owned())
        }
        ExerciseChange::Sets(sets) => {
            one(format!("{} instead of {}", count(sets.is.get(), "set"), sets.was.get()))
        }
        ExerciseChange::Reps(reps) => {
            one(format!("{} instead of {}", count(reps.is.get(), "rep"), reps.was.get()))
        }
        ExerciseChange::Tempo(pace) => {
            one(format!("Pace: {} instead of {}", tempo(&pace.is), tempo(&pace.was)))
        }
        ExerciseChange::Rest(rest) => {
            one(format!("Rest {} s instead of {} s", rest.is.get(), rest.was.get()))
        }
        ExerciseChange::Sides(which) => one(instead_words(&side(which.is), &side(which.was))),
        ExerciseChange::Load(weight) => {
            let words = |of: &Option<_>| of.as_ref().map(ToString::to_string);
            one(text_of("Load:", words(&weight.is), words(&weight.was)))
        }
        ExerciseChange::TimesADay(times) => {
            one(format!("{} a day instead of {}", count(times.is.get(), "time"), times.was.get()))
        }
        ExerciseChange::Days(days) => {
            one(instead_words(&which_days(&days.is), &which_days(&days.was)))
        }
        ExerciseChange::RungAdded { number, rung } => {
            one(format!("Rung {} is new: {}{}", number.get(), rung.help, dose_of(&rung.dose)))
        }
        ExerciseChange::RungLeftOut { number, rung } => {
            one(format!("Old rung {} is gone: {}", number.get(), rung.help))
        }
        ExerciseChange::RungHelp { number, help } => {
            one(format!("Rung {}: \"{}\" instead of \"{}\"", number.get(), help.is, help.was))
        }
        ExerciseChange::RungDose { number, help, dose } => one(format!(
            "Rung {}, {help}:{} instead of{}",
            number.get(),
            bare(&dose.is),
            bare(&dose.was)
        )),
        ExerciseChange::RungWords { number, help, words } => {
            own_words(words, &format!("Rung {}, {help}", number.get()))
        }
        ExerciseChange::Start(start) => {
            one(format!("Starts on rung {} instead of {}", start.is.get(), start.was.get()))
        }
        ExerciseChange::Ceiling(ceiling) => one(format!(
            "The highest rung before the next visit is {} instead of {}",
            ceiling.is.get(),
            ceiling.was.get()
        )),
        ExerciseChange::OwnLimits(limits) => {
            let preset = verdict::preset(Preset::of(&limits.table));
            one(format!("Has a rule of its own now: {preset}. It stands with the exercise below"))
        }
        ExerciseChange::NoOwnLimits => {
            one("Has no rule of its own any more; the routine's holds".to_owned())
        }
        ExerciseChange::Limits(limit) => {
            limits(limit).into_iter().map(|line| format!("Its rule: {line}")).collect()
        }
    }
}

fn limits(change: &LimitChange) -> Vec<String> {
    let one = |line: String| vec![line];
    match change {
        LimitChange::LowMax(low) => {
            one(format!("Low pain goes up to {} instead of {}", low.is.points(), low.was.points()))
        }
        LimitChange::MiddleMax(middle) => one(format!(
            "Middle pain goes up to {} instead of {}",
            middle.is.points(),
            middle.was.points()
        )),
        LimitChange::Cell { place: (zone, settling), cell } => one(format!(
            "{} pain, next morning {}: {} instead of {}",
            capitalised(verdict::zone(*zone)),
            verdict::settling(*settling),
            verdict::cell(cell.is),
            verdict::cell(cell.was)
        )),
        LimitChange::Sites(sites) => where_it_hurts(sites),
        LimitChange::UsualMorning(usual) => {
            let words = |of: &Option<crate::domain::pain::PainRating>| {
                of.map(|usual| usual.points().to_string())
            };
            one(text_of("A usual morning:", words(&usual.is), words(&usual.was)))
        }
        LimitChange::RestDays(rest) => one(format!(
            "Hold means {} off instead of {}",
            count(rest.is.get(), "day"),
            rest.was.get()
        )),
        LimitChange::MayStepUp(may) => one(format!(
            "The app steps up by itself: {} instead of {}",
            step_up(may.is),
            step_up(may.was)
        )),
        LimitChange::StepUpAfter(days) => one(format!(
            "A step up takes {} in a row that count instead of {}",
            count(days.is.get(), "day"),
            days.was.get()
        )),
        LimitChange::OnLowestRung(lowest) => {
            let words = |lowest| match lowest {
                OnLowestRung::OneSetFewer => "one set fewer",
                OnLowestRung::Hold => "Hold",
            };
            one(format!(
                "On the lowest rung, Ease means {} instead of {}",
                words(lowest.is),
                words(lowest.was)
            ))
        }
        LimitChange::BreakDays(days) => one(format!(
            "A break begins with {} without training instead of {}",
            count(days.is.get(), "day"),
            days.was.get()
        )),
        LimitChange::AfterBreak(after) => one(format!(
            "After a break the first day is {} instead of {}",
            after_break(after.is),
            after_break(after.was)
        )),
        LimitChange::AfterMiddleSet(after) => one(match after.is {
            AfterMiddleSet::Same => {
                "After a set in the middle zone the next set stays on its rung now"
            }
            AfterMiddleSet::OneRungDown => {
                "After a set in the middle zone the next set is done one rung down now"
            }
        }
        .to_owned()),
    }
}

const fn after_break(after: AfterBreak) -> &'static str {
    match after {
        AfterBreak::OneRungLower => "one rung lower",
        AfterBreak::Same => "where the last one ended",
        AfterBreak::WaitForMe => "left out until your practitioner has answered",
    }
}

const fn step_up(may: MayStepUp) -> &'static str {
    match may {
        MayStepUp::Nothing => "never",
        MayStepUp::WinBack => "back to the starting rung",
        MayStepUp::ToTheCeiling => "up to the ceiling",
    }
}

fn where_it_hurts(sites: &Swap<Vec<Site>>) -> Vec<String> {
    let (added, gone) = (sites.added(), sites.gone());
    let mut lines: Vec<String> = added
        .iter()
        .map(|site| {
            let counts = verdict::site_counts(site);
            if gone.iter().any(|before| before.name == site.name) {
                format!("Now pain at the {counts}")
            } else {
                format!("New place to name: pain at the {counts}")
            }
        })
        .collect();
    let is_gone = |site: &&&Site| !added.iter().any(|after| after.name == site.name);
    lines.extend(
        gone.iter().filter(is_gone).map(|site| format!("No place to name any more: {}", site.name)),
    );
    if lines.is_empty() {
        lines.push("The places where it may hurt are asked in another order".to_owned());
    }
    lines
}

/// New lines and lines that are gone, or that they stand in another order.
fn lines(what: &str, label: &str, lines: &Swap<Vec<Words>>) -> Vec<String> {
    let new = lines.added().into_iter().map(|line| format!("{label}, new: {line}"));
    let gone = lines.gone().into_iter().map(|line| format!("{label}, gone: {line}"));
    let all: Vec<String> = new.chain(gone).collect();
    if all.is_empty() { vec![format!("The {what} stand in another order")] } else { all }
}

/// The lists that a rung says otherwise now, and those of the exercise that it follows again.
fn own_words(words: &Swap<WordsChange>, rung: &str) -> Vec<String> {
    let WordsChange { equipment, steps, watch_for } = &words.is;
    let lists = [
        ("fetch", equipment, &words.was.equipment),
        ("step by step", steps, &words.was.steps),
        ("watch for", watch_for, &words.was.watch_for),
    ];
    let differs = lists.into_iter().filter(|(_, is, was)| is != was);
    let line = |(label, is, _): (&str, &Option<Vec<Words>>, _)| match is.as_deref() {
        Some([]) => format!("{rung}, {label}: nothing"),
        Some(lines) => format!("{rung}, {label}: {}", joined(lines)),
        None => format!("{rung}, {label}: as on the other rungs"),
    };
    differs.map(line).collect()
}

fn joined(lines: &[Words]) -> String {
    lines.iter().map(Words::as_str).collect::<Vec<_>>().join(" · ")
}

fn renamed(name: &Swap<Words>) -> String {
    format!("Called \"{}\" before", name.was)
}

fn text(label: &str, text: &Swap<Option<Words>>) -> String {
    let words = |text: &Option<Words>| text.as_ref().map(Words::to_string);
    text_of(label, words(&text.is), words(&text.was))
}

fn text_of(label: &str, is: Option<String>, was: Option<String>) -> String {
    let or_none = |text: Option<String>| text.unwrap_or_else(|| "none".to_owned());
    format!("{label} {} instead of {}", or_none(is), or_none(was))
}

fn now(label: &str, text: &Swap<Option<Words>>) -> String {
    match &text.is {
        Some(is) => format!("{label}, now: {is}"),
        None => format!("{label}: not told any more"),
    }
}

fn instead_words(is: &str, was: &str) -> String {
    format!("{} instead of {was}", capitalised(is))
}

fn side(which: Sides) -> String {
    sides(which).unwrap_or("both sides together").to_owned()
}

fn dose_of(dose: &DoseChange) -> String {
    if dose.is_empty() { String::new() } else { format!(" ({})", parts(dose)) }
}

fn bare(dose: &DoseChange) -> String {
    if dose.is_empty() { " the usual dose".to_owned() } else { format!(" {}", parts(dose)) }
}

/// What a rung changes in the dose: "12 reps and rest 60 s".
fn parts(dose: &DoseChange) -> String {
    let parts = [
        dose.sets.map(|sets| count(sets.get(), "set")),
        dose.reps.map(|reps| count(reps.get(), "rep")),
        dose.tempo.as_ref().map(tempo),
        dose.rest_secs.map(|rest| format!("rest {} s", rest.get())),
        dose.load.as_ref().map(ToString::to_string),
    ];
    list(&parts.into_iter().flatten().collect::<Vec<_>>())
}
