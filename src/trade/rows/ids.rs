//! Ids, and which cars a row is about.

use crate::car::{Drive, Fuel, Gearbox, SizeClass, Steering, TimingDrive};
use serde::{Deserialize, Serialize};

/// Id of a row in the faults table.
pub type FaultId = String;

/// Id of a row in the repairs table.
pub type RepairId = String;

/// Id of a row in the signs table.
pub type SignId = String;

/// Id of a row in the operations table.
pub type OperationId = String;

/// Which cars a row is about. An empty list means "any"; several lists must all hold.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct AppliesIf {
    /// Fuels.
    pub fuel: Vec<Fuel>,
    /// Gearboxes.
    pub gearbox: Vec<Gearbox>,
    /// Driven wheels.
    pub drive: Vec<Drive>,
    /// What drives the camshafts.
    pub timing: Vec<TimingDrive>,
    /// Power steering.
    pub steering: Vec<Steering>,
    /// Classes of car.
    pub size_class: Vec<SizeClass>,
    /// Turbocharged or not.
    pub turbo: Option<bool>,
    /// Hybrid drive or not.
    pub hybrid: Option<bool>,
    /// Air conditioning fitted or not.
    pub air_conditioning: Option<bool>,
    /// Sunroof fitted or not.
    pub sunroof: Option<bool>,
    /// First model year.
    pub year_from: Option<u16>,
    /// Last model year.
    pub year_to: Option<u16>,
}
