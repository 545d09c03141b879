//! The facts of one car and of the person buying it. Lowest layer: no clock, files, environment, printing or threads.
//!
//! Everything here was stated or seen; nothing here was computed.

#![deny(
    clippy::disallowed_macros,
    clippy::disallowed_methods,
    clippy::disallowed_types
)]

pub mod buyer;
pub mod check;
pub mod claim;
pub mod clean;
pub mod entry;
pub mod facts;
pub mod file;
pub mod history;
mod in_file;
pub mod json;
pub mod listing;
pub mod money;
pub mod obd;
pub mod observation;
pub mod papers;
pub mod reading;
pub mod record;
pub mod talks;
pub mod text;
pub mod three_point;
pub mod tire;
pub mod vin;

pub use buyer::{Buyer, HouseRules, Wish, WishKind};
pub use claim::{Claim, ClaimedSign, Known, Replaced, Stamp};
pub use facts::{Drive, Fuel, Gearbox, SaltWinters, SizeClass, Steering, System, TimingDrive};
pub use file::{CarFile, Change, SCHEMA, Step, WalkPlace};
pub use listing::{AskedPrice, Comparable, Listing, PriceKind, SellerKind};
pub use money::{Money, MoneyRange, RangeReading};
pub use obd::{CodeRead, CodeState};
pub use observation::{Answer, Observation, Pin};
pub use papers::{OdometerStatement, PaperFacts, Receipt, VinRead};
pub use reading::{Quantity, Reading};
pub use record::{CarRecord, CheckExtras, Particulars, RouteWish, Waiver, WorthBasis, WorthMeans};
pub use talks::{Agreement, Move, Who, agreement};
pub use three_point::{ThreePoint, ThreePointError};
pub use tire::{TireDate, TireDateError};
pub use vin::{Vin, VinError};
