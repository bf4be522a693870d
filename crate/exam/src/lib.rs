//! exam
