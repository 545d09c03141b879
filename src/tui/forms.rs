//! Forms: fields with their own readings, kept as a whole or not at all.

mod buyer;
mod car;
mod entry;
mod field;
mod own;
mod papers;
pub mod read;
mod renewed;
mod side;
mod story;
mod talks;
mod walk;

use crate::car::entry::Range;
use crate::car::{Money, MoneyRange};
use crate::tui::app::{App, Effect};
use crate::tui::typed;
pub use entry::Entry;
pub use field::{Field, Kind};
pub use walk::refresh;

/// What a form is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// A new car.
    NewCar,
    /// A file to read in.
    ReadIn,
    /// Particulars.
    Particulars,
    /// Asking price, seller, manner.
    Seller,
    /// A claim, new or at a place.
    Claim(Option<usize>),
    /// When the part of a claim was made new, by place of the claim.
    Renewed(usize),
    /// Own low, likely, high.
    Worth,
    /// A car like it, new or at a place.
    Comparable(Option<usize>),
    /// A note, new or at a place.
    Note(Option<usize>),
    /// Papers and plates.
    Papers,
    /// A receipt, new or at a place.
    Receipt(Option<usize>),
    /// A number measured for a sign.
    Reading(String),
    /// Note and photo of a check, by sign.
    CheckNote(String),
    /// A stop waived in words, by sign.
    Waive(String),
    /// An offer or an answer.
    Offer,
    /// Bought at a price.
    Bought,
    /// The buyer's money.
    BuyerMoney,
    /// The buyer's time.
    BuyerTime,
    /// House rules of a capped event.
    HouseRules,
    /// A wish, new or at a place.
    Wish(Option<usize>),
    /// What matters to the user: cheap, reliable, fast.
    Weights,
    /// A figure of the user's own in the tables.
    Own {
        /// Table.
        table: String,
        /// Row.
        id: String,
        /// Field.
        field: String,
    },
}

/// Why a form cannot be kept: the field and a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// Field.
    pub field: &'static str,
    /// Sentence.
    pub why: String,
}

impl Wrong {
    /// A reason at a field.
    #[must_use]
    pub fn at(field: &'static str, why: impl Into<String>) -> Self {
        Self {
            field,
            why: why.into(),
        }
    }
}

/// A form in hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// What it is for.
    pub purpose: Purpose,
    /// Title.
    pub title: String,
    /// Fields.
    pub fields: Vec<Field>,
    /// Field in hand.
    pub at: usize,
    /// One question after the other: Enter goes on until the last.
    pub stepwise: bool,
    /// A sentence under the fields.
    pub note: &'static str,
    /// How a number typed at once on a choice is to be read.
    pub lead: Lead,
}

/// A digit that made a choice may have been the first of a sum typed at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lead {
    /// No doubt.
    #[default]
    None,
    /// This digit chose, and nothing but text was typed since.
    Digit(char),
    /// The doubt was said; Enter keeps what is shown, a digit says who named the whole sum that began with this one.
    Asked(char),
    /// The whole sum was answered for; another letter types it anew.
    Whole,
    /// What is odd was said; Enter once more keeps it.
    Warned,
}

/// What a form wants next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wants {
    /// To stay.
    Stay,
    /// To be kept.
    Keep,
}

impl Form {
    /// A form over fields.
    #[must_use]
    pub fn new(purpose: Purpose, title: impl Into<String>, fields: Vec<Field>) -> Self {
        Self {
            purpose,
            title: title.into(),
            fields,
            at: 0,
            stepwise: false,
            note: "",
            lead: Lead::None,
        }
    }

    /// One question after the other.
    #[must_use]
    pub fn stepwise(mut self) -> Self {
        self.stepwise = true;
        self
    }

    /// With a sentence under the fields.
    #[must_use]
    pub fn with_note(mut self, note: &'static str) -> Self {
        self.note = note;
        self
    }

    /// Stands on a field.
    pub fn stand_on(&mut self, field: &str) {
        if let Some(at) = self.fields.iter().position(|known| known.id == field) {
            self.at = at;
        }
    }

    /// The field in hand.
    #[must_use]
    pub fn field(&self) -> Option<&Field> {
        self.fields.get(self.at)
    }

    /// A field by id.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.id == id)
    }

    /// Next or previous field, round the ends.
    pub fn step(&mut self, by: isize) {
        self.lead = Lead::None;
        let count = self.fields.len();
        if count > 0 {
            let by = by.rem_euclid(isize::try_from(count).unwrap_or(1));
            self.at = (self.at + by.unsigned_abs()) % count;
        }
    }

    /// Enter: the next question of a stepwise form, else keep.
    #[must_use]
    pub fn enter(&mut self) -> Wants {
        if self.stepwise && self.at + 1 < self.fields.len() {
            self.at += 1;
            return Wants::Stay;
        }
        Wants::Keep
    }

    /// A key where text is taken. A digit that answers the last choice of a stepwise form keeps it.
    #[must_use]
    pub fn type_key(&mut self, key: crate::tui::keys::Key) -> Wants {
        if self.purpose == Purpose::Offer && talks::type_key(self, key) {
            return Wants::Stay;
        }
        let last = self.at + 1 >= self.fields.len();
        let Some(field) = self.fields.get_mut(self.at) else {
            return Wants::Stay;
        };
        if field.type_key(key) {
            if !last {
                self.at += 1;
            } else if self.stepwise {
                return Wants::Keep;
            }
        }
        Wants::Stay
    }

    /// Shows why it cannot be kept and stands on that field.
    pub fn refuse(&mut self, wrong: &Wrong) {
        self.lead = Lead::None;
        for field in &mut self.fields {
            field.reason =
                (field.id == wrong.field && field.preview.is_none()).then(|| wrong.why.clone());
        }
        self.stand_on(wrong.field);
    }

    /// Text of a field, trimmed.
    #[must_use]
    pub fn text(&self, id: &str) -> String {
        self.get(id)
            .map(|field| crate::car::text::one_line(field.entry.text()))
            .unwrap_or_default()
    }

    /// Choice of a field, counted from 0.
    #[must_use]
    pub fn choice(&self, id: &str) -> Option<usize> {
        self.get(id)?.picked
    }

    /// A reading of a field; empty is `None`.
    ///
    /// # Errors
    /// The field and the sentence of its reading.
    pub fn value<T>(
        &self,
        id: &'static str,
        reading: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>, Wrong> {
        let text = self.text(id);
        if text.is_empty() {
            return Ok(None);
        }
        reading(&text).map(Some).map_err(|why| Wrong::at(id, why))
    }

    /// A reading of a field within the bounds that the field itself names.
    fn within<T>(
        &self,
        id: &'static str,
        reading: impl Fn(&Range, &str) -> Result<T, String>,
    ) -> Result<Option<T>, Wrong> {
        let range = match self.get(id).map(|field| &field.kind) {
            Some(
                Kind::Money(range)
                | Kind::Spread(range)
                | Kind::Miles(range)
                | Kind::Hours(range)
                | Kind::Number(range)
                | Kind::Whole(range)
                | Kind::Percent(range),
            ) => *range,
            _ => return Ok(None),
        };
        self.value(id, |text| reading(&range, text))
    }

    fn money(&self, id: &'static str) -> Result<Option<Money>, Wrong> {
        self.within(id, typed::money)
    }

    fn money_range(&self, id: &'static str) -> Result<Option<MoneyRange>, Wrong> {
        self.within(id, typed::money_range)
    }

    fn miles(&self, id: &'static str) -> Result<Option<f64>, Wrong> {
        self.within(id, typed::miles)
    }

    fn hours(&self, id: &'static str) -> Result<Option<f64>, Wrong> {
        self.within(id, typed::hours)
    }

    fn number(&self, id: &'static str) -> Result<Option<f64>, Wrong> {
        self.within(id, typed::number)
    }

    fn whole(&self, id: &'static str) -> Result<Option<u32>, Wrong> {
        self.within(id, typed::whole)
    }

    fn percent(&self, id: &'static str) -> Result<Option<f64>, Wrong> {
        self.within(id, typed::percent)
    }

    fn year(&self, id: &'static str) -> Result<Option<u16>, Wrong> {
        self.value(id, typed::year)
    }
}

/// A fresh form for a purpose, or the draft that was left of it.
#[must_use]
pub fn open(purpose: Purpose, app: &mut App) -> Form {
    if let Some(draft) = app.draft.take() {
        if draft.purpose == purpose {
            return draft;
        }
        app.draft = Some(draft);
    }
    match purpose {
        Purpose::NewCar => car::new_car(),
        Purpose::ReadIn => car::read_in(),
        Purpose::Particulars => car::particulars(app),
        Purpose::Seller => story::seller(app),
        Purpose::Claim(at) => story::claim(app, at),
        Purpose::Worth => story::worth(app),
        Purpose::Comparable(at) => story::comparable(app, at),
        Purpose::Note(at) => story::note(app, at),
        Purpose::Papers => papers::papers(app),
        Purpose::Receipt(at) => papers::receipt(app, at),
        Purpose::Renewed(at) => renewed::renewed(app, at),
        Purpose::Reading(sign) => walk::reading(app, sign),
        Purpose::CheckNote(sign) => walk::check_note(app, sign),
        Purpose::Waive(sign) => story::waive(app, sign),
        Purpose::Offer => talks::offer(app),
        Purpose::Bought => talks::bought(app),
        Purpose::BuyerMoney => buyer::money(app),
        Purpose::BuyerTime => buyer::time(app),
        Purpose::HouseRules => buyer::house_rules(app),
        Purpose::Wish(at) => buyer::wish(app, at),
        Purpose::Weights => side::weights(app),
        Purpose::Own { table, id, field } => own::own(app, &table, &id, &field),
    }
}

/// True if a doubt about what was typed is said first; the form then stands where it is.
#[must_use]
pub fn asks(form: &mut Form, app: &App) -> bool {
    form.purpose == Purpose::Offer && talks::ask(form, app)
}

/// Applies a form as a whole.
///
/// # Errors
/// The first field that is wrong; then nothing is changed.
pub fn keep(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    match &form.purpose {
        Purpose::NewCar => car::keep_new_car(form, app),
        Purpose::ReadIn => car::keep_read_in(form),
        Purpose::Particulars => car::keep_particulars(form, app),
        Purpose::Seller => story::keep_seller(form, app),
        Purpose::Claim(at) => story::keep_claim(form, app, *at),
        Purpose::Worth => story::keep_worth(form, app),
        Purpose::Comparable(at) => story::keep_comparable(form, app, *at),
        Purpose::Note(at) => story::keep_note(form, app, *at),
        Purpose::Papers => papers::keep_papers(form, app),
        Purpose::Receipt(at) => papers::keep_receipt(form, app, *at),
        Purpose::Renewed(at) => renewed::keep_renewed(form, app, *at),
        Purpose::Reading(sign) => walk::keep_reading(form, app, sign),
        Purpose::CheckNote(sign) => walk::keep_check_note(form, app, sign),
        Purpose::Waive(sign) => story::keep_waiver(form, app, sign),
        Purpose::Offer => talks::keep_offer(form, app),
        Purpose::Bought => talks::keep_bought(form, app),
        Purpose::BuyerMoney => buyer::keep_money(form, app),
        Purpose::BuyerTime => buyer::keep_time(form, app),
        Purpose::HouseRules => buyer::keep_house_rules(form, app),
        Purpose::Wish(at) => buyer::keep_wish(form, app, *at),
        Purpose::Weights => side::keep_weights(form, app).map(|()| Vec::new()),
        Purpose::Own { table, id, field } => own::keep_own(form, app, table, id, field),
    }
}
