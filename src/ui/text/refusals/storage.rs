//! What the device keeps.

use super::InWords;
use crate::store::backend::BackendError;

impl InWords for BackendError {
    fn in_words(&self) -> String {
        match self {
            Self::Denied => "this browser does not let the app store anything".to_owned(),
            Self::Full => "the device's storage is full".to_owned(),
            Self::TakesNothing => {
                "the device's storage takes nothing more; it is most likely full".to_owned()
            }
            Self::Newer => "the stored data was written by a newer version of this app".to_owned(),
            Self::Blocked => "another window of this app is in the way; close it".to_owned(),
            Self::Lost => "the browser has lost touch with the device's storage".to_owned(),
            Self::Failed(name) if name.is_empty() => {
                "the device's storage did not answer (no reason given)".to_owned()
            }
            Self::Failed(name) => format!("the device's storage did not answer ({name})"),
        }
    }
}
