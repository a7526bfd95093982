//! A photo of the client's own set-up, small enough to travel inside a routine's file.

use std::fmt;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::picture::{self, Sides};
use crate::domain::refused::{Refusal, Refused};

/// A JPEG or WebP picture of at most [`Photo::MOST_BYTES`], as a `data:` address (RFC 2397) in base 64
/// (RFC 4648, section 4). Nothing else passes: no other kind of picture, no text, no script, no address
/// of another place.
///
/// What its header claims is asked when it is [shown](Self::shown), and when it comes in by a routine's file: a
/// log that took one on stays as it is.
#[derive(Clone, PartialEq, Eq, Deserialize, Serialize)]
#[serde(try_from = "String", into = "String")]
pub struct Photo(Arc<str>);

/// The kinds of picture, each with how its address and its bytes begin (`None` is any byte): JPEG's
/// start of image (ITU-T T.81, B.1.1.3), and RIFF's header around WebP (RFC 9649, section 2.4).
type Kind = (&'static str, &'static [Option<u8>]);
const KINDS: [Kind; 2] = [
    ("data:image/jpeg;base64,", &[Some(0xFF), Some(0xD8), Some(0xFF)]),
    (
        "data:image/webp;base64,",
        &[
            Some(b'R'),
            Some(b'I'),
            Some(b'F'),
            Some(b'F'),
            None,
            None,
            None,
            None,
            Some(b'W'),
            Some(b'E'),
            Some(b'B'),
            Some(b'P'),
        ],
    ),
];

impl Photo {
    /// The most bytes a picture may have, before base 64 makes a third more of them.
    pub const MOST_BYTES: usize = 120_000;
    /// The most pixels of a picture that is shown: 8 MB when drawn, and more than twice what the app makes.
    pub const MOST_PIXELS: u64 = 2_000_000;

    pub fn new(address: &str) -> Result<Self, NotAPhoto> {
        let kind =
            KINDS.iter().find_map(|(start, magic)| Some((address.strip_prefix(start)?, magic)));
        let (data, magic) = kind.ok_or(NotAPhoto::AnotherKind)?;
        let bytes = length(data).ok_or(NotAPhoto::Damaged)?;
        if Self::MOST_BYTES < bytes {
            return Err(NotAPhoto::TooLarge { bytes });
        }
        let mut begins = decoded(data);
        let fits = magic.iter().all(|expected| {
            let found = begins.next();
            found.is_some() && expected.is_none_or(|byte| Some(byte) == found)
        });
        if fits { Ok(Self(address.into())) } else { Err(NotAPhoto::Damaged) }
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The address, ready to be shown as a picture's source; refused where drawing it would take too much, or
    /// its header does not say how much.
    pub fn shown(&self) -> Result<&str, NotAPhoto> {
        let (_, data) = self.0.split_once(',').ok_or(NotAPhoto::Damaged)?;
        let bytes: Vec<u8> = decoded(data).collect();
        let sides = picture::sides(&bytes).map_err(|_no_sides| NotAPhoto::Damaged)?;
        if Self::MOST_PIXELS < sides.pixels() {
            return Err(NotAPhoto::TooManyPixels(sides));
        }
        Ok(&self.0)
    }

    /// The size of the picture in bytes.
    pub fn bytes(&self) -> usize {
        self.0.split_once(',').and_then(|(_, data)| length(data)).unwrap_or_default()
    }
}

/// The number of bytes that a text in base 64 stands for; `None` where it is none.
fn length(data: &str) -> Option<usize> {
    let digits = data.strip_suffix("==").or_else(|| data.strip_suffix('=')).unwrap_or(data);
    let is_whole = data.len().is_multiple_of(4) && digits.bytes().all(|byte| value(byte).is_some());
    is_whole.then_some(digits.len() * 3 / 4)
}

fn value(digit: u8) -> Option<u8> {
    match digit {
        b'A'..=b'Z' => Some(digit - b'A'),
        b'a'..=b'z' => Some(digit - b'a' + 26),
        b'0'..=b'9' => Some(digit - b'0' + 52),
        b'+' => Some(62),
        b'/' => Some(63),
        _ => None,
    }
}

/// The bytes that a text in base 64 stands for.
fn decoded(data: &str) -> impl Iterator<Item = u8> {
    let bytes = data.as_bytes().chunks_exact(4).flat_map(|digits| {
        let bits = digits
            .iter()
            .fold(0_u32, |bits, digit| (bits << 6) | u32::from(value(*digit).unwrap_or_default()));
        let [_, bytes @ ..] = bits.to_be_bytes();
        bytes
    });
    bytes.take(length(data).unwrap_or_default())
}

impl fmt::Debug for Photo {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "Photo({} bytes)", self.bytes())
    }
}

impl TryFrom<String> for Photo {
    type Error = Refused<NotAPhoto>;

    fn try_from(address: String) -> Result<Self, Refused<NotAPhoto>> {
        Self::new(&address).map_err(Refused)
    }
}

impl From<Photo> for String {
    fn from(photo: Photo) -> Self {
        photo.as_str().to_owned()
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum NotAPhoto {
    AnotherKind,
    Damaged,
    TooLarge {
        bytes: usize,
    },
    /// Only ever said of a photo that is there, never by the reader of JSON.
    #[serde(skip)]
    TooManyPixels(Sides),
}

impl Refusal for NotAPhoto {
    const NAME: &'static str = "photo";
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How a JFIF file and a WebP file of one pixel begin.
    const JPEG: &str = "data:image/jpeg;base64,/9j/4AAQSkZJRgABAQ==";
    const WEBP: &str = "data:image/webp;base64,UklGRiQAAABXRUJQVlA4IBgAAAAw";

    #[test]
    fn a_photo_is_jpeg_or_webp() {
        assert_eq!(Photo::new(JPEG).unwrap().as_str(), JPEG);
        assert_eq!(Photo::new(JPEG).unwrap().bytes(), 13);
        assert_eq!(Photo::new(WEBP).unwrap().bytes(), 21);
    }

    #[test]
    fn nothing_else_is() {
        for address in [
            "",
            "wall.jpg",
            "https://example.org/wall.jpg",
            "javascript:alert(1)",
            "data:text/html;base64,PHNjcmlwdD4=",
            "data:image/svg+xml;base64,PHN2Zz48L3N2Zz4=",
            "data:image/png;base64,iVBORw0KGgo=",
            "data:image/jpeg,/9j/4AAQ",
            "data:image/jpeg;charset=utf-8;base64,/9j/4AAQ",
            "data:image/JPEG;base64,/9j/4AAQ",
            " data:image/jpeg;base64,/9j/4AAQ",
        ] {
            assert_eq!(Photo::new(address), Err(NotAPhoto::AnotherKind), "{address}");
        }
    }

    #[test]
    fn what_only_says_that_it_is_one_is_refused() {
        for data in [
            // Nothing, HTML, a PNG, and a WebP in the place of a JPEG.
            "",
            "PHNjcmlwdD4=",
            "iVBORw0KGgo=",
            "UklGRiQAAABXRUJQ",
            // Not base 64: a stray sign, a length that is none, signs after the end, another alphabet.
            "/9j/4AAQ\"onerror=",
            "/9j/4AAQS",
            "/9j/4A==AAQS",
            "_9j_4AAQ",
            "/9j/4AA\n",
        ] {
            let address = format!("data:image/jpeg;base64,{data}");
            assert_eq!(Photo::new(&address), Err(NotAPhoto::Damaged), "{data}");
        }
        let address = JPEG.replace("jpeg", "webp");
        assert_eq!(Photo::new(&address), Err(NotAPhoto::Damaged));
        assert_eq!(Photo::new("data:image/webp;base64,UklGRiQAAABXRUJx"), Err(NotAPhoto::Damaged));
        assert_eq!(Photo::new("data:image/webp;base64,UklGRiQA"), Err(NotAPhoto::Damaged));
    }

    #[test]
    fn a_photo_has_120_kb_at_most() {
        let of =
            |bytes: usize| format!("data:image/jpeg;base64,/9j/{}", "A".repeat(bytes / 3 * 4 - 4));
        assert_eq!(Photo::new(&of(120_000)).unwrap().bytes(), 120_000);
        assert_eq!(Photo::new(&of(120_003)), Err(NotAPhoto::TooLarge { bytes: 120_003 }));
    }

    /// WebP's frame header (RFC 6386, section 9.1): 16 bytes that claim so many pixels, in base 64.
    #[test]
    fn a_photo_that_claims_too_much_is_kept_and_not_shown() {
        let of = |size: &str| {
            let address =
                format!("data:image/webp;base64,UklGRhwAAABXRUJQVlA4IBAAAAAwAQCdAS{size}AAAAAAAA");
            Photo::new(&address).unwrap()
        };
        // 900 x 675, and 16383 x 16383.
        assert!(of("qEA6MC").shown().is_ok());
        let claims = Sides { width: 16383, height: 16383 };
        assert_eq!(of("r/P/8/").shown(), Err(NotAPhoto::TooManyPixels(claims)));
        for headless in [JPEG, WEBP] {
            assert_eq!(Photo::new(headless).unwrap().shown(), Err(NotAPhoto::Damaged));
        }
    }

    #[test]
    fn it_is_not_written_out_where_values_are_shown_to_developers() {
        assert_eq!(format!("{:?}", Photo::new(JPEG).unwrap()), "Photo(13 bytes)");
    }
}
