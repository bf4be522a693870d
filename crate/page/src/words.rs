//! The words of the reader's language, as the page has them.

use exam::said::{Language, Said};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

/// What is said under each key; see [`Language`].
#[wasm_bindgen]
pub struct Words(pub(crate) Language);

#[wasm_bindgen]
impl Words {
    /// From lines, each a key, a tab and its words.
    pub fn of(lines: &str) -> Self {
        Self(Language::read(lines))
    }
}

impl Words {
    /// Why something was not done.
    pub(crate) fn refusal(&self, why: &Said) -> JsError {
        JsError::new(&self.0.say(why))
    }
}
