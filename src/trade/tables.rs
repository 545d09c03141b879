//! All tables together, with look-up by id.

use super::rows::{
    CautionRow, CodeRow, FaultRow, LimitRow, OperationRow, PurposeRow, RepairRow, SellableRow,
    SignRow, ToolRow, WeakSpot,
};
use super::settings::Settings;

/// Every table, each sorted by id. Made by [`Tables::embedded`] or from overlays; checked once when made.
#[derive(Debug, Clone, PartialEq)]
pub struct Tables {
    /// Faults.
    pub faults: Vec<FaultRow>,
    /// Repairs.
    pub repairs: Vec<RepairRow>,
    /// Operations.
    pub operations: Vec<OperationRow>,
    /// Signs.
    pub signs: Vec<SignRow>,
    /// Trouble codes.
    pub codes: Vec<CodeRow>,
    /// Limits of readings, by rule set.
    pub limits: Vec<LimitRow>,
    /// Tools.
    pub tools: Vec<ToolRow>,
    /// Cautions.
    pub cautions: Vec<CautionRow>,
    /// Sellables.
    pub sellables: Vec<SellableRow>,
    /// Purposes.
    pub purposes: Vec<PurposeRow>,
    /// What the user knows of single models; the program comes with none.
    pub weak_spots: Vec<WeakSpot>,
    /// Every default of the engine, as data.
    pub settings: Settings,
}

macro_rules! look_up {
    ($(#[$doc:meta])* $name:ident, $table:ident, $row:ty) => {
        $(#[$doc])*
        #[must_use]
        pub fn $name(&self, id: &str) -> Option<&$row> {
            let at = self.$table.binary_search_by(|row| row.id.as_str().cmp(id)).ok()?;
            self.$table.get(at)
        }
    };
}

impl Tables {
    look_up!(
        /// A fault by id.
        fault, faults, FaultRow
    );
    look_up!(
        /// A repair by id.
        repair, repairs, RepairRow
    );
    look_up!(
        /// An operation by id.
        operation, operations, OperationRow
    );
    look_up!(
        /// A sign by id.
        sign, signs, SignRow
    );
    look_up!(
        /// A trouble code by id, in capitals.
        code, codes, CodeRow
    );
    look_up!(
        /// A limit by id.
        limit, limits, LimitRow
    );
    look_up!(
        /// A tool by id.
        tool, tools, ToolRow
    );
    look_up!(
        /// A caution by id.
        caution, cautions, CautionRow
    );
    look_up!(
        /// A sellable by id.
        sellable, sellables, SellableRow
    );
    look_up!(
        /// A purpose by id.
        purpose, purposes, PurposeRow
    );

    /// The trouble code that words such as `p0303` name, if they name one of the table's.
    #[must_use]
    pub fn code_named(&self, words: &str) -> Option<&CodeRow> {
        self.code(&words.trim().to_ascii_uppercase())
    }

    /// The sign that an id, or a trouble code in words, names.
    #[must_use]
    pub fn sign_named(&self, words: &str) -> Option<&SignRow> {
        let words = words.trim();
        self.code_named(words)
            .and_then(|code| self.sign(&code.sign))
            .or_else(|| self.sign(&words.to_ascii_lowercase()))
    }
}
