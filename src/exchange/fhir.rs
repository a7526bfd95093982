//! A log as a FHIR R4 Bundle, for the record that a clinic keeps.
//!
//! What the client did and said travels; what the app worked out from it does not. The client is a
//! pseudonym, the only code is LOINC's for a pain rating, and everything else is said in words. Ids are
//! worked out from those of the log, so the same log gives the same Bundle.

use std::collections::{BTreeMap, BTreeSet};
use std::slice;

use chrono::{DateTime, FixedOffset, NaiveDate, Weekday};
use serde::Serialize;
use serde_json::{Value, json};
use uuid::Uuid;

use super::record::Record;
use super::stable_id;
use crate::domain::event_id::EventId;
use crate::domain::log::event::{Ending, Fact, Lifts};
use crate::domain::log::history::{Accepted, DoneSet, History, MorningAnswer, Session, Slips};
use crate::domain::log::mornings::is_of_a_morning;
use crate::domain::log::warning::WarningSign;
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::{Action, Dose, Phase, Sides};
use crate::domain::plan::ladder::{Foothold, Rung};
use crate::domain::plan::limits::Limits;
use crate::domain::plan::routine::Exercise;
use crate::domain::words::Id;

/// What LOINC's licence asks to be shown beside its codes; `docs/notices.md` has it too.
pub const LOINC_NOTICE: &str = "This material contains content from LOINC (http://loinc.org). LOINC is copyright © Regenstrief Institute, Inc. and the Logical Observation Identifiers Names and Codes (LOINC) Committee and is available at no cost under the license at http://loinc.org/license. LOINC® is a registered United States trademark of Regenstrief Institute, Inc.";

/// The Bundle as a text.
pub fn print(records: &[Record]) -> String {
    format!("{:#}\n", bundle(records))
}

/// A Bundle of type `collection`, FHIR 4.0.1: the client, a `CarePlan` with a `ServiceRequest` for each
/// exercise of each routine version, a `Procedure` for each set, an `Observation` for each rating,
/// swelling, warning sign and note, and where all of it comes from.
pub fn bundle(records: &[Record]) -> Value {
    let history = History::fold(records.iter().map(|record| &record.event));
    let first = history.accepted().first().map(|accepted| accepted.id);
    let client = stable_id::of("client", &first.map(|id| id.to_string()).unwrap_or_default());
    let mut entries = Entries { client, entries: Vec::new() };
    for (index, accepted) in history.accepted().iter().enumerate() {
        entries.add_routine(accepted, history.accepted().get(index + 1));
    }
    for session in history.sessions() {
        entries.add_session(session, history.accepted_for(session));
    }
    entries.add_mornings(&history);
    let mut in_order: Vec<&Record> = records.iter().collect();
    in_order.sort_by_key(|record| record.id());
    let slips = Slips::of(records.iter().map(|record| &record.event)).signs;
    for record in &in_order {
        entries.add_said(record, &slips);
    }
    let mut bundle = json!({
        "resourceType": "Bundle",
        "meta": { "profile": ["http://hl7.org/fhir/StructureDefinition/Bundle|4.0.1"] },
        "type": "collection",
    });
    if let Some(last) = in_order.last() {
        entries.add_provenance(last);
        bundle["timestamp"] = json!(last.event.at.to_rfc3339());
        let id = stable_id::of("bundle", &format!("{}/{}", last.id(), records.len()));
        bundle["identifier"] = identifier(id);
    }
    let patient = json!({ "resourceType": "Patient", "identifier": [identifier(client)] });
    let mut all = vec![entry(client, patient)];
    all.append(&mut entries.entries);
    bundle["entry"] = Value::Array(all);
    bundle
}

struct Entries {
    client: Uuid,
    entries: Vec<Value>,
}

/// What an observation says.
enum Said {
    Pain(PainRating),
    Words(String),
}

impl Entries {
    fn add(&mut self, id: Uuid, resource: Value) {
        self.entries.push(entry(id, resource));
    }

    fn add_routine(&mut self, accepted: &Accepted, next: Option<&Accepted>) {
        let routine = &accepted.routine;
        let status = if next.is_some() { "completed" } else { "active" };
        let plan = stable_id::of("routine", &accepted.id.to_string());
        let requests: Vec<Value> = routine
            .exercises()
            .iter()
            .map(
                |exercise| json!({ "reference": reference(request_id(accepted.id, &exercise.id)) }),
            )
            .collect();
        let mut period = json!({ "start": day(accepted.at.date_naive()) });
        if let Some(next) = next {
            period["end"] = day(next.at.date_naive());
        }
        let care_plan = json!({
            "resourceType": "CarePlan",
            "status": status,
            "intent": "plan",
            "title": format!("{}, version {}", routine.title, routine.version.get()),
            "subject": reference(self.client),
            "created": accepted.at.to_rfc3339(),
            "period": period,
            "activity": requests,
            "note": [{ "text": limits_in_words(&routine.limits) }],
        });
        self.add(plan, care_plan);
        for exercise in routine.exercises() {
            let start = Foothold::on(exercise.ladder.start());
            let request = json!({
                "resourceType": "ServiceRequest",
                "status": status,
                "intent": "plan",
                "basedOn": [reference(plan)],
                "code": { "text": exercise.name.as_str() },
                "subject": reference(self.client),
                "authoredOn": day(routine.issued),
                "occurrenceTiming": timing(&exercise.dose),
                "patientInstruction": dose_in_words(&start.dose(&exercise.dose, &exercise.ladder)),
                "note": [{ "text": ladder_in_words(exercise) }],
            });
            self.add(request_id(accepted.id, &exercise.id), request);
        }
    }

    fn add_session(&mut self, session: &Session, followed: Option<&Accepted>) {
        if let Some(rating) = session.at_rest {
            let id = stable_id::of("at-rest", &session.id.to_string());
            let what = "Pain at rest before the session";
            self.observe(id, what, session.started_at, Said::Pain(rating));
        }
        for set in &session.sets {
            let exercise = followed.and_then(|accepted| accepted.routine.exercise(&set.exercise));
            let name = exercise.map_or(set.exercise.as_str(), |exercise| exercise.name.as_str());
            let request = followed.zip(exercise);
            let request = request.map(|(accepted, exercise)| request_id(accepted.id, &exercise.id));
            let procedure = stable_id::of("set", &set.id.to_string());
            self.add(procedure, self.procedure(set, name, exercise, request));
            if let Some(rated) = &set.rated {
                let id = stable_id::of("rating", &rated.by.to_string());
                let what = format!("Worst pain during a set: {name}");
                let observed = self.observe(id, &what, set.ended_at, Said::Pain(rated.rating));
                observed["partOf"] = json!([reference(procedure)]);
                if let Some(site) = &rated.site {
                    observed["bodySite"] = json!({ "text": site.as_str() });
                }
            }
        }
    }

    fn procedure(
        &self,
        set: &DoneSet,
        name: &str,
        exercise: Option<&Exercise>,
        request: Option<Uuid>,
    ) -> Value {
        let help = exercise.map(|exercise| exercise.ladder.rung(set.rung).help.as_str());
        let help = help.map(|help| format!(" ({help})")).unwrap_or_default();
        let done = format!(
            "Set {}: {}, {} of work, rung {}{help}",
            set.number,
            count(set.reps.into(), "rep"),
            count(set.work_secs, "second"),
            set.rung.get()
        );
        let (status, reason) = match set.ending {
            Ending::Complete => ("completed", None),
            Ending::Short => ("stopped", Some("Cut short by choice")),
            Ending::Pain => ("stopped", Some("Stopped because of pain")),
            Ending::LeftOut => ("not-done", Some("Left out by choice")),
        };
        let mut procedure = json!({
            "resourceType": "Procedure",
            "status": status,
            "code": { "text": name },
            "subject": reference(self.client),
            "performedDateTime": set.ended_at.to_rfc3339(),
            "note": [{ "text": done }],
        });
        if let Some(reason) = reason {
            procedure["statusReason"] = json!({ "text": reason });
        }
        if let Some(request) = request {
            procedure["basedOn"] = json!([reference(request)]);
        }
        procedure
    }

    /// One observation for each exercise of a morning. Of two answers on one morning the worse counts, rating
    /// and swelling apart; what was answered in the night is said to be of the night.
    fn add_mornings(&mut self, history: &History) {
        let mut dates: BTreeMap<NaiveDate, Vec<&MorningAnswer>> = BTreeMap::new();
        let mut nights: Vec<&MorningAnswer> = Vec::new();
        for answer in history.mornings() {
            if is_of_a_morning(answer) {
                dates.entry(answer.at.date_naive()).or_default().push(answer);
            } else {
                nights.push(answer);
            }
        }
        let mornings = dates.values().map(|answers| ("this morning", &answers[..]));
        let nights = nights.iter().map(|answer| ("in the night", slice::from_ref(answer)));
        for (when, answers) in mornings.chain(nights) {
            self.add_answers(history, when, answers);
        }
    }

    /// What counts of the answers of one morning, each under the id of the answer that it comes from.
    fn add_answers(&mut self, history: &History, when: &str, answers: &[&MorningAnswer]) {
        let mut worst: BTreeMap<&Id, (PainRating, &MorningAnswer)> = BTreeMap::new();
        for (exercise, rating, answer) in answers.iter().flat_map(|answer| {
            answer.ratings.iter().map(move |(exercise, rating)| (exercise, *rating, *answer))
        }) {
            let known = worst.entry(exercise).or_insert((rating, answer));
            if known.0 < rating {
                *known = (rating, answer);
            }
        }
        for (exercise, (rating, answer)) in worst {
            let in_force = history.accepted().iter().rfind(|accepted| accepted.id < answer.id);
            let known = in_force.and_then(|accepted| accepted.routine.exercise(exercise));
            let name = known.map_or(exercise.as_str(), |exercise| exercise.name.as_str());
            let id =
                stable_id::of("morning-rating", &format!("{}/{}", answer.id, exercise.as_str()));
            let what = format!("Pain {when}: {name}");
            let observed = self.observe(id, &what, answer.at, Said::Pain(rating));
            if let Some(accepted) = in_force.filter(|_| known.is_some()) {
                observed["basedOn"] = json!([reference(request_id(accepted.id, exercise))]);
            }
        }
        // Of several with the same swelling, the first.
        if let Some(answer) = answers.iter().rev().max_by_key(|answer| answer.swelling) {
            let id = stable_id::of("morning-swelling", &answer.id.to_string());
            let said = Said::Words(plain(answer.swelling));
            self.observe(id, "Swelling against the day before", answer.at, said);
        }
    }

    /// Warning signs, notes, and that someone qualified said to go on. A sign that was taken off again is
    /// withdrawn.
    fn add_said(&mut self, record: &Record, slips: &BTreeSet<(EventId, WarningSign)>) {
        let (id, at) = (record.id(), record.event.at);
        match &record.event.what {
            Fact::WarningTicked { signs } => {
                for sign in signs.iter().collect::<BTreeSet<_>>() {
                    let (name, what) = (plain(sign), "Warning sign ticked by the client");
                    let stable = stable_id::of("warning", &format!("{id}/{name}"));
                    let observed = self.observe(stable, what, at, Said::Words(name));
                    if slips.contains(&(id, *sign)) {
                        observed["status"] = json!("entered-in-error");
                    }
                }
            }
            Fact::ToldToGoOn => {
                let id = stable_id::of("told-to-go-on", &id.to_string());
                let said = "Someone qualified said to go on".to_owned();
                self.observe(id, "Told by the client", at, Said::Words(said));
            }
            Fact::GoAhead { lifts } => {
                let id = stable_id::of("go-ahead", &id.to_string());
                let said = match lifts {
                    Lifts::WarningSign => {
                        "Someone qualified has looked at the warning sign".to_owned()
                    }
                    Lifts::Exercise(exercise) => {
                        format!("Someone qualified said to go on with {}", exercise.as_str())
                    }
                    Lifts::All => {
                        "Someone qualified said to go on with all that was stopped".to_owned()
                    }
                };
                self.observe(id, "Told by the client", at, Said::Words(said));
            }
            Fact::UsualMorning { rating } => {
                let id = stable_id::of("usual-morning", &id.to_string());
                self.observe(id, "Pain on a usual morning lately", at, Said::Pain(*rating));
            }
            Fact::Note { text, .. } => {
                let id = stable_id::of("note", &id.to_string());
                self.observe(id, "Note by the client", at, Said::Words(text.to_string()));
            }
            Fact::RoutineAccepted { .. }
            | Fact::SessionStarted { .. }
            | Fact::SetEnded { .. }
            | Fact::StopTakenBack { .. }
            | Fact::SetRated { .. }
            | Fact::ExerciseLeftOut { .. }
            | Fact::SessionEnded { .. }
            | Fact::MorningAnswered { .. }
            | Fact::HandedBack
            | Fact::Corrected { .. }
            | Fact::SwellingCorrected { .. }
            | Fact::WarningUnticked { .. }
            | Fact::RuleExplained { .. }
            | Fact::VerdictGiven { .. } => {}
        }
    }

    /// Adds what the client reported at a moment, and gives it back for what else belongs to it.
    fn observe(
        &mut self,
        id: Uuid,
        what: &str,
        at: DateTime<FixedOffset>,
        said: Said,
    ) -> &mut Value {
        let mut observation = json!({
            "resourceType": "Observation",
            "status": "final",
            "category": [{ "coding": [{
                "system": "http://terminology.hl7.org/CodeSystem/observation-category",
                "code": "survey",
            }] }],
            "code": { "text": what },
            "subject": reference(self.client),
            "performer": [reference(self.client)],
            "effectiveDateTime": at.to_rfc3339(),
        });
        match said {
            Said::Pain(rating) => {
                observation["code"]["coding"] = json!([{
                    "system": "http://loinc.org",
                    "code": "72514-3",
                    "display": "Pain severity - 0-10 verbal numeric rating [Score] - Reported",
                }]);
                observation["valueQuantity"] = json!({
                    "value": rating.points(),
                    "unit": "{score}",
                    "system": "http://unitsofmeasure.org",
                    "code": "{score}",
                });
            }
            Said::Words(words) => observation["valueString"] = json!(words),
        }
        self.add(id, observation);
        let last = self.entries.len() - 1;
        &mut self.entries[last]["resource"]
    }

    fn add_provenance(&mut self, last: &Record) {
        let targets: Vec<Value> =
            self.entries.iter().map(|entry| json!({ "reference": entry["fullUrl"] })).collect();
        if targets.is_empty() {
            return;
        }
        let app = format!("Carryover {}, on the client's own device", env!("CARGO_PKG_VERSION"));
        let provenance = json!({
            "resourceType": "Provenance",
            "target": targets,
            "recorded": last.event.at.to_rfc3339(),
            "agent": [{ "who": { "display": app }, "onBehalfOf": reference(self.client) }],
        });
        self.add(stable_id::of("provenance", &last.id().to_string()), provenance);
    }
}

fn entry(id: Uuid, mut resource: Value) -> Value {
    resource["id"] = json!(id.to_string());
    json!({ "fullUrl": id.urn().to_string(), "resource": resource })
}

fn identifier(id: Uuid) -> Value {
    json!({ "system": "urn:ietf:rfc:3986", "value": id.urn().to_string() })
}

fn reference(id: Uuid) -> Value {
    json!({ "reference": id.urn().to_string() })
}

fn request_id(accepted: EventId, exercise: &Id) -> Uuid {
    stable_id::of("exercise", &format!("{accepted}/{}", exercise.as_str()))
}

fn day(date: NaiveDate) -> Value {
    json!(date.to_string())
}

/// A word of the log's own file, written as people do.
fn plain(value: impl Serialize) -> String {
    let word = serde_json::to_value(value).ok();
    word.as_ref().and_then(Value::as_str).unwrap_or_default().replace('_', " ")
}

fn count(number: u32, thing: &str) -> String {
    if number == 1 { format!("1 {thing}") } else { format!("{number} {thing}s") }
}

fn timing(dose: &Dose) -> Value {
    let mut repeat = json!({ "frequency": dose.times_a_day.get(), "period": 1, "periodUnit": "d" });
    let days = dose.days.named();
    if !days.is_empty() {
        let names = days.into_iter().map(|day| match day {
            Weekday::Mon => "mon",
            Weekday::Tue => "tue",
            Weekday::Wed => "wed",
            Weekday::Thu => "thu",
            Weekday::Fri => "fri",
            Weekday::Sat => "sat",
            Weekday::Sun => "sun",
        });
        repeat["dayOfWeek"] = json!(names.collect::<Vec<_>>());
    }
    json!({ "repeat": repeat })
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
        count(dose.sets.get().into(), "set"),
        count(dose.reps.get().into(), "rep"),
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

fn limits_in_words(limits: &Limits) -> String {
    format!(
        "Pain during an exercise up to {} is low, up to {} is middle, more is high.",
        limits.table.low_max().points(),
        limits.table.middle_max().points()
    )
}
