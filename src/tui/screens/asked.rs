//! What Money asks of the engine by a key and waits for: two prices tied to a check, and what would change the mind. An answer holds for
//! the car as it was asked about; after any change it is asked anew.

use crate::engine::find_out::Mind;
use crate::engine::two_prices::TwoPrices;
use crate::tui::app::{App, Effect};
use crate::tui::overlay::Overlay;
use crate::tui::say;
use std::sync::Arc;

/// Two prices, or why there are none, with how many checks can carry them.
pub type TwoCame = Result<(TwoPrices, usize), String>;

/// Which car was asked about, and how it stood then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// Car.
    pub slug: String,
    /// Its newest request for figures at that time.
    pub ticket: u64,
}

/// What is waited for, and what came.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MoneyView {
    /// Two prices: about what, for which check in order, what came.
    pub two: Option<(About, usize, Option<TwoCame>)>,
    /// What would change the mind.
    pub mind: Option<(About, Option<Arc<Mind>>)>,
}

fn about(app: &App) -> Option<About> {
    let entry = app.data.car()?;
    Some(About {
        slug: entry.slug.clone(),
        ticket: entry.ticket,
    })
}

/// Asks for two prices: for the check most worth its minutes, then for the next one.
pub fn ask_two(app: &mut App) -> Vec<Effect> {
    let Some(about) = about(app) else {
        return Vec::new();
    };
    let at = match &app.views.money.two {
        Some((known, at, Some(_))) if *known == about => at + 1,
        Some((known, at, None)) if *known == about => *at,
        _ => 0,
    };
    app.views.money.two = Some((about.clone(), at, None));
    app.say("working out two prices".to_owned());
    vec![Effect::TwoPrices { about, at }]
}

/// Two prices came.
pub fn two_came(app: &mut App, about: &About, at: usize, came: TwoCame) {
    match &came {
        // What is said in money is not said while it is hidden.
        _ if app.hidden => {}
        Err(why) => app.say(why.clone()),
        Ok((two, _)) => {
            let [good, bad] = [two.good.price, two.bad.price].map(say::money);
            app.say(format!(
                "{good} if {} comes out well, {bad} if not",
                two.name
            ));
        }
    }
    if let Some((known, wanted, kept)) = &mut app.views.money.two
        && known == about
        && *wanted == at
    {
        *kept = Some(came);
    }
}

/// The two prices of the car in hand, if they were asked for and still hold.
#[must_use]
pub fn two(app: &App) -> Option<&(TwoPrices, usize)> {
    let (known, _, came) = app.views.money.two.as_ref()?;
    let holds = about(app).as_ref() == Some(known);
    came.as_ref().filter(|_| holds)?.as_ref().ok()
}

/// Opens what would change the mind, and asks for it unless it is known.
pub fn ask_mind(app: &mut App) -> Vec<Effect> {
    let Some(about) = about(app) else {
        return Vec::new();
    };
    app.overlay = Some(Overlay::Mind(0));
    if mind(app).is_some() {
        return Vec::new();
    }
    app.views.money.mind = Some((about.clone(), None));
    vec![Effect::Mind { about }]
}

/// It came.
pub fn mind_came(app: &mut App, about: &About, came: Arc<Mind>) {
    if let Some((known, kept)) = &mut app.views.money.mind
        && known == about
    {
        *kept = Some(came);
    }
}

/// What would change the mind about the car in hand, if it was asked for and still holds.
#[must_use]
pub fn mind(app: &App) -> Option<&Mind> {
    let (known, came) = app.views.money.mind.as_ref()?;
    let holds = about(app).as_ref() == Some(known);
    came.as_deref().filter(|_| holds)
}
