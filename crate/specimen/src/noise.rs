//! Smooth seeded irregularity.
