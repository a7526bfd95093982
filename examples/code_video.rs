//! What a camera sees that looks at a screen with codes, as a video for a browser's pretended camera.
//!
//!     cargo run --example code_video -- VIDEO.y4m < texts, one a line
//!
//! Each text is a code, shown for half a second, held a little aslant in light from the left.
//! YUV4MPEG2, 640 by 480 pixels, as Chromium's `--use-file-for-fake-video-capture` reads it.

#[path = "../tests/support/video.rs"]
mod video;

use std::io::{Read, Write};
use std::{env, error, fs, io};

use carryover::exchange::qr::Code;
use carryover::ui::text::refusals::InWords;
use video::{HEIGHT, WIDTH, luma};

/// The side of the code in the picture, in pixels, and how far it is turned, in radians.
const SIDE: f64 = 400.0;
const TURNED: f64 = 0.07;

fn main() -> Result<(), Box<dyn error::Error>> {
    let name = env::args().nth(1).ok_or("the name of the video is missing")?;
    let mut texts = String::new();
    io::stdin().read_to_string(&mut texts)?;
    let mut video = io::BufWriter::new(fs::File::create(name)?);
    writeln!(video, "YUV4MPEG2 W{WIDTH} H{HEIGHT} F2:1 Ip A1:1 C420jpeg")?;
    for text in texts.lines() {
        let code = Code::of(text).map_err(|why| why.in_words())?;
        writeln!(video, "FRAME")?;
        for y in 0..HEIGHT {
            let row: Vec<u8> = (0..WIDTH).map(|x| luma(&code, SIDE, TURNED, x, y)).collect();
            video.write_all(&row)?;
        }
        // Without colour: both colour planes stand on their middle.
        video.write_all(&vec![128; WIDTH * HEIGHT / 2])?;
    }
    Ok(video.flush()?)
}
