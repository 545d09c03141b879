//! The figures that come out of an appraisal. Names follow the JSON of `weigh`.

mod basics;
mod faults;
mod grounds;
mod money;
mod offers;
mod places;
mod whole;

pub use basics::*;
pub use faults::*;
pub use grounds::*;
pub use money::*;
pub use offers::*;
pub use places::*;
pub use whole::*;
