//! One exercise of a client's draft, as the parts of its page change it.

use leptos::prelude::*;

use crate::domain::plan::dose::Dose;
use crate::domain::plan::routine::Exercise;
use crate::domain::words::Id;
use crate::ui::practice::live_caseload::{LiveCaseload, use_caseload};

/// One exercise of a client's draft, as the parts of its page change it.
#[derive(Clone, Copy)]
pub struct Editing {
    pub caseload: LiveCaseload,
    pub client: StoredValue<Id>,
    id: StoredValue<Id>,
    pub exercise: Memo<Option<Exercise>>,
}

impl Editing {
    pub fn of(client: Id, id: Id) -> Self {
        let caseload = use_caseload();
        let (of, which) = (client.clone(), id.clone());
        let exercise = Memo::new(move |_| {
            let items = caseload.draft(&of).items.into_iter();
            items.map(|item| item.exercise).find(|exercise| exercise.id == which)
        });
        Self { caseload, client: StoredValue::new(client), id: StoredValue::new(id), exercise }
    }

    /// Reads something of the exercise, and follows it.
    pub fn read<T: Default>(self, what: impl FnOnce(&Exercise) -> T) -> T {
        self.exercise.with(|exercise| exercise.as_ref().map(what).unwrap_or_default())
    }

    pub fn change(self, change: impl FnOnce(&mut Exercise)) {
        self.caseload.change_exercise(&self.client.get_value(), &self.id.get_value(), change);
    }

    pub fn dose(self) -> Signal<Option<Dose>> {
        Signal::derive(move || self.read(|exercise| Some(exercise.dose.clone())))
    }

    pub fn change_dose(self, change: impl FnOnce(&mut Dose)) {
        self.change(|exercise| change(&mut exercise.dose));
    }
}
