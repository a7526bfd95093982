//! A text sealed with a passphrase, in the open age format (<https://age-encryption.org/v1>): one scrypt
//! recipient and ASCII armour, so that any tool for that format opens it, with or without this app.

use std::io::{self, Read, Write};
use std::iter;

use age::armor::{ArmoredReader, ArmoredWriter, Format};
use age::scrypt::{Identity, Recipient};
use age::secrecy::SecretString;
use age::{DecryptError, Decryptor, EncryptError, Encryptor};
use serde::{Deserialize, Serialize};

const ARMOURED: &str = "-----BEGIN AGE ENCRYPTED FILE-----";
const BARE: &str = "age-encryption.org/v1\n";

/// The work that guessing one passphrase costs, as the power of two that scrypt calls N, with r = 8 and
/// p = 1: 128 MiB, and half a second to a few seconds. It is what OWASP's Password Storage Cheat Sheet
/// asks for.
const WORK: u8 = 17;
/// The most work that is taken on: what the format's own command writes by default, 256 MiB. A file that
/// asks for more could keep a phone busy for hours.
const MOST_WORK: u8 = 18;

/// The fewest letters of a passphrase for sealing (common practice, no source).
pub const FEWEST_LETTERS: usize = 12;

/// Why a sealed file stays shut.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum SealError {
    OtherPassphrase,
    TooMuchWork,
    SealedForAKey,
    NotArmoured,
    Damaged,
    NotText,
    CannotSeal { why: String },
}

/// The most bytes of a sealed file that holds at most so many: the armour makes four letters of three bytes,
/// and a line end of every 64.
pub const fn most_sealed(bytes: usize) -> usize {
    bytes + bytes / 2
}

/// Whether a text is a sealed file.
pub fn is_sealed(text: &str) -> bool {
    text.trim_start().starts_with(ARMOURED) || text.starts_with(BARE)
}

/// Seals a text. The passphrase is taken as it is, letter for letter.
pub fn seal(text: &str, passphrase: &str) -> Result<String, SealError> {
    seal_with(text, passphrase, WORK)
}

fn seal_with(text: &str, passphrase: &str, work: u8) -> Result<String, SealError> {
    let mut recipient = Recipient::new(SecretString::from(passphrase.to_owned()));
    recipient.set_work_factor(work);
    let encryptor = Encryptor::with_recipients(iter::once(&recipient as _))
        .map_err(|error: EncryptError| SealError::CannotSeal { why: error.to_string() })?;
    let sealed = || {
        let armour = ArmoredWriter::wrap_output(Vec::new(), Format::AsciiArmor)?;
        let mut writer = encryptor.wrap_output(armour)?;
        writer.write_all(text.as_bytes())?;
        let bytes = writer.finish()?.finish()?;
        String::from_utf8(bytes).map_err(io::Error::other)
    };
    sealed().map_err(|error| SealError::CannotSeal { why: error.to_string() })
}

/// Opens a sealed text, whole or not at all.
pub fn open(text: &str, passphrase: &str) -> Result<String, SealError> {
    if text.starts_with(BARE) {
        return Err(SealError::NotArmoured);
    }
    let decryptor = Decryptor::new_buffered(ArmoredReader::new(text.trim_start().as_bytes()))
        .map_err(|error| refusal(&error))?;
    if !decryptor.is_scrypt() {
        return Err(SealError::SealedForAKey);
    }
    let mut identity = Identity::new(SecretString::from(passphrase.to_owned()));
    identity.set_max_work_factor(MOST_WORK);
    let mut reader =
        decryptor.decrypt(iter::once(&identity as _)).map_err(|error| refusal(&error))?;
    let mut bytes = Vec::new();
    reader.read_to_end(&mut bytes).map_err(|_cut_or_changed| SealError::Damaged)?;
    String::from_utf8(bytes).map_err(|_other_bytes| SealError::NotText)
}

fn refusal(error: &DecryptError) -> SealError {
    match error {
        DecryptError::ExcessiveWork { .. } => SealError::TooMuchWork,
        DecryptError::DecryptionFailed
        | DecryptError::KeyDecryptionFailed
        | DecryptError::NoMatchingKeys => SealError::OtherPassphrase,
        DecryptError::InvalidHeader
        | DecryptError::InvalidMac
        | DecryptError::Io(_)
        | DecryptError::UnknownFormat
        | _ => SealError::Damaged,
    }
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::Path;

    use data_encoding::BASE64;

    use super::*;

    const PASSPHRASE: &str = "kitchen chair, third stair";
    const TEXT: &str = "{\"format\":\"carryover-caseload\"}\n";
    /// As little work as there is, so that a test can seal and open often.
    const LITTLE: u8 = 1;

    fn little(text: &str) -> String {
        seal_with(text, PASSPHRASE, LITTLE).unwrap()
    }

    fn armoured(bytes: &[u8]) -> String {
        let base64 = BASE64.encode(bytes);
        let lines: Vec<&str> =
            base64.as_bytes().chunks(64).map(|line| str::from_utf8(line).unwrap()).collect();
        format!("{ARMOURED}\n{}\n-----END AGE ENCRYPTED FILE-----\n", lines.join("\n"))
    }

    fn bytes(armoured: &str) -> Vec<u8> {
        let lines = armoured.lines().filter(|line| !line.starts_with("-----"));
        BASE64.decode(lines.collect::<String>().as_bytes()).unwrap()
    }

    #[test]
    fn what_was_sealed_opens_with_its_passphrase_and_with_no_other() {
        let sealed = seal(TEXT, PASSPHRASE).unwrap();
        assert!(is_sealed(&sealed));
        assert!(sealed.is_ascii() && !sealed.contains("carryover"));
        assert_eq!(open(&sealed, PASSPHRASE).unwrap(), TEXT);
        for other in ["", "kitchen chair, third stairs", "Kitchen chair, third stair"] {
            assert_eq!(open(&sealed, other), Err(SealError::OtherPassphrase), "{other}");
        }
    }

    #[test]
    fn any_text_comes_back_letter_for_letter() {
        for text in ["", "\u{feff}Ünïcode\r\n\u{0}", &"0123456789abcdef".repeat(3 * 4096)] {
            assert_eq!(open(&little(text), PASSPHRASE).unwrap(), text);
        }
        let passphrase = "  Küchenstuhl 椅子 ";
        assert_eq!(open(&seal_with(TEXT, passphrase, LITTLE).unwrap(), passphrase).unwrap(), TEXT);
    }

    #[test]
    fn the_same_text_is_never_sealed_the_same_way_twice() {
        assert_ne!(little(TEXT), little(TEXT));
    }

    /// Sealed by the command `age` 1.1.1 (written in Go): `age -p -a`, with its own work factor of 18.
    #[test]
    fn a_file_that_another_tool_sealed_opens() {
        let sealed = include_str!("../../tests/fixtures/age/sealed-by-the-command.age");
        let text = open(sealed, PASSPHRASE).unwrap();
        assert!(super::super::copy::is_copy(&text));
        let crlf = format!("\r\n{}", sealed.replace('\n', "\r\n"));
        assert!(is_sealed(&crlf));
        assert_eq!(open(&crlf, PASSPHRASE).unwrap(), text, "sent by mail");
    }

    /// The published test vectors of the format for passphrases (c2sp.org/CCTV/age), as the crate `age`
    /// 0.12.1 carries them. `scrypt` is the one that opens; its payload's SHA-256 is that of "age".
    #[test]
    fn the_published_vectors_open_or_stay_shut_as_they_say() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/age");
        let mut seen = 0;
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "vector") {
                continue;
            }
            seen += 1;
            let vector = fs::read(&path).unwrap();
            let end = vector.windows(2).position(|two| two == b"\n\n").unwrap();
            let head = str::from_utf8(&vector[..end]).unwrap();
            let field = |name: &str| {
                head.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(": "))
            };
            let opened = open(&armoured(&vector[end + 2..]), field("passphrase").unwrap());
            match field("expect").unwrap() {
                "success" => assert_eq!(opened.as_deref(), Ok("age"), "{}", path.display()),
                "no match" => assert!(opened.is_err(), "{}: {opened:?}", path.display()),
                "header failure" => {
                    let shut =
                        [SealError::Damaged, SealError::TooMuchWork, SealError::SealedForAKey];
                    assert!(
                        shut.contains(&opened.clone().unwrap_err()),
                        "{}: {opened:?}",
                        path.display()
                    );
                }
                other => panic!("{other}"),
            }
        }
        assert_eq!(seen, 25);
    }

    #[test]
    fn every_cut_is_refused() {
        let sealed = little(TEXT);
        let whole = sealed.trim_end().len();
        for end in 0..whole {
            assert!(open(&sealed[..end], PASSPHRASE).is_err(), "cut at {end}");
        }
        let bytes = bytes(&sealed);
        for end in 0..bytes.len() {
            assert!(open(&armoured(&bytes[..end]), PASSPHRASE).is_err(), "cut at byte {end}");
        }
    }

    #[test]
    fn every_flipped_bit_is_refused() {
        let sealed = bytes(&little(TEXT));
        for place in 0..sealed.len() * 8 {
            let mut flipped = sealed.clone();
            flipped[place / 8] ^= 1 << (place % 8);
            assert!(open(&armoured(&flipped), PASSPHRASE).is_err(), "bit {place}");
        }
    }

    #[test]
    fn a_file_that_asks_for_endless_work_is_refused_at_once() {
        let sealed = bytes(&little(TEXT));
        let head = String::from_utf8_lossy(&sealed).into_owned();
        let end = head.find(" 1\n").unwrap();
        for work in ["19", "22", "40", "63"] {
            let hostile =
                [&sealed[..end], format!(" {work}").as_bytes(), &sealed[end + 2..]].concat();
            assert_eq!(
                open(&armoured(&hostile), PASSPHRASE),
                Err(SealError::TooMuchWork),
                "{work}"
            );
        }
    }

    #[test]
    fn what_is_sealed_in_another_way_is_named() {
        let bare = "age-encryption.org/v1\n-> scrypt";
        assert!(is_sealed(bare));
        assert_eq!(open(bare, PASSPHRASE), Err(SealError::NotArmoured));
        let key = age::x25519::Identity::generate();
        let encryptor = Encryptor::with_recipients(iter::once(&key.to_public() as _)).unwrap();
        let mut writer = encryptor.wrap_output(Vec::new()).unwrap();
        writer.write_all(TEXT.as_bytes()).unwrap();
        let sealed = armoured(&writer.finish().unwrap());
        assert_eq!(open(&sealed, PASSPHRASE), Err(SealError::SealedForAKey));
        for text in ["", "{}", "a file that was sealed"] {
            assert!(!is_sealed(text), "{text}");
        }
    }
}
