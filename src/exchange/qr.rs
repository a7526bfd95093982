//! A text as a QR code (ISO/IEC 18004): its modules, and one path to draw them with.

use qrcodegen::{Mask, QrCode, QrCodeEcc, QrSegment, Version};

/// A code that a phone reads easily from a screen.
#[derive(Clone, PartialEq, Eq)]
pub struct Code(QrCode);

impl Code {
    /// The largest version that is drawn: 117 modules a side, near 3 pixels each on a narrow phone.
    pub const LARGEST_VERSION: u8 = 25;
    /// Light modules around the code, which readers need.
    pub const QUIET_ZONE: usize = 4;

    /// Draws a text as the smallest code that holds it.
    ///
    /// A screen has no dirt or creases, so large modules help more than error correction: the level is L,
    /// and higher where that takes no more modules.
    pub fn of(text: &str) -> Result<Self, TooMuch> {
        let most = Version::new(Self::LARGEST_VERSION);
        let code = QrCode::encode_segments_advanced(
            &segments(text),
            QrCodeEcc::Low,
            Version::MIN,
            most,
            None::<Mask>,
            true,
        );
        code.map(Self).map_err(|_long| TooMuch)
    }

    pub fn version(&self) -> u8 {
        self.0.version().value()
    }

    /// Modules a side, the quiet zone included.
    pub fn side(&self) -> usize {
        usize::try_from(self.0.size()).unwrap_or_default() + 2 * Self::QUIET_ZONE
    }

    /// Whether a module is dark, counted from the outer corner of the quiet zone.
    pub fn is_dark(&self, column: usize, row: usize) -> bool {
        let inside = |place: usize| i32::try_from(place.checked_sub(Self::QUIET_ZONE)?).ok();
        inside(column).zip(inside(row)).is_some_and(|(x, y)| self.0.get_module(x, y))
    }

    /// The dark modules as the data of one SVG path, in a view box of [`side`](Self::side) units a side.
    pub fn path(&self) -> String {
        (0..self.side()).map(|row| self.path_of(row)).collect()
    }

    fn path_of(&self, row: usize) -> String {
        let modules: Vec<bool> = (0..self.side()).map(|column| self.is_dark(column, row)).collect();
        let mut column = 0;
        let runs = modules.chunk_by(|one, next| one == next).filter_map(|run| {
            let from = column;
            column += run.len();
            run[0].then(|| format!("M{from} {row}h{0}v1h-{0}z", run.len()))
        });
        runs.collect()
    }
}

/// The denser, alphanumeric mode for the end of the text that it can hold, bytes for what stands before.
fn segments(text: &str) -> Vec<QrSegment> {
    let is_dense = |letter: char| QrSegment::is_alphanumeric(letter.encode_utf8(&mut [0; 4]));
    let dense = text.trim_end_matches(is_dense).len();
    let (bytes, dense) = text.split_at(dense);
    let mut segments = Vec::new();
    if !bytes.is_empty() {
        segments.push(QrSegment::make_bytes(bytes.as_bytes()));
    }
    if !dense.is_empty() {
        segments.push(QrSegment::make_alphanumeric(dense));
    }
    segments
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooMuch;
