//! What the log has yet to tell: verdicts that stand, as facts to be noted beside what brought them about.

use chrono::{DateTime, FixedOffset};

use super::{History, Session};
use crate::domain::log::course::{Course, Judged, training_day};
use crate::domain::log::event::Fact;
use crate::domain::log::rule::Reason;
use crate::domain::words::Id;

impl History {
    /// The verdicts to be told by `now`: those that have not been told as they are, and that nothing to come of
    /// the session under way can change.
    pub fn verdicts_due(&self, now: DateTime<FixedOffset>) -> Vec<Fact> {
        let under_way = self.session_under_way(now);
        self.untold(|exercise, judged| {
            under_way.is_none_or(|session| is_beyond(session, exercise, judged))
        })
    }

    /// Every verdict that has not been told as it is by now, of sessions under way, too.
    pub fn untold_verdicts(&self) -> Vec<Fact> {
        self.untold(|_, _| true)
    }

    fn untold(&self, is_due: impl Fn(&Id, &Judged) -> bool) -> Vec<Fact> {
        let untold = |(id, course): (&Id, &Course)| -> Vec<Fact> {
            // An answer can still change the last two days.
            let mut recent: Vec<&Judged> = course.judged().iter().rev().take(2).collect();
            recent.dedup_by_key(|judged| judged.day);
            let is_untold = |judged: &&Judged| {
                let last_told = self.told_about(id, judged.day).next_back();
                last_told.is_none_or(|told| {
                    told.order != judged.verdict.order
                        || told.reasons != judged.verdict.reasons
                        || told.next != judged.next
                })
            };
            let given = |judged: &Judged| Fact::VerdictGiven {
                exercise: id.clone(),
                day: judged.day,
                order: judged.verdict.order,
                reasons: judged.verdict.reasons.clone(),
                next: judged.next,
            };
            let due = recent.into_iter().rev().filter(|judged| is_due(id, judged));
            due.filter(is_untold).map(given).collect()
        };
        self.courses.iter().flat_map(untold).collect()
    }

    /// The session that is being done: open, and begun or gone on with on this training day. One that was left
    /// open can be gone on with on the morning after, and no verdict waits for that.
    fn session_under_way(&self, now: DateTime<FixedOffset>) -> Option<&Session> {
        let session = self.open_session(now)?;
        let last = session.sets.last().map_or(session.started_at, |set| set.ended_at);
        (training_day(now) <= session.day().max(training_day(last))).then_some(session)
    }
}

/// Whether nothing that a session may still bring changes a verdict. What a sign brought waits for no set.
fn is_beyond(session: &Session, exercise: &Id, judged: &Judged) -> bool {
    let is_planned = session.plan.iter().any(|planned| planned.exercise == *exercise);
    let is_of_a_sign = judged.verdict.reasons.contains(&Reason::WarningSign);
    session.day() != judged.day || !is_planned || is_of_a_sign
}
