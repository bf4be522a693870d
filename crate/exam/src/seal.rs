//! A plate file sealed for an exam: what a trainee may read beforehand is in the clear, the plate with its flaws is not.
//!
//! The content is encrypted under a random key (ChaCha20-Poly1305, RFC 8439), which is wrapped twice under keys made from
//! passphrases by Argon2id (RFC 9106): the instructor's, and the one told at the beginning of the sitting. All else in the
//! file is authenticated with it, and a file is only taken in the one form in which it is written: a change anywhere shows.
//! What this does not stop is said in docs/exams.md.

use argon2::{Algorithm, Argon2, Params, Version};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{ChaCha20Poly1305, Key, Nonce};
use serde::{Deserialize, Serialize};

use crate::paper::Paper;

/// Largest sealed file that is looked at, bytes.
pub const SIZE_LIMIT_BYTES: usize = 4_000_000;

/// Random bytes that sealing takes: two keys, two salts, three nonces.
pub const RANDOM_BYTES: usize = 2 * KEY + 2 * SALT + 3 * NONCE;

/// Shortest passphrase, characters.
pub const SHORTEST_PASSPHRASE: usize = 8;

const FORM: &str = "trialplate sealed plate";
const VERSION: u32 = 1;
const KEY: usize = 32;
const SALT: usize = 16;
const NONCE: usize = 12;

/// Memory in KiB, passes and lanes of Argon2id: 19 MiB, two, one (the least that OWASP's cheat sheet advises, from memory).
/// Fixed by the version: a file cannot ask for more.
const COST: (u32, u32, u32) = (19 * 1024, 2, 1);

/// What a trainee may know before the sitting, and how it is held.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Terms {
    /// Id of the plate.
    pub plate_id: String,
    /// Its title.
    pub title: String,
    /// Time allowed, minutes.
    pub time_minutes: u32,
    /// Whether the page says what to do next.
    pub help: bool,
    /// Whether marks and truth are shown after handing in.
    pub debrief: bool,
}

impl Terms {
    /// Those of an exam: no help, no debrief.
    pub fn of(paper: &Paper) -> Self {
        Self {
            plate_id: paper.plate.id.clone(),
            title: paper.plate.title.clone(),
            time_minutes: paper.procedure.time_minutes,
            help: false,
            debrief: false,
        }
    }
}

/// Who opened a sealed plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Holder {
    /// Whoever marks.
    Instructor,
    /// Whoever sits.
    Sitting,
}

/// The content's key, wrapped.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Lock {
    holder: Holder,
    salt: String,
    wrapped: String,
}

/// A sealed plate file, not opened yet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sealed {
    form: String,
    version: u32,
    /// What may be read.
    pub terms: Terms,
    locks: Vec<Lock>,
    sealed: String,
}

/// What the seal holds.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Content {
    paper: String,
    signing_key: String,
}

/// An opened seal.
pub struct Opened {
    /// The plate with all that is hidden in it.
    pub paper: Paper,
    /// Key that hand-ins are signed with.
    pub signing_key: [u8; KEY],
    /// Whose passphrase it was.
    pub holder: Holder,
}

/// Why a plate cannot be sealed or opened.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SealError {
    /// Not a sealed plate, or not in the form in which one is written.
    #[error("{name}: {message}")]
    Form {
        /// Name of the file as the reader gave it.
        name: String,
        /// What is wrong and what was expected.
        message: String,
    },
    /// No lock opens with the passphrase.
    #[error(
        "this passphrase does not open the plate, expected the instructor's or the one told at the sitting"
    )]
    Passphrase,
    /// The lock opens, but what is in the file is not what was sealed.
    #[error("the file was changed after it was sealed; ask for a fresh copy")]
    Changed,
    /// A passphrase that is too short, or the same twice.
    #[error("{0}")]
    Weak(String),
    /// The plate cannot be written.
    #[error("the plate cannot be written as a file: {0}")]
    Paper(String),
}

fn cipher(key: &[u8; KEY]) -> ChaCha20Poly1305 {
    ChaCha20Poly1305::new(&Key::from(*key))
}

fn encrypt(key: &[u8; KEY], nonce: [u8; NONCE], message: &[u8], beside: &[u8]) -> Result<String, SealError> {
    let payload = Payload { msg: message, aad: beside };
    let text = cipher(key).encrypt(&Nonce::from(nonce), payload).map_err(|_| SealError::Changed)?;
    Ok(STANDARD.encode([nonce.as_slice(), &text].concat()))
}

fn decrypt(key: &[u8; KEY], text: &str, beside: &[u8]) -> Option<Vec<u8>> {
    let bytes = STANDARD.decode(text).ok()?;
    let (nonce, message) = bytes.split_first_chunk::<NONCE>()?;
    cipher(key).decrypt(&Nonce::from(*nonce), Payload { msg: message, aad: beside }).ok()
}

/// The key that a passphrase and a salt make. Takes a tenth of a second.
fn key_of(passphrase: &str, salt: &[u8]) -> Option<[u8; KEY]> {
    let (memory, passes, lanes) = COST;
    let params = Params::new(memory, passes, lanes, Some(KEY)).ok()?;
    let mut key = [0; KEY];
    let argon = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
    argon.hash_password_into(passphrase.trim().as_bytes(), salt, &mut key).ok()?;
    Some(key)
}

/// Seals a paper. The passphrases are those of the instructor and of the sitting; blanks around them do not count.
///
/// # Errors
/// Passphrases shorter than [`SHORTEST_PASSPHRASE`] or equal; a paper that cannot be written.
pub fn seal(
    paper: &Paper,
    terms: Terms,
    [instructor, sitting]: [&str; 2],
    random: &[u8; RANDOM_BYTES],
) -> Result<String, SealError> {
    for passphrase in [instructor, sitting] {
        if passphrase.trim().chars().count() < SHORTEST_PASSPHRASE {
            let least =
                format!("a passphrase is too short, expected at least {SHORTEST_PASSPHRASE} characters");
            return Err(SealError::Weak(least));
        }
    }
    if instructor.trim() == sitting.trim() {
        let same = "both passphrases are the same, expected two: trainees get to know one of them";
        return Err(SealError::Weak(same.to_owned()));
    }
    let mut rest = random.as_slice();
    let mut take = |count: usize| {
        let (taken, left) = rest.split_at(count);
        rest = left;
        taken
    };
    let key: [u8; KEY] = fixed(take(KEY));
    let signing_key = STANDARD.encode(take(KEY));
    let mut locks = Vec::new();
    for (holder, passphrase) in [(Holder::Instructor, instructor), (Holder::Sitting, sitting)] {
        let salt = take(SALT);
        let own = key_of(passphrase, salt).ok_or(SealError::Changed)?;
        let wrapped = encrypt(&own, fixed(take(NONCE)), &key, FORM.as_bytes())?;
        locks.push(Lock { holder, salt: STANDARD.encode(salt), wrapped });
    }
    let content =
        Content { paper: paper.to_toml().map_err(|error| SealError::Paper(error.to_string()))?, signing_key };
    let content = serde_json::to_vec(&content).map_err(|error| SealError::Paper(error.to_string()))?;
    let mut sealed = Sealed { form: FORM.to_owned(), version: VERSION, terms, locks, sealed: String::new() };
    sealed.sealed = encrypt(&key, fixed(take(NONCE)), &content, sealed.beside().as_bytes())?;
    Ok(sealed.to_text())
}

fn fixed<const N: usize>(bytes: &[u8]) -> [u8; N] {
    core::array::from_fn(|k| bytes.get(k).copied().unwrap_or_default())
}

impl Sealed {
    /// Whether bytes claim to be a sealed plate.
    pub fn claimed(bytes: &[u8]) -> bool {
        let start = bytes.get(..200.min(bytes.len())).unwrap_or_default();
        String::from_utf8_lossy(start).contains(FORM)
    }

    /// Reads a sealed plate file; nothing is opened yet. `name` only goes into the error.
    ///
    /// # Errors
    /// A file too large, of another form or version, or not byte for byte in the form in which one is written.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, SealError> {
        let form = |message: String| SealError::Form { name: name.to_owned(), message };
        if bytes.len() > SIZE_LIMIT_BYTES {
            return Err(form(format!("has {} bytes, expected at most {SIZE_LIMIT_BYTES}", bytes.len())));
        }
        let sealed: Self = crate::json::read(bytes).map_err(|error| {
            form(format!("no sealed plate, expected the file as it was written: {error}"))
        })?;
        if sealed.form != FORM || sealed.version != VERSION {
            let found = format!("is a “{}” of version {}", sealed.form, sealed.version);
            return Err(form(format!("{found}, expected “{FORM}” of version {VERSION}")));
        }
        if sealed.to_text().as_bytes() != bytes {
            return Err(form(
                "was changed after it was sealed, expected the file as it was written".to_owned(),
            ));
        }
        Ok(sealed)
    }

    /// Opens it with either passphrase. Takes a tenth of a second for each.
    ///
    /// # Errors
    /// A wrong passphrase, or a file that was changed.
    pub fn open(&self, passphrase: &str) -> Result<Opened, SealError> {
        let unlock = |lock: &Lock| {
            let salt = STANDARD.decode(&lock.salt).ok()?;
            let own = key_of(passphrase, &salt)?;
            decrypt(&own, &lock.wrapped, FORM.as_bytes()).map(|key| (lock.holder, key))
        };
        let (holder, key) = self.locks.iter().find_map(unlock).ok_or(SealError::Passphrase)?;
        self.open_with(&fixed(&key), holder)
    }

    fn open_with(&self, key: &[u8; KEY], holder: Holder) -> Result<Opened, SealError> {
        let content = decrypt(key, &self.sealed, self.beside().as_bytes()).ok_or(SealError::Changed)?;
        let content: Content = crate::json::read(&content).map_err(|_| SealError::Changed)?;
        let signing_key = STANDARD.decode(&content.signing_key).map_err(|_| SealError::Changed)?;
        let paper = Paper::parse(&self.terms.plate_id, content.paper.as_bytes())
            .map_err(|error| SealError::Paper(error.to_string()))?;
        Ok(Opened { paper, signing_key: fixed(&signing_key), holder })
    }

    /// All but the sealed content: authenticated with it.
    fn beside(&self) -> String {
        Self { sealed: String::new(), ..self.clone() }.to_text()
    }

    fn to_text(&self) -> String {
        // Cannot fail: strings, numbers and lists of them.
        serde_json::to_string_pretty(self).unwrap_or_default() + "\n"
    }
}

#[cfg(test)]
mod tests;
