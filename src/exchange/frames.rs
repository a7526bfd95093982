//! A text that is too long for one code, as a sequence of codes: shown one after the other, read in any
//! order and as often as they come by.
//!
//! A frame reads `C:number:total:checksum:part`. The checksum is the CRC-32 of the whole text, so that
//! frames of two texts never mix.

use std::collections::BTreeMap;

use crc::{CRC_32_ISO_HDLC, Crc, NoTable};

use super::qr::{Code, TooMuch};

/// The most frames in one sequence; a camera sees them all in a minute or two.
pub const MOST: usize = 99;
/// The longest part in one frame, in bytes: at most version 14. Larger codes are often missed by a hand-held
/// camera with five pixels for a module.
const LONGEST_PART: usize = 645;
/// The same of a text that is not of capitals and digits alone, of which a code holds less: at most version 16.
const LONGEST_MIXED_PART: usize = 500;
/// The longest part where small codes are asked for: at most version 8 in capitals and digits.
const SMALL_PART: usize = 250;
/// The most sequences that are kept apart at a time.
const MOST_SEQUENCES: usize = 4;

/// Cuts a text into frames of about the same length.
pub fn split(text: &str) -> Result<Vec<String>, TooMuch> {
    let is_dense = |byte| matches!(byte, b'0'..=b'9' | b'A'..=b'Z' | b' ' | b'$' | b'%' | b'*' | b'+' | b'-' | b'.' | b'/' | b':');
    cut(text, if text.bytes().all(is_dense) { LONGEST_PART } else { LONGEST_MIXED_PART })
}

fn cut(text: &str, longest: usize) -> Result<Vec<String>, TooMuch> {
    // A part can end up to three bytes early, so as not to cut a letter.
    let total = text.len().div_ceil(longest - 3).max(1);
    if MOST < total {
        return Err(TooMuch);
    }
    let checksum = checksum(text);
    let ends = (1..=total).map(|number| text.floor_char_boundary(text.len() * number / total));
    let mut from = 0;
    let frames = ends.zip(1..).map(|(end, number)| {
        let part = &text[from..end];
        from = end;
        format!("C:{number}:{total}:{checksum:08X}:{part}")
    });
    Ok(frames.collect())
}

/// The codes that show a link: one, if it fits, or else a sequence with its fragment alone, which only
/// the app's own camera reads.
pub fn codes(link: &str, fragment: &str) -> Result<Vec<Code>, TooMuch> {
    match Code::of(link) {
        Ok(code) => Ok(vec![code]),
        Err(TooMuch) => drawn(&split(fragment)?),
    }
}

/// A link's fragment as a sequence of small codes, for a camera that does not read the large one.
pub fn smaller_codes(fragment: &str) -> Result<Vec<Code>, TooMuch> {
    drawn(&cut(fragment, SMALL_PART)?)
}

fn drawn(frames: &[String]) -> Result<Vec<Code>, TooMuch> {
    frames.iter().map(|frame| Code::of(frame)).collect()
}

fn checksum(text: &str) -> u32 {
    Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC).checksum(text.as_bytes())
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Sequence {
    total: usize,
    checksum: u32,
}

struct Frame<'a> {
    of: Sequence,
    number: usize,
    part: &'a str,
}

impl<'a> Frame<'a> {
    fn parse(text: &'a str) -> Option<Self> {
        let mut fields = text.strip_prefix("C:")?.splitn(4, ':');
        let number = fields.next()?.parse().ok()?;
        let total = fields.next()?.parse().ok()?;
        let checksum = u32::from_str_radix(fields.next()?, 16).ok()?;
        let part = fields.next()?;
        let fits = (1..=total).contains(&number) && total <= MOST && part.len() <= LONGEST_PART;
        fits.then_some(Self { of: Sequence { total, checksum }, number, part })
    }
}

/// What came of one code that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Taken {
    /// It is no frame of ours.
    Foreign,
    /// A frame, new or seen before: how many of its sequence have been read.
    Seen { frames: usize, of: usize },
    /// The last missing frame: the whole text.
    Whole(String),
    /// The last missing frame, but what they give together is not what was cut up. Its sequence starts
    /// over.
    Damaged,
}

/// Puts frames together again. Frames of another sequence are kept apart.
#[derive(Clone, Debug, Default)]
pub struct Collector {
    sequences: BTreeMap<Sequence, BTreeMap<usize, String>>,
}

impl Collector {
    pub fn take(&mut self, code: &str) -> Taken {
        let Some(frame) = Frame::parse(code) else { return Taken::Foreign };
        if MOST_SEQUENCES <= self.sequences.len() && !self.sequences.contains_key(&frame.of) {
            self.sequences.clear();
        }
        let parts = self.sequences.entry(frame.of).or_default();
        parts.insert(frame.number, frame.part.to_owned());
        if parts.len() < frame.of.total {
            return Taken::Seen { frames: parts.len(), of: frame.of.total };
        }
        let whole: String = std::mem::take(parts).into_values().collect();
        self.sequences.remove(&frame.of);
        if checksum(&whole) == frame.of.checksum { Taken::Whole(whole) } else { Taken::Damaged }
    }
}
