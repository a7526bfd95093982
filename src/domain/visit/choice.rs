//! What a practitioner can decide about one exercise at a visit, and what each decision makes of it.
//!
//! Nothing is decided here: each choice is one change of the next version, which the practitioner can still
//! change further, and where the client then goes on is what [`Course::goes_on`] says.

use crate::domain::log::course::Course;
use crate::domain::plan::ladder::{Foothold, Ladder, RungNumber};
use crate::domain::plan::routine::Exercise;

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Choice {
    /// It goes on as it is.
    Keep,
    /// One rung down, and no further up than that before the next visit.
    HelpBack,
    /// One rung up, at once.
    NextRung,
    /// Another dose, ladder or wording.
    OtherDose,
    Out,
}

impl Choice {
    pub const ALL: [Self; 5] =
        [Self::Keep, Self::HelpBack, Self::NextRung, Self::OtherDose, Self::Out];
}

/// Where the client stands on an exercise as it was handed over last, once that version is taken on.
pub fn stands(course: &Course, before: &Exercise) -> Foothold {
    course.goes_on(before).foothold()
}

/// The exercise with one rung of help given back: no further up than the rung below. `None` on the lowest rung.
pub fn help_back(course: &Course, before: &Exercise) -> Option<Exercise> {
    let now = stands(course, before);
    let below = RungNumber::new(i64::from(now.rung.get()) - 1).ok()?;
    leading_to(course, before, below, before.ladder.up_to(below).ok()?)
}

/// The exercise begun on the next rung. `None` on the highest rung, and where the ladder cannot say so: sets that
/// were taken off, or help below the rung it begins on, are won back by the rule.
pub fn next_rung(course: &Course, before: &Exercise) -> Option<Exercise> {
    let now = stands(course, before);
    let above = RungNumber::new(i64::from(now.rung.get()) + 1).ok()?;
    if 0 < now.fewer_sets || before.ladder.top() < above {
        return None;
    }
    leading_to(course, before, above, before.ladder.starting_on(above).ok()?)
}

/// The exercise on another ladder, where that leads the client to a rung.
fn leading_to(
    course: &Course,
    before: &Exercise,
    rung: RungNumber,
    ladder: Ladder,
) -> Option<Exercise> {
    let changed = Exercise { ladder, ..before.clone() };
    (course.goes_on(&changed).foothold() == Foothold::on(rung)).then_some(changed)
}

/// Which choice an exercise of the next version comes to, against the one that was handed over last.
pub fn chosen(course: &Course, before: &Exercise, next: Option<&Exercise>) -> Choice {
    let Some(next) = next else { return Choice::Out };
    if next == before {
        return Choice::Keep;
    }
    let same_rungs = next.ladder.rungs() == before.ladder.rungs();
    let else_same = Exercise { ladder: before.ladder.clone(), ..next.clone() } == *before;
    let (now, then) = (stands(course, before), stands(course, next));
    match then.cmp(&now) {
        std::cmp::Ordering::Less if same_rungs && else_same => Choice::HelpBack,
        std::cmp::Ordering::Greater if same_rungs && else_same => Choice::NextRung,
        std::cmp::Ordering::Less | std::cmp::Ordering::Greater | std::cmp::Ordering::Equal => {
            Choice::OtherDose
        }
    }
}
