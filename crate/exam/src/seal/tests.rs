use acoustics::seed::Stream;
use specimen::joint::Preparation;

use super::*;

fn random(seed: u64) -> [u8; RANDOM_BYTES] {
    let mut stream = Stream::new(seed, "seals in tests");
    core::array::from_fn(|_| stream.below(256) as u8)
}

const PASSPHRASES: [&str; 2] = ["heron over the weir", "low water at nine"];

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 11)
}

fn sealed() -> String {
    seal(&paper(), Terms::of(&paper()), PASSPHRASES, &random(1)).unwrap()
}

#[test]
fn both_passphrases_open_what_was_sealed_and_no_other_does() {
    let text = sealed();
    let read = Sealed::parse("exam", text.as_bytes()).unwrap();
    assert_eq!(read.terms, Terms::of(&paper()));
    let by_instructor = read.open(PASSPHRASES[0]).unwrap();
    let by_trainee = read.open("  low water at nine\n").unwrap();
    assert_eq!([by_instructor.holder, by_trainee.holder], [Holder::Instructor, Holder::Sitting]);
    assert_eq!(by_instructor.paper, paper());
    assert_eq!(by_instructor.signing_key, by_trainee.signing_key);
    assert_eq!(read.open("high water at nine").err(), Some(SealError::Passphrase));
}

#[test]
fn nothing_of_the_map_stands_in_the_clear() {
    let text = sealed();
    for flaw in &paper().plate.flaws {
        let kind = serde_json::to_string(&flaw.kind).unwrap();
        assert!(!text.contains(kind.trim_matches('"')), "{kind}");
    }
    assert!(!text.contains("flaw") && !text.contains("seed"));
}

#[test]
fn weak_passphrases_are_refused() {
    let weak =
        |passphrases| seal(&paper(), Terms::of(&paper()), passphrases, &random(1)).unwrap_err().to_string();
    assert_eq!(weak(["short", PASSPHRASES[1]]), "a passphrase is too short, expected at least 8 characters");
    assert!(weak(["the same words", "the same words "]).starts_with("both passphrases are the same"));
}

/// Any byte changed to any other, anywhere: refused in words, whoever holds the key.
#[test]
fn ten_thousand_flips_of_a_sealed_plate_are_refused() {
    let text = sealed();
    let whole = Sealed::parse("exam", text.as_bytes()).unwrap();
    // The keys once: a flip may not hang on the passphrase.
    let keys: Vec<[u8; KEY]> = whole
        .locks
        .iter()
        .zip(PASSPHRASES)
        .map(|(lock, passphrase)| {
            let own = key_of(passphrase, &STANDARD.decode(&lock.salt).unwrap()).unwrap();
            fixed(&decrypt(&own, &lock.wrapped, FORM.as_bytes()).unwrap())
        })
        .collect();
    assert_eq!(keys[0], keys[1]);
    assert!(whole.open_with(&keys[0], Holder::Instructor).is_ok());
    let mut stream = Stream::new(7, "flips of a sealed plate");
    let mut by_form = 0;
    for _ in 0..10_000 {
        let mut bytes = text.clone().into_bytes();
        let at = stream.below(bytes.len() as u32) as usize;
        bytes[at] ^= 1 + stream.below(255) as u8;
        match Sealed::parse("exam", &bytes) {
            Err(error) => {
                by_form += 1;
                assert!(error.to_string().contains("expected"), "{error}");
            }
            // Still a file of this form: then the seal tells.
            Ok(changed) => {
                let opened = changed.open_with(&keys[0], Holder::Instructor);
                assert_eq!(opened.err(), Some(SealError::Changed), "byte {at}");
            }
        }
    }
    assert!(by_form > 100 && by_form < 9_900, "both guards are asked: {by_form}");
}

#[test]
fn other_files_are_no_sealed_plates() {
    for text in ["", "{}", "version = 2\n", "{\"form\":\"trialplate sealed plate\"}"] {
        let error = Sealed::parse("exam", text.as_bytes()).unwrap_err().to_string();
        assert!(error.starts_with("exam: no sealed plate, expected"), "{error}");
    }
    assert!(Sealed::claimed(sealed().as_bytes()) && !Sealed::claimed(b"version = 2"));
}
