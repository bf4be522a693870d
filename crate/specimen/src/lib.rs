//! specimen
