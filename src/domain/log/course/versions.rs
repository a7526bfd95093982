//! What a new version of the routine does to a course, and what a go-ahead does.

use chrono::NaiveDate;

use super::{Answers, Availability, Course, CourseState, GoesOn, Plan, Stop, VersionTaken};
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::limits::{AfterBreak, Limits};
use crate::domain::plan::routine::{Exercise, OnHold, Version};

impl Course {
    /// Goes on under another version. The rung reached is kept as [`goes_on`](Self::goes_on) says, the
    /// count only where ladder, dose and limits are the same. Stops are lifted, and days off stand,
    /// unless the version says otherwise; only one that was issued on or after the day of the verdict
    /// answers it. A warning sign is never lifted by a version. The history stays.
    pub fn revise(
        &mut self,
        exercise: Exercise,
        limits: Limits,
        version: Version,
        taken: VersionTaken,
    ) {
        if taken.answers == Answers::Yes {
            self.answer(taken);
        }
        let goes_on = self.goes_on(&exercise);
        let before = self.standing.foothold;
        let is_placed = matches!(goes_on, GoesOn::AtTheStart { .. })
            || self.plan.exercise.dose.sets != exercise.dose.sets;
        let plan = Plan { exercise, limits, version };
        let same = self.plan.is_like(&plan);
        let is_kept =
            matches!(goes_on, GoesOn::Kept { was, is } if was.fewer_sets == is.fewer_sets);
        if !is_kept {
            self.standing.new_step = None;
        }
        self.standing.foothold = match taken.answers {
            Answers::Yes => goes_on.foothold(),
            Answers::Nothing => goes_on.foothold().min(before),
        };
        if same {
            self.plan = plan;
            return;
        }
        self.standing.count = 0;
        // By the practitioner's word it begins there, break or no break.
        if taken.answers == Answers::Yes && is_placed {
            self.answered_on = Some(taken.taken_on);
        }
        self.settle();
        let before = std::mem::replace(&mut self.plan, plan);
        for day in &mut self.open {
            day.plan.get_or_insert_with(|| Box::new(before.clone()));
        }
    }

    /// Lifts what a version lifts.
    fn answer(&mut self, taken: VersionTaken) {
        if taken.on_hold == Some(OnHold::Leave) {
            return;
        }
        let today = taken.taken_on;
        let in_time = |since: NaiveDate| since <= taken.issued;
        let mut lifted = false;
        if self.standing.stop.is_some_and(|(_, since)| in_time(since)) {
            self.standing.stop = None;
            self.standing.holds.clear();
            lifted = true;
        }
        if let Some(days_off) = self.standing.days_off {
            let opens = taken.on_hold == Some(OnHold::Open) && in_time(days_off.held_on);
            let under = CourseState { sign: None, stop: None, ..self.standing.clone() };
            let given_up = match self.left_out_under(&under, today) {
                Availability::Stopped(Stop::NotSettled) => in_time(days_off.held_on),
                // Its date is known to be wrong.
                Availability::Stopped(Stop::ClockRanAhead) => true,
                Availability::Stopped(_) | Availability::Held { .. } | Availability::Open => false,
            };
            if opens || given_up {
                self.standing.days_off = None;
                self.standing.holds.clear();
                lifted = true;
            }
        }
        // One that was written before the break was complete knows nothing of it.
        let known_on = if lifted { today } else { today.min(taken.issued) };
        if self.waits_after_break(known_on) {
            self.end_break(today);
            lifted = true;
        }
        if lifted {
            self.settle();
        }
    }

    /// Someone has answered after a break: the count lapses, and a step up that was never trained on is
    /// lost.
    fn end_break(&mut self, today: NaiveDate) {
        self.standing = self.opened(self.standing.clone(), today, None, true);
        self.answered_on = Some(today);
    }

    fn waits_after_break(&self, today: NaiveDate) -> bool {
        self.plan.limits.after_break == AfterBreak::WaitForMe && self.is_break(today)
    }

    /// Where the client would go on if a new version had the exercise like this. The rung reached is
    /// kept where its help still stands on the ladder and the practitioner did not move the start;
    /// sets taken off are given back where the dose changed; nothing is above the new ceiling.
    pub fn goes_on(&self, revised: &Exercise) -> GoesOn {
        let (before, after) = (&self.plan.exercise, revised);
        let was = self.standing.foothold;
        let start = after.ladder.find(&before.ladder, before.ladder.start());
        let start_moved = start.unwrap_or(before.ladder.start()) != after.ladder.start();
        let found = after.ladder.find(&before.ladder, was.rung).filter(|_| !start_moved);
        let Some(rung) = found else {
            return GoesOn::AtTheStart { is: Foothold::on(after.ladder.start()) };
        };
        let same_dose = before.dose == after.dose
            && before.ladder.rung(was.rung).dose == after.ladder.rung(rung).dose;
        let kept = if same_dose { was.renumbered(rung) } else { Foothold::on(rung) };
        let ceiling = Foothold::on(after.ladder.ceiling());
        if ceiling < kept {
            GoesOn::AtTheCeiling { is: ceiling }
        } else {
            GoesOn::Kept { was, is: kept }
        }
    }

    /// A foothold of the plan before, on the present ladder.
    pub(super) fn carried_over(&self, from: &Plan, foothold: Foothold) -> Foothold {
        let ladder = &self.plan.exercise.ladder;
        let rung = ladder.find(&from.exercise.ladder, foothold.rung);
        let rung = rung.unwrap_or_else(|| foothold.rung.min(ladder.top()));
        let same_dose = from.exercise.dose == self.plan.exercise.dose;
        let kept = if same_dose { foothold.renumbered(rung) } else { Foothold::on(rung) };
        kept.min(Foothold::on(ladder.ceiling()))
    }

    /// Someone qualified said to go on with this exercise: lifts its stop, or its days off, and opens it
    /// at once. A warning sign takes a word of its own.
    pub fn go_ahead(&mut self, today: NaiveDate) {
        let waits = self.standing.stop.is_some() || self.standing.days_off.is_some();
        if waits {
            self.standing.stop = None;
            self.standing.days_off = None;
            self.standing.holds.clear();
        }
        let ends_break = self.waits_after_break(today);
        if ends_break {
            self.end_break(today);
        }
        if waits || ends_break {
            self.settle();
        }
    }

    /// Someone qualified said to go on with all that is stopped: days off without a stop stand.
    pub fn go_ahead_if_stopped(&mut self, today: NaiveDate) {
        let under = CourseState { sign: None, ..self.standing.clone() };
        if matches!(self.left_out_under(&under, today), Availability::Stopped(_)) {
            self.go_ahead(today);
        }
    }

    /// Someone qualified has looked at the warning sign that stands: lifts it, and nothing else.
    pub fn sign_was_looked_at(&mut self) {
        let Some(since) = self.standing.sign.take() else { return };
        // A Hold of that day's own stands beneath the sign.
        if self.standing.days_off.is_none_or(|off| off.held_on != since) {
            self.standing.holds.retain(|held| *held != since);
        }
        self.settle();
    }
}
