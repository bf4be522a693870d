//! What people read on paper: self-contained HTML that needs no network and no script, and prints on A4.

pub mod blank;
