//! Keeps in the client's page what `.ci/split.mjs` needs in order to cut it into parts, and tells the program
//! which version of `src/domain` it has.

use std::path::{Path, PathBuf};
use std::{env, fs, io};

const DOMAIN: &str = "src/domain";

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed={DOMAIN}");
    if env::var("CARGO_CFG_TARGET_ARCH").as_deref() == Ok("wasm32") {
        println!("cargo::rustc-link-arg-bin=carryover=--emit-relocs");
    }
    println!("cargo::rustc-env=CARRYOVER_FOLD={}", fingerprint(Path::new(DOMAIN))?);
    Ok(())
}

/// The 64-bit FNV-1a hash (draft-eastlake-fnv, from memory) of every file in a folder, in the order of their names.
fn fingerprint(folder: &Path) -> io::Result<u64> {
    let mut files = Vec::new();
    gather(folder, &mut files)?;
    files.sort();
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for file in files {
        for byte in fs::read(file)? {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
    Ok(hash)
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            gather(&path, files)?;
        } else {
            files.push(path);
        }
    }
    Ok(())
}
