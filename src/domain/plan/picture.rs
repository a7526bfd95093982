//! How large a picture is, as its header says, before anything draws it.
//!
//! Drawing takes four bytes for each pixel, and a header of forty bytes can claim 16,383 pixels each way: a
//! gigabyte. So the header is asked first. Nothing else of a picture is looked at here.

/// How many pixels a picture has from side to side and from top to bottom; never none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sides {
    pub width: u32,
    pub height: u32,
}

impl Sides {
    pub const fn pixels(self) -> u64 {
        self.width as u64 * self.height as u64
    }

    fn of(width: u32, height: u32) -> Result<Self, NoSides> {
        if width == 0 || height == 0 { Err(NoSides::None) } else { Ok(Self { width, height }) }
    }
}

/// Why the beginning of a file does not tell the sides of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoSides {
    /// They stand further on: at least so many bytes are needed to read on.
    Further { bytes: usize },
    /// It is no still JPEG, PNG or WebP picture.
    None,
}

/// How a PNG begins (W3C, Portable Network Graphics, third edition, 5.2).
const PNG: [u8; 8] = [0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A];

/// Reads the sides of a picture from the beginning of its file.
pub fn sides(start: &[u8]) -> Result<Sides, NoSides> {
    match field::<12>(start, 0)? {
        [0xFF, 0xD8, 0xFF, ..] => jpeg(start),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P'] => webp(start),
        other if other.starts_with(&PNG) => png(start),
        _ => Err(NoSides::None),
    }
}

/// W3C, Portable Network Graphics, third edition: 5.3 (a chunk is its length, its type and its data), 5.6
/// (IHDR comes first) and 11.2.1 (its width and height, of four bytes each, the highest byte first, at most
/// 2^31 - 1).
fn png(start: &[u8]) -> Result<Sides, NoSides> {
    if field(start, 8)? != [0, 0, 0, 13, b'I', b'H', b'D', b'R'] {
        return Err(NoSides::None);
    }
    let [width, height] = [16, 20].map(|at| field(start, at).map(u32::from_be_bytes));
    let sides = Sides::of(width?, height?)?;
    if sides.width.max(sides.height) >> 31 == 0 { Ok(sides) } else { Err(NoSides::None) }
}

/// ITU-T T.81 (JPEG), annex B: markers with their segments up to the frame header, which is B.2.2.
fn jpeg(start: &[u8]) -> Result<Sides, NoSides> {
    let mut at = 2;
    loop {
        let [0xFF, marker] = field(start, at)? else { return Err(NoSides::None) };
        match marker {
            // A fill byte (B.1.1.2).
            0xFF => at += 1,
            // Markers that stand alone (B.1.1.3): TEM and RSTm.
            0x01 | 0xD0..=0xD7 => at += 2,
            // SOFn (table B.1), but for DHT, JPG and DAC, which stand among them. After its length come the
            // precision, the lines and the samples of a line. No lines means that DNL tells them later: no
            // browser reads that.
            0xC0..=0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF => {
                let [height, width] = [5, 7].map(|after| field(start, at + after));
                let [height, width] = [height?, width?].map(u16::from_be_bytes).map(u32::from);
                return Sides::of(width, height);
            }
            // SOI once more, EOI or a scan before any frame, and what is no marker at all.
            0x00 | 0x02..=0xBF | 0xD8..=0xDA => return Err(NoSides::None),
            // A segment: its length counts itself (B.1.1.4).
            0xC4 | 0xC8 | 0xCC | 0xDB..=0xFE => match u16::from_be_bytes(field(start, at + 2)?) {
                0 | 1 => return Err(NoSides::None),
                length => at += 2 + usize::from(length),
            },
        }
    }
}

/// RFC 9649, sections 2.3 to 2.7: the first chunk says which of three kinds of WebP it is.
fn webp(start: &[u8]) -> Result<Sides, NoSides> {
    const FIRST: usize = 12;
    if field(start, FIRST)? != *b"VP8X" {
        return still(start, FIRST)?.ok_or(NoSides::None);
    }
    // 2.7: a byte of flags, three reserved, then the canvas: its width and its height, each less one, in
    // three bytes with the lowest first.
    let [flags, _, _, _, width @ .., h0, h1, h2] = field::<10>(start, FIRST + 8)?;
    let side = |[low, middle, high]: [u8; 3]| u32::from_le_bytes([low, middle, high, 0]) + 1;
    let canvas = Sides::of(side(width), side([h0, h1, h2]))?;
    if flags & 0b10 != 0 {
        // Animated: many pictures in one.
        return Err(NoSides::None);
    }
    // The picture fills the canvas (2.7.1.4), and one that says otherwise is none.
    let mut at = next_chunk(start, FIRST)?;
    loop {
        match still(start, at)? {
            Some(sides) if sides == canvas => return Ok(canvas),
            Some(_) => return Err(NoSides::None),
            None => at = next_chunk(start, at)?,
        }
    }
}

/// Where the chunk after another begins: its size does not count its head, and is made even (2.3).
fn next_chunk(start: &[u8], at: usize) -> Result<usize, NoSides> {
    let size = usize::try_from(u32::from_le_bytes(field(start, at + 4)?)).ok();
    let next = size.and_then(|size| size.checked_add(size % 2)?.checked_add(at + 8));
    next.ok_or(NoSides::None)
}

/// The sides in a chunk with a picture; `None` where the chunk holds none.
fn still(start: &[u8], at: usize) -> Result<Option<Sides>, NoSides> {
    let data = at + 8;
    match &field(start, at)? {
        // 2.5, and RFC 6386, section 9.1: a frame tag of three bytes whose lowest bit is 0 for a key frame,
        // a start code, then width and height of 14 bits each, below two bits that say how to scale.
        b"VP8 " => {
            let [tag, _, _, 0x9D, 0x01, 0x2A, w0, w1, h0, h1] = field(start, data)? else {
                return Err(NoSides::None);
            };
            let side = |low, high| u32::from(u16::from_le_bytes([low, high]) & 0x3FFF);
            if tag & 1 == 0 {
                Sides::of(side(w0, w1), side(h0, h1)).map(Some)
            } else {
                Err(NoSides::None)
            }
        }
        // 2.6 and 3.4: a signature, then width and height, each less one, in 14 bits, the lowest first.
        b"VP8L" => {
            let [0x2F, size @ ..] = field::<5>(start, data)? else { return Err(NoSides::None) };
            let size = u32::from_le_bytes(size);
            Sides::of((size & 0x3FFF) + 1, ((size >> 14) & 0x3FFF) + 1).map(Some)
        }
        _ => Ok(None),
    }
}

/// The bytes at a place.
fn field<const N: usize>(start: &[u8], at: usize) -> Result<[u8; N], NoSides> {
    let rest = start.get(at..).and_then(<[u8]>::first_chunk);
    rest.copied().ok_or(NoSides::Further { bytes: at.saturating_add(N) })
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn of(width: u32, height: u32) -> Sides {
        Sides { width, height }
    }

    /// A segment of a JPEG: marker, length, content.
    fn segment(marker: u8, content: &[u8]) -> Vec<u8> {
        let length = u16::try_from(content.len() + 2).unwrap().to_be_bytes();
        [&[0xFF, marker], &length[..], content].concat()
    }

    /// The frame header of ITU-T T.81, B.2.2, with one component.
    fn frame(marker: u8, width: u16, height: u16) -> Vec<u8> {
        let [height, width] = [height, width].map(u16::to_be_bytes);
        segment(marker, &[&[8], &height[..], &width[..], &[1, 1, 0x11, 0]].concat())
    }

    fn jpeg_of(parts: &[Vec<u8>]) -> Vec<u8> {
        [vec![0xFF, 0xD8], parts.concat(), vec![0xFF, 0xD9], vec![0; 8]].concat()
    }

    fn chunk(name: [u8; 4], data: &[u8]) -> Vec<u8> {
        let size = u32::try_from(data.len()).unwrap().to_le_bytes();
        let padding = &[0][..data.len() % 2];
        [&name, &size[..], data, padding].concat()
    }

    fn webp_of(chunks: &[Vec<u8>]) -> Vec<u8> {
        let body = chunks.concat();
        let size = u32::try_from(body.len() + 4).unwrap().to_le_bytes();
        [b"RIFF", &size[..], b"WEBP", &body].concat()
    }

    fn lossy(width: u16, height: u16) -> Vec<u8> {
        let [width, height] = [width, height].map(u16::to_le_bytes);
        chunk(*b"VP8 ", &[&[0x30, 1, 0, 0x9D, 1, 0x2A], &width[..], &height[..]].concat())
    }

    fn lossless(width: u32, height: u32) -> Vec<u8> {
        let size = (((height - 1) << 14) | (width - 1)).to_le_bytes();
        chunk(*b"VP8L", &[&[0x2F], &size[..], &[0, 0]].concat())
    }

    fn extended(flags: u8, width: u32, height: u32) -> Vec<u8> {
        let [width, height] = [width, height].map(|side| (side - 1).to_le_bytes());
        chunk(*b"VP8X", &[&[flags, 0, 0, 0], &width[..3], &height[..3]].concat())
    }

    fn png_of(width: u32, height: u32) -> Vec<u8> {
        let [width, height] = [width, height].map(u32::to_be_bytes);
        [&PNG[..], &[0, 0, 0, 13], b"IHDR", &width, &height, &[8, 2, 0, 0, 0]].concat()
    }

    /// ITU-T T.81, table B.1: every start of frame, and none of the three markers that stand among them.
    #[test]
    fn a_jpeg_tells_its_sides_in_its_frame_header() {
        for marker in 0xC0..=0xCF {
            let found = sides(&jpeg_of(&[frame(marker, 640, 480)]));
            let is_frame = ![0xC4, 0xC8, 0xCC].contains(&marker);
            let expected = if is_frame { Ok(of(640, 480)) } else { Err(NoSides::None) };
            assert_eq!(found, expected, "{marker:x}");
        }
        let before = [
            segment(0xE0, b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0"),
            // A thumbnail, which is a picture of its own.
            segment(0xE1, &jpeg_of(&[frame(0xC0, 16_000, 16_000)])),
            segment(0xFE, b"a comment"),
            segment(0xC4, &[0; 17]),
            segment(0xDB, &[0; 65]),
            vec![0xFF, 0x01, 0xFF, 0xFF, 0xFF],
        ];
        let whole = jpeg_of(&[before.concat(), frame(0xC2, 65_535, 1)]);
        assert_eq!(sides(&whole), Ok(of(65_535, 1)));
    }

    #[test]
    fn a_jpeg_that_tells_no_sides_is_none() {
        for part in [
            frame(0xC0, 0, 480),
            frame(0xC0, 640, 0),
            vec![],
            vec![0xFF, 0xD8],
            [segment(0xDA, &[1, 1, 0, 0, 63, 0]), frame(0xC0, 640, 480)].concat(),
            [vec![0x00], frame(0xC0, 640, 480)].concat(),
            [vec![0xFF, 0xE0, 0, 1], frame(0xC0, 640, 480)].concat(),
            [vec![0xFF, 0x02], frame(0xC0, 640, 480)].concat(),
        ] {
            assert_eq!(
                sides(&jpeg_of(std::slice::from_ref(&part))),
                Err(NoSides::None),
                "{part:x?}"
            );
        }
    }

    /// W3C, Portable Network Graphics, third edition, 11.2.1.
    #[test]
    fn a_png_tells_its_sides_in_its_first_chunk() {
        assert_eq!(sides(&png_of(1, 1)), Ok(of(1, 1)));
        assert_eq!(sides(&png_of(40_000, 30_000)), Ok(of(40_000, 30_000)));
        assert_eq!(sides(&png_of(0x7FFF_FFFF, 1)), Ok(of(0x7FFF_FFFF, 1)));
        for (width, height) in [(0, 1), (1, 0), (0x8000_0000, 1), (1, u32::MAX)] {
            assert_eq!(sides(&png_of(width, height)), Err(NoSides::None), "{width} x {height}");
        }
        let mut other = png_of(1, 1);
        other[12..16].copy_from_slice(b"tEXt");
        assert_eq!(sides(&other), Err(NoSides::None));
    }

    /// RFC 9649: 2.5 (VP8), 2.6 (VP8L) and 2.7 (VP8X), each with the most that it can claim.
    #[test]
    fn a_webp_of_each_kind_tells_its_sides() {
        assert_eq!(sides(&webp_of(&[lossy(640, 480)])), Ok(of(640, 480)));
        assert_eq!(sides(&webp_of(&[lossy(16_383, 16_383)])), Ok(of(16_383, 16_383)));
        // The two highest bits say how to scale, not how large.
        assert_eq!(sides(&webp_of(&[lossy(0xC000 | 0x280, 0x4000 | 0x1E0)])), Ok(of(640, 480)));
        assert_eq!(sides(&webp_of(&[lossless(1, 1)])), Ok(of(1, 1)));
        assert_eq!(sides(&webp_of(&[lossless(16_384, 16_384)])), Ok(of(16_384, 16_384)));
        let profile = chunk(*b"ICCP", &[7; 301]);
        for picture in [lossy(900, 675), lossless(900, 675)] {
            let chunks = [extended(0x20, 900, 675), profile.clone(), picture];
            assert_eq!(sides(&webp_of(&chunks)), Ok(of(900, 675)));
        }
    }

    #[test]
    fn a_webp_that_contradicts_itself_or_moves_is_none() {
        for chunks in [
            vec![extended(0, 10, 10), lossy(16_383, 16_383)],
            vec![extended(0, 1 << 24, 1 << 24), lossy(10, 10)],
            vec![extended(0b10, 900, 675), lossy(900, 675)],
            vec![chunk(*b"VP8 ", &[0x31, 1, 0, 0x9D, 1, 0x2A, 9, 0, 9, 0])],
            vec![chunk(*b"VP8 ", &[0x30, 1, 0, 0x9D, 1, 0x2B, 9, 0, 9, 0])],
            vec![lossy(0, 9)],
            vec![chunk(*b"VP8L", &[0x2E, 0, 0, 0, 0])],
            vec![chunk(*b"EXIF", &[0; 8]), lossy(9, 9)],
        ] {
            assert_eq!(sides(&webp_of(&chunks)), Err(NoSides::None), "{chunks:x?}");
        }
    }

    /// The 38 bytes that claim a gigabyte.
    #[test]
    fn little_can_claim_much() {
        let mut small = webp_of(&[lossy(16_383, 16_383)]);
        small.resize(38, 0);
        assert_eq!(sides(&small).unwrap().pixels(), 268_402_689);
    }

    #[test]
    fn every_cut_says_how_far_to_read_on() {
        for whole in [
            jpeg_of(&[segment(0xE1, &[9; 3000]), frame(0xC0, 640, 480)]),
            webp_of(&[extended(0x20, 9, 9), chunk(*b"ICCP", &[7; 301]), lossless(9, 9)]),
            webp_of(&[lossy(9, 9)]),
            png_of(9, 9),
        ] {
            let (mut given, mut tries) = (0, 0);
            let found = loop {
                match sides(&whole[..given]) {
                    Err(NoSides::Further { bytes }) => {
                        assert!(given < bytes && bytes <= whole.len(), "{given} {bytes}");
                        given = bytes;
                    }
                    done => break done,
                }
                tries += 1;
            };
            assert_eq!(found, sides(&whole));
            assert!(found.is_ok() && tries < 20, "{tries}");
        }
    }

    #[test]
    fn anything_else_is_no_picture() {
        for other in
            [&b"GIF89a\x01\0\x01\0\0\0\0\0"[..], b"<svg xmlns=\"\"></svg>", b"BM0000000000000"]
        {
            assert_eq!(sides(other), Err(NoSides::None));
        }
        assert_eq!(sides(b""), Err(NoSides::Further { bytes: 12 }));
    }
}
