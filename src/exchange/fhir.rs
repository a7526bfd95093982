//! A log as a FHIR R4 Bundle, for the record that a clinic keeps.
//!
//! What the client did and said travels; what the app worked out from it does not. The client is a
//! pseudonym, the only code is LOINC's for a pain rating, and everything else is said in words, which whoever
//! asks gives. Ids are worked out from those of the log, so the same log gives the same Bundle.

use std::collections::{BTreeMap, BTreeSet};
use std::slice;

use chrono::{DateTime, FixedOffset, NaiveDate, Weekday};
use serde_json::{Value, json};
use uuid::Uuid;

use super::record::Record;
use super::stable_id;
use crate::domain::event_id::EventId;
use crate::domain::log::event::{Ending, Fact, Lifts};
use crate::domain::log::history::{Accepted, DoneSet, History, MorningAnswer, Session, Slips};
use crate::domain::log::mornings::is_of_a_morning;
use crate::domain::log::rule::Swelling;
use crate::domain::log::warning::WarningSign;
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::Dose;
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::limits::Limits;
use crate::domain::plan::routine::{Exercise, Routine};
use crate::domain::words::Id;

/// What is said in words.
#[derive(Clone, Copy, Debug)]
pub enum Says<'a> {
    /// A version of a routine by its title.
    Version(&'a Routine),
    Limits(&'a Limits),
    Dose(&'a Dose),
    Ladder(&'a Exercise),
    /// What was done of a set, with the help of its rung, where that is known.
    Set(&'a DoneSet, Option<&'a str>),
    CutShort,
    StoppedBecauseOfPain,
    LeftOut,
    PainAtRest,
    /// The worst pain during a set of an exercise.
    PainDuring(&'a str),
    /// Pain of an exercise in the morning.
    PainThisMorning(&'a str),
    PainInTheNight(&'a str),
    PainOnAUsualMorning,
    SwellingAgainstTheDayBefore,
    Swelling(Swelling),
    SignTicked,
    Sign(WarningSign),
    ToldByTheClient,
    /// That someone qualified said to go on, as logs of the rule's first edition have it.
    ToldToGoOn,
    GoAhead(&'a Lifts),
    NoteByTheClient,
    /// The app, of this version, as where all of it comes from.
    TheApp(&'static str),
}

/// How it is said.
pub type InWords = fn(Says) -> String;

/// The Bundle as a text.
pub fn print(records: &[Record], in_words: InWords) -> String {
    format!("{:#}\n", bundle(records, in_words))
}

/// A Bundle of type `collection`, FHIR 4.0.1: the client, a `CarePlan` with a `ServiceRequest` for each
/// exercise of each routine version, a `Procedure` for each set, an `Observation` for each rating,
/// swelling, warning sign and note, and where all of it comes from.
pub fn bundle(records: &[Record], in_words: InWords) -> Value {
    let history = History::fold(records.iter().map(|record| &record.event));
    let first = history.accepted().first().map(|accepted| accepted.id);
    let client = stable_id::of("client", &first.map(|id| id.to_string()).unwrap_or_default());
    let mut resources = Resources { client, in_words, entries: Vec::new() };
    for (index, accepted) in history.accepted().iter().enumerate() {
        resources.add_routine(accepted, history.accepted().get(index + 1));
    }
    for session in history.sessions() {
        resources.add_session(session, history.accepted_for(session));
    }
    resources.add_mornings(&history);
    let mut in_order: Vec<&Record> = records.iter().collect();
    in_order.sort_by_key(|record| record.id());
    let slips = Slips::of(records.iter().map(|record| &record.event)).signs;
    for record in &in_order {
        resources.add_said(record, &slips);
    }
    let mut bundle = json!({
        "resourceType": "Bundle",
        "meta": { "profile": ["http://hl7.org/fhir/StructureDefinition/Bundle|4.0.1"] },
        "type": "collection",
    });
    if let Some(last) = in_order.last() {
        resources.add_provenance(last);
        bundle["timestamp"] = json!(last.event.at.to_rfc3339());
        let id = stable_id::of("bundle", &format!("{}/{}", last.id(), records.len()));
        bundle["identifier"] = identifier(id);
    }
    let patient = json!({ "resourceType": "Patient", "identifier": [identifier(client)] });
    let mut all = vec![entry(client, patient)];
    all.append(&mut resources.entries);
    bundle["entry"] = Value::Array(all);
    bundle
}

struct Resources {
    client: Uuid,
    in_words: InWords,
    entries: Vec<Value>,
}

/// What an observation says.
enum Said {
    Pain(PainRating),
    Words(String),
}

impl Resources {
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
            "title": (self.in_words)(Says::Version(routine)),
            "subject": reference(self.client),
            "created": accepted.at.to_rfc3339(),
            "period": period,
            "activity": requests,
            "note": [{ "text": (self.in_words)(Says::Limits(&routine.limits)) }],
        });
        self.add(plan, care_plan);
        for exercise in routine.exercises() {
            let start = Foothold::on(exercise.ladder.start());
            let dose = start.dose(&exercise.dose, &exercise.ladder);
            let request = json!({
                "resourceType": "ServiceRequest",
                "status": status,
                "intent": "plan",
                "basedOn": [reference(plan)],
                "code": { "text": exercise.name.as_str() },
                "subject": reference(self.client),
                "authoredOn": day(routine.issued),
                "occurrenceTiming": timing(&exercise.dose),
                "patientInstruction": (self.in_words)(Says::Dose(&dose)),
                "note": [{ "text": (self.in_words)(Says::Ladder(exercise)) }],
            });
            self.add(request_id(accepted.id, &exercise.id), request);
        }
    }

    fn add_session(&mut self, session: &Session, followed: Option<&Accepted>) {
        if let Some(rating) = session.at_rest {
            let id = stable_id::of("at-rest", &session.id.to_string());
            self.observe(id, Says::PainAtRest, session.started_at, Said::Pain(rating));
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
                let pain = Said::Pain(rated.rating);
                let observed = self.observe(id, Says::PainDuring(name), set.ended_at, pain);
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
        let done = (self.in_words)(Says::Set(set, help));
        let (status, reason) = match set.ending {
            Ending::Complete => ("completed", None),
            Ending::Short => ("stopped", Some(Says::CutShort)),
            Ending::Pain => ("stopped", Some(Says::StoppedBecauseOfPain)),
            Ending::LeftOut => ("not-done", Some(Says::LeftOut)),
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
            procedure["statusReason"] = json!({ "text": (self.in_words)(reason) });
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
        for answers in dates.values() {
            self.add_answers(history, |name| Says::PainThisMorning(name), answers);
        }
        for answer in &nights {
            self.add_answers(history, |name| Says::PainInTheNight(name), slice::from_ref(answer));
        }
    }

    /// What counts of the answers of one morning, each under the id of the answer that it comes from.
    fn add_answers(
        &mut self,
        history: &History,
        pain: impl Fn(&str) -> Says,
        answers: &[&MorningAnswer],
    ) {
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
            let observed = self.observe(id, pain(name), answer.at, Said::Pain(rating));
            if let Some(accepted) = in_force.filter(|_| known.is_some()) {
                observed["basedOn"] = json!([reference(request_id(accepted.id, exercise))]);
            }
        }
        // Of several with the same swelling, the first.
        if let Some(answer) = answers.iter().rev().max_by_key(|answer| answer.swelling) {
            let id = stable_id::of("morning-swelling", &answer.id.to_string());
            let said = Said::Words((self.in_words)(Says::Swelling(answer.swelling)));
            self.observe(id, Says::SwellingAgainstTheDayBefore, answer.at, said);
        }
    }

    /// Warning signs, notes, and that someone qualified said to go on. A sign that was taken off again is
    /// withdrawn.
    fn add_said(&mut self, record: &Record, slips: &BTreeSet<(EventId, WarningSign)>) {
        let (id, at) = (record.id(), record.event.at);
        match &record.event.what {
            Fact::WarningTicked { signs } => {
                for sign in signs.iter().collect::<BTreeSet<_>>() {
                    let stable = stable_id::of("warning", &format!("{id}/{}", key_of(*sign)));
                    let said = Said::Words((self.in_words)(Says::Sign(*sign)));
                    let observed = self.observe(stable, Says::SignTicked, at, said);
                    if slips.contains(&(id, *sign)) {
                        observed["status"] = json!("entered-in-error");
                    }
                }
            }
            Fact::ToldToGoOn => {
                let id = stable_id::of("told-to-go-on", &id.to_string());
                let said = Said::Words((self.in_words)(Says::ToldToGoOn));
                self.observe(id, Says::ToldByTheClient, at, said);
            }
            Fact::GoAhead { lifts } => {
                let id = stable_id::of("go-ahead", &id.to_string());
                let said = Said::Words((self.in_words)(Says::GoAhead(lifts)));
                self.observe(id, Says::ToldByTheClient, at, said);
            }
            Fact::UsualMorning { rating } => {
                let id = stable_id::of("usual-morning", &id.to_string());
                self.observe(id, Says::PainOnAUsualMorning, at, Said::Pain(*rating));
            }
            Fact::Note { text, .. } => {
                let id = stable_id::of("note", &id.to_string());
                self.observe(id, Says::NoteByTheClient, at, Said::Words(text.to_string()));
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
        what: Says,
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
            "code": { "text": (self.in_words)(what) },
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
        let app = (self.in_words)(Says::TheApp(env!("CARGO_PKG_VERSION")));
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

/// What the id of a sign is made of: its word in the log's own file, with spaces.
fn key_of(sign: WarningSign) -> String {
    let word = serde_json::to_value(sign).ok();
    word.as_ref().and_then(Value::as_str).unwrap_or_default().replace('_', " ")
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
