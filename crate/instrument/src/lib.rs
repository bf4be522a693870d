//! What the operator holds: the probe's pose, the receiver with its gain, gates and their readings, the echo
//! trace and the sector image. Knows no marks and no flaw: it sees a plate only as surfaces that echo.

pub mod beam_grid;
pub mod bench;
pub mod calibration;
pub mod contact;
mod correction;
mod echoes;
pub mod gate;
mod gated;
pub mod limits;
pub mod picture;
pub mod pose;
pub mod procedure;
pub mod receiver;
pub mod reckoning;
pub mod recording;
pub mod scan_plan;
pub mod sensitivity;
pub mod set_up;
pub mod shaping;
pub mod sizing;
mod spots;
pub mod stand;
pub mod table_order;
pub mod truth;
#[cfg(test)]
mod yard;
