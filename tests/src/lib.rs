//! Holds no code of its own; see the test targets.
