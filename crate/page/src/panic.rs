//! A stop of the program is told to the worker in words, just before the trap.

use wasm_bindgen::prelude::*;

#[wasm_bindgen]
extern "C" {
    // `catch`: whoever loads the module without a worker around it may not have this function.
    #[wasm_bindgen(catch, js_name = trialplatePanicked)]
    fn panicked(message: &str) -> Result<(), JsValue>;
}

/// Sends the message and place of a panic to the function `trialplatePanicked` of the global scope.
pub fn tell() {
    std::panic::set_hook(Box::new(|info| {
        // Nothing more can be done where even the telling fails.
        let _ = panicked(&info.to_string());
    }));
}
