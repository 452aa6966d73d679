//! A gravity that is older than the sugar in the wine, and what it is about now.

use super::holding::Holding;
use super::words::gravity;
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;
use crate::cellar::sugars::Dissolved;

/// Sugar that went in since gravity was last measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SinceRead {
    /// When, UTC ms.
    pub at_ms: i64,
    /// How much is in the wine that is here, g; `None` where nobody weighed it.
    pub sugar_g: Option<f64>,
    /// The gravity that comes of it.
    pub about: Option<f64>,
}

impl Holding<'_> {
    /// What the wine was sweetened with since its gravity was last measured; `None` where nothing was, or no gravity is known.
    pub fn sweetened_since_read(&self) -> Option<SinceRead> {
        let last = self.wine.gravities.last()?;
        let at_ms = self.wine.when(Deed::Sweetened);
        let at_ms = at_ms.filter(|it| *it > last.at_ms)?;
        let sugar_g = self.wine.weighed.sweetened.in_grams();
        let sugar_g = (sugar_g > 0.0).then_some(sugar_g);
        let litres = self.litres();
        let is_known = self.wine.unmeasured.is_none() && litres > 0.0;
        let about = sugar_g
            .filter(|_| is_known)
            .map(|sugar_g| Dissolved::sugar(sugar_g).raises(last.gravity, litres));
        Some(SinceRead {
            at_ms,
            sugar_g,
            about,
        })
    }

    /// What is to be said behind a reading: `, before 400 g of sugar; about 1.025 now` of such a gravity, nothing of any other.
    pub fn after_reading(&self, property: Property) -> String {
        let since = match property {
            Property::Gravity => self.sweetened_since_read(),
            _ => None,
        };
        since.map_or_else(String::new, |it| format!(", {}", it.words()))
    }

    /// The same in a sentence.
    pub(super) fn sweetened_line(&self) -> Option<String> {
        let since = self.sweetened_since_read()?;
        let day = self.day(since.at_ms);
        Some(match (since.sugar_g, since.about) {
            (Some(sugar_g), Some(about)) => format!(
                "That gravity is from before {sugar_g:.0} g of sugar went in on {day}: it is about {} now.",
                gravity(about)
            ),
            _ => format!("That gravity is from before sugar went in on {day}: measure it again."),
        })
    }
}

impl SinceRead {
    /// `before 400 g of sugar; about 1.025 now`.
    fn words(&self) -> String {
        let sugar = self
            .sugar_g
            .map_or("sugar".to_owned(), |it| format!("{it:.0} g of sugar"));
        let about = self.about.map(|it| format!("; about {} now", gravity(it)));
        format!("before {sugar}{}", about.unwrap_or_default())
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, policy};
    use super::*;
    use crate::cellar::amount::Mass;

    /// 10.4 L at 1.011 weigh 10.495 kg; with 400 g in 10.648 L they come to 1.0250 of water's 0.9982 kg/L.
    #[test]
    fn a_gravity_from_before_the_sugar_is_said_to_be_so() {
        let says = |build: &dyn Fn(&mut Cellar)| {
            let mut cellar = Cellar::with_vessel(23.0, 10.648);
            cellar.finished().gravities(&[(40, 1.011), (30, 1.011)]);
            build(&mut cellar);
            let policy = policy();
            let since = cellar.holding(&policy).sweetened_since_read();
            since.map(|it| it.words())
        };
        assert_eq!(says(&|_| ()), None);
        let sweetened = |it: &mut Cellar| {
            it.wine().weighed.sweetened = Mass::grams(400.0);
            it.did(Deed::Sweetened, 10);
        };
        let words = "before 400 g of sugar; about 1.025 now";
        assert_eq!(says(&sweetened).as_deref(), Some(words));
        let unweighed = |it: &mut Cellar| _ = it.did(Deed::Sweetened, 10);
        assert_eq!(says(&unweighed).as_deref(), Some("before sugar"));
        let read_since = |it: &mut Cellar| {
            it.did(Deed::Sweetened, 10);
            it.gravities(&[(40, 1.011), (5, 1.025)]);
        };
        assert_eq!(says(&read_since), None);
    }
}
