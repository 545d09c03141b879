//! Home or garage: what this buyer may do, what it takes, and why.

use super::amounts::{dollars, with_commas};
use super::figures::Route;
use super::jobs::{Context, quantity};
use crate::car::{Buyer, CarRecord, RouteWish, ThreePoint};
use crate::trade::{OperationRow, RepairRow, SafetyClass, Tables, ToolRow};

/// The buyer's workshop against the tables' own: prices, hours, rates.
#[derive(Debug, Clone, Copy)]
pub struct Workshop<'a> {
    car: &'a CarRecord,
    buyer: &'a Buyer,
    tables: &'a Tables,
    /// Dollars for an own hour.
    pub hour_value: f64,
    /// Dollars for a garage hour.
    pub garage_rate: f64,
    /// Local prices over the tables' own.
    pub price_index: f64,
    /// Parts of this class of car over a mid-size car's.
    parts_factor: f64,
    /// Hours of this class of car over a mid-size car's.
    hours_factor: f64,
}

/// The route taken and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Route.
    pub route: Route,
    /// True where the work is the buyer's own.
    pub at_home: bool,
    /// Own hours take this many times longer for want of skill.
    pub slower: f64,
    /// Tools to buy, borrow or hire.
    pub missing_tools: Vec<String>,
    /// Why, in words.
    pub why: String,
    /// A wish that could not be met, in words.
    pub note: Option<String>,
}

impl<'a> Workshop<'a> {
    /// Workshop of a buyer for a car.
    #[must_use]
    pub fn of(context: &Context<'a>) -> Self {
        let costs = &context.tables.settings.costs;
        let class = context
            .car
            .particulars
            .size_class
            .map_or(1, |class| class as usize);
        let purpose = context.tables.purpose(&context.buyer.purpose);
        let buyer = context.buyer;
        Self {
            car: context.car,
            buyer,
            tables: context.tables,
            hour_value: buyer
                .hour_value
                .map_or_else(|| purpose.map_or(0.0, |row| row.hour_value), dollars)
                .max(0.0),
            garage_rate: dollars(buyer.garage_rate).max(0.0),
            price_index: buyer.price_index.max(0.0),
            parts_factor: costs.parts_by_class.get(class).copied().unwrap_or(1.0),
            hours_factor: costs.hours_by_class.get(class).copied().unwrap_or(1.0),
        }
    }

    /// What one row hour of a step comes to: own hours at home, garage hours else.
    #[must_use]
    pub fn hours(&self, step: &OperationRow, at_home: bool, slower: f64) -> f64 {
        if at_home {
            self.hours_factor * step.home_factor * slower * self.buyer.pace.max(0.0)
        } else {
            self.hours_factor
        }
    }

    /// The bill of a repair: each line's range and what to multiply it by.
    #[must_use]
    pub fn bill(&self, repair: &RepairRow, at_home: bool) -> Vec<(ThreePoint, f64)> {
        let used_allowed = at_home && self.buyer.uses_used_parts && repair.safety.is_none();
        let markup = if at_home {
            1.0
        } else {
            1.0 + self.buyer.garage_parts_markup.max(0.0)
        };
        let mut lines: Vec<(ThreePoint, f64)> = repair
            .parts
            .iter()
            .map(|part| {
                let price = part.used.filter(|_| used_allowed).unwrap_or(part.new);
                (
                    price,
                    quantity(part.per, self.car) * self.parts_factor * self.price_index * markup,
                )
            })
            .collect();
        lines.extend(
            repair
                .consumables
                .map(|range| (range, self.price_index * markup)),
        );
        // A garage that has the machine charges its hours instead; a fee for what it has not (a press, a key shop) is on its bill too.
        let fee = repair
            .outside_fee
            .filter(|_| at_home || !self.uses_garage_machine(repair));
        lines.extend(fee.map(|range| (range, self.price_index)));
        lines
    }

    /// Likely cost of a repair at a garage, dollars.
    #[must_use]
    pub fn garage_cost(&self, repair: &RepairRow) -> f64 {
        self.likely_bill(repair, false) + self.likely_hours(repair, false, 1.0) * self.garage_rate
    }

    fn likely_bill(&self, repair: &RepairRow, at_home: bool) -> f64 {
        self.bill(repair, at_home)
            .iter()
            .map(|(range, times)| range.likely() * times)
            .sum()
    }

    fn uses_garage_machine(&self, repair: &RepairRow) -> bool {
        repair
            .operations
            .iter()
            .chain(&repair.follow_ups)
            .filter_map(|id| self.tables.operation(id))
            .any(|step| step.garage_machine)
    }

    fn likely_hours(&self, repair: &RepairRow, at_home: bool, slower: f64) -> f64 {
        repair
            .operations
            .iter()
            .chain(&repair.follow_ups)
            .filter_map(|id| self.tables.operation(id))
            .filter(|step| !(at_home && step.garage_machine))
            .map(|step| step.hours.likely() * self.hours(step, at_home, slower))
            .sum()
    }

    fn missing_tools(&self, repair: &RepairRow) -> Vec<String> {
        let needs = repair
            .operations
            .iter()
            .chain(&repair.follow_ups)
            .filter_map(|id| self.tables.operation(id))
            .filter(|step| !step.garage_machine)
            .flat_map(|step| &step.needs);
        let mut missing: Vec<String> = repair
            .tools
            .iter()
            .chain(needs)
            .filter(|id| !self.buyer.tools.contains(*id))
            .cloned()
            .collect();
        missing.sort();
        missing.dedup();
        missing
    }
}

/// A tool's cheapest use for one list of work: hired where that is cheaper than bought.
#[must_use]
pub fn cheapest_use(tool: &ToolRow) -> Option<ThreePoint> {
    match (tool.buy, tool.hire) {
        (Some(buy), Some(hire)) => Some(if hire.likely() < buy.likely() {
            hire
        } else {
            buy
        }),
        (buy, hire) => buy.or(hire),
    }
}

/// The word a user takes a class of safety work home by.
#[must_use]
pub fn safety_word(class: SafetyClass) -> &'static str {
    match class {
        SafetyClass::Brakes => "brakes",
        SafetyClass::Steering => "steering",
        SafetyClass::Restraints => "restraints",
        SafetyClass::Fuel => "fuel",
        SafetyClass::Structure => "structure",
        SafetyClass::Refrigerant => "refrigerant",
        SafetyClass::HighVoltage => "high_voltage",
        SafetyClass::Springs => "springs",
    }
}

/// Home or garage for one repair, with the user's wish if there is one. `share` is how much of a missing tool's price (by its id) this
/// repair has to bear, from zero to one: what other work on the list needs is there already.
#[must_use]
pub fn choose(
    workshop: &Workshop<'_>,
    repair: &RepairRow,
    wish: Option<RouteWish>,
    share: &dyn Fn(&str) -> f64,
) -> Choice {
    let own = workshop
        .buyer
        .skill
        .get(&repair.system)
        .copied()
        .unwrap_or(1);
    let refusal = home_refused(workshop, repair, own, wish);
    let garage = |why: String, note: Option<String>| Choice {
        route: Route::Garage,
        at_home: false,
        slower: 1.0,
        missing_tools: Vec::new(),
        why,
        note,
    };
    if let Some(why) = refusal {
        let note = (wish == Some(RouteWish::Home))
            .then(|| format!("{}: stays at a garage: {why}", repair.name));
        return garage(why, note);
    }
    if wish == Some(RouteWish::Garage) {
        return garage("you chose a garage".to_owned(), None);
    }
    let missing_tools = workshop.missing_tools(repair);
    if let Some(id) = missing_tools.iter().find(|id| {
        workshop
            .tables
            .tool(id)
            .is_none_or(|tool| cheapest_use(tool).is_none())
    }) {
        let name = workshop
            .tables
            .tool(id)
            .map_or(id.as_str(), |tool| tool.name.as_str());
        return garage(
            format!("needs what you have not and cannot buy or hire: {name}"),
            None,
        );
    }
    let levels_short = repair.skill.saturating_sub(own);
    let slower = workshop
        .tables
        .settings
        .costs
        .above_skill_hours
        .powi(i32::from(levels_short));
    let tools: f64 = missing_tools
        .iter()
        .filter_map(|id| Some((id, workshop.tables.tool(id).and_then(cheapest_use)?)))
        .map(|(id, range)| range.likely() * workshop.price_index * share(id))
        .sum();
    let hours = workshop.likely_hours(repair, true, slower);
    let home_cost = workshop.likely_bill(repair, true) + tools + hours * workshop.hour_value;
    let garage_cost = workshop.garage_cost(repair);
    let skill = format!("skill {} of 5, yours {own}", repair.skill);
    if home_cost > garage_cost && wish != Some(RouteWish::Home) {
        return garage(
            format!(
                "{skill}; cheaper at a garage by about {}",
                with_commas(home_cost - garage_cost)
            ),
            None,
        );
    }
    let route = if repair.outside_fee.is_some() {
        Route::Part
    } else {
        Route::Home
    };
    let slow = if levels_short > 0 {
        format!(", {slower:.2} times the hours")
    } else {
        String::new()
    };
    Choice {
        route,
        at_home: true,
        slower,
        missing_tools,
        why: format!("{skill}{slow}"),
        note: None,
    }
}

/// Why a repair may not be done at home by this buyer, if so.
fn home_refused(
    workshop: &Workshop<'_>,
    repair: &RepairRow,
    own: u8,
    wish: Option<RouteWish>,
) -> Option<String> {
    if repair.garage_only {
        return Some("garage only: law or sense says so".to_owned());
    }
    if let Some(class) = repair.safety {
        let word = safety_word(class);
        let shown = word.replace('_', " ");
        if own < repair.skill {
            return Some(format!(
                "{shown}: never above own skill ({} of 5, yours {own})",
                repair.skill
            ));
        }
        if !workshop.buyer.takes_home.contains(word) {
            return Some(format!(
                "{shown}: never home by price alone; say in You that you do {shown}"
            ));
        }
        return None;
    }
    // One level above own skill by default, two with an explicit wish.
    let reach = if wish == Some(RouteWish::Home) { 2 } else { 1 };
    (repair.skill > own + reach).then(|| format!("skill {} of 5, yours {own}", repair.skill))
}
