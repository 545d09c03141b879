//! Repairs and the labour steps they share.

use super::ids::{FaultId, OperationId, RepairId, SignId};
use crate::car::{System, ThreePoint};
use serde::{Deserialize, Serialize};

/// How many of a part a car needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Per {
    /// One for the job.
    Each,
    /// One per cylinder.
    Cylinder,
    /// One per wheel.
    Wheel,
    /// Two: one axle.
    Axle,
    /// One per bank of cylinders.
    Bank,
    /// One per panel.
    Panel,
}

/// One part on the bill.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartLine {
    /// Name as shown.
    pub name: String,
    /// How many.
    pub per: Per,
    /// Price new, each.
    pub new: ThreePoint,
    /// Price used, each; absent where used is not to be had or not safe.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub used: Option<ThreePoint>,
}

/// Kinds of work that never go home by price alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SafetyClass {
    /// Brakes.
    Brakes,
    /// Steering and its joints.
    Steering,
    /// Air bags and belts.
    Restraints,
    /// Fuel under pressure.
    Fuel,
    /// Welded or bolted structure.
    Structure,
    /// Air-conditioning gas.
    Refrigerant,
    /// Hybrid and electric drive.
    HighVoltage,
    /// Springs under load.
    Springs,
}

/// Parts and operations that remove faults.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RepairRow {
    /// Unique id in words, such as `head-gasket`.
    pub id: RepairId,
    /// Name as shown.
    pub name: String,
    /// Parts bill.
    #[serde(default)]
    pub parts: Vec<PartLine>,
    /// Oil, coolant, sealant, cleaner: for the whole job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub consumables: Option<ThreePoint>,
    /// Labour steps, shared by identity between repairs.
    pub operations: Vec<OperationId>,
    /// Faults it cures besides those that name it.
    #[serde(default)]
    pub also_cures: Vec<FaultId>,
    /// Never done at home.
    #[serde(default)]
    pub garage_only: bool,
    /// Kind of safety work, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub safety: Option<SafetyClass>,
    /// System whose skill counts.
    pub system: System,
    /// Skill asked, 1 to 5.
    pub skill: u8,
    /// Tools from the tools table.
    #[serde(default)]
    pub tools: Vec<String>,
    /// Fixed fee of a garage or machine shop that a home job still needs (alignment, coding, gas, skimming).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outside_fee: Option<ThreePoint>,
    /// Operations done once at the end (bleed, alignment, coding).
    #[serde(default)]
    pub follow_ups: Vec<OperationId>,
    /// Faults of wearing parts that are new afterwards.
    #[serde(default)]
    pub renews: Vec<FaultId>,
    /// Class under the house rules: `safety`, `tires`, `brakes`, or empty for counted.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub exempt_class: String,
    /// The sign that must be gone afterwards.
    pub proof_of_cure: SignId,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation, `common practice, no source` or `from memory`.
    pub source: String,
    /// Year and month of the figures.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A labour step.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OperationRow {
    /// Unique id in words, such as `gearbox-out`.
    pub id: OperationId,
    /// Name as shown.
    pub name: String,
    /// Garage hours.
    pub hours: ThreePoint,
    /// Home hours are this many times the garage's.
    pub home_factor: f64,
    /// Done on a garage's machine even when the rest is done at home: paid by the repair's outside fee, or by the garage hour.
    #[serde(default)]
    pub garage_machine: bool,
    /// Tools table ids for places and hands: `lift-or-pit`, `helper`, `welder`.
    #[serde(default)]
    pub needs: Vec<String>,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation.
    pub source: String,
    /// Year and month of the figures.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}
