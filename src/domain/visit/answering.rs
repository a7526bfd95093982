//! Answering what the client wrote.

use crate::domain::log::history::{History, Note};
use crate::domain::plan::draft::Draft;
use crate::domain::plan::routine::Answer;
use crate::domain::words::Words;

/// Answers a note of the client's in the next version; no words take the answer back. Answers that have reached
/// the client are not sent again.
pub fn answer(draft: &mut Draft, note: &Note, words: Option<Words>, history: &History) {
    let has_arrived = |answer: &Answer| history.answers().any(|known| known == answer);
    draft.answers.retain(|answer| answer.to != note.id && !has_arrived(answer));
    let answer = words.map(|words| Answer {
        to: note.id,
        asked: note.at.date_naive(),
        question: note.text.clone(),
        answer: words,
    });
    draft.answers.extend(answer.filter(|answer| !has_arrived(answer)));
    draft.answers.sort_by_key(|answer| answer.to);
}
