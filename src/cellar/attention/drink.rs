//! Bottles that open to be drunk, and bottles that should be.

use super::fit::Look;
use super::holding::Holding;
use super::withheld::withheld;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::bottling::Package;
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;
use crate::cellar::window::{Window, window};

/// News from some days before a window opens until a month after, or until a bottle was opened.
pub(super) fn opens<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let (bottles, window) = on_hand(holding, look)?;
    let wait = window.opens.days_since(holding.now);
    let policy = holding.policy;
    if wait as f64 > policy.horizon_days || -wait as f64 > policy.rest_shown_days {
        return None;
    }
    let news = window.opens.plus_days(-(policy.horizon_days as i64));
    if holding.wine.when(Deed::Opened) >= Some(news.utc_ms) {
        return None;
    }
    let verb = if wait > 0 { "opens" } else { "is open" };
    let until = window.closes.date().format("%b %Y");
    let sentence = format!("{bottles} to drink: the window {verb}, to about {until}");
    let due = window.opens;
    Some(found(
        holding,
        ReasonKind::WindowOpens,
        due,
        Rank::Later,
        sentence,
        window,
    ))
}

/// Some months before a window closes, and from then on; not in the days after one was opened.
pub(super) fn closes<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let (bottles, window) = on_hand(holding, look)?;
    let wait = window.closes.days_since(holding.now);
    if wait as f64
        > holding
            .policy
            .drink_up_days
            .max(holding.policy.horizon_days)
    {
        return None;
    }
    let opened = holding.days_since(Deed::Opened);
    if opened.is_some_and(|it| (it as f64) < holding.policy.next_bottle_days) {
        return None;
    }
    let now = holding.now;
    let (rank, what) = if window.closes_high < now {
        (Rank::Soon, "past its window, taste one")
    } else if wait < 0 {
        (Rank::Soon, "its window has closed")
    } else {
        (Rank::Later, "its window closes")
    };
    let closes = window.closes.date().format("%b %Y");
    let sentence = format!("drink up {bottles}: {what}, about {closes}");
    let due = window.closes;
    Some(found(
        holding,
        ReasonKind::DrinkUp,
        due,
        rank,
        sentence,
        window,
    ))
}

fn on_hand(holding: &Holding, look: &Look) -> Option<(String, Window)> {
    let bottles = holding.wine.bottle_count();
    let is_filling = look.cellar.filling == Some(holding.place.key);
    if bottles <= 0 || is_filling || withheld(holding).is_some() {
        return None;
    }
    Some((Package::of(holding.place).count(bottles), window(holding)?))
}

fn found<'a>(
    holding: &Holding,
    kind: ReasonKind,
    due: Moment,
    rank: Rank,
    sentence: String,
    window: Window,
) -> Found<'a> {
    Reason {
        subject: holding.place.key,
        kind,
        due,
        rank,
        weight: match rank {
            Rank::Soon => holding.litres() * holding.policy.loss_window,
            _ => 0.0,
        },
        sentence,
        suggestion: open_one(holding),
    }
    .because(move || window.because)
}

/// To open one; where all that is left is begun, to say that it is empty.
fn open_one(holding: &Holding) -> Suggestion {
    let open = Suggestion::of("open").with("run", holding.place.name());
    let begun = Package::begun(holding.place, holding.wine);
    if begun > 0 && begun >= holding.wine.bottle_count() {
        open.with("empty", "yes")
    } else {
        open.with("count", "1")
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, Cellar, NOW, RUN};
    use super::*;
    use crate::cellar::amount::Volume;
    use crate::cellar::entry::Property;
    use crate::cellar::state::Share;
    use crate::cellar::thing::{CELLAR, Sort, Value, field};

    /// Corked bottles of a wine of that kind at 13 °C, filled so many days ago.
    fn bottles(wine: &str, days: i64) -> Cellar {
        let mut cellar = Cellar::with_bottles(23, days);
        cellar.thing(BATCH, Sort::Batch, "Regent 25");
        cellar.set(BATCH, field::WINE, wine);
        cellar.thing(CELLAR, Sort::Cellar, "Quarry Row");
        cellar.set(CELLAR, field::TEMPERATURE, Value::Real(13.0));
        cellar.wine().makeup = vec![Share {
            batch: Some(BATCH),
            volume: Volume::millilitres(750 * 23),
        }];
        cellar
    }

    fn check(wine: &str, days: i64, opens: &str, closes: &str) {
        let cellar = bottles(wine, days);
        assert_eq!(cellar.says_why(ReasonKind::WindowOpens), opens);
        assert_eq!(cellar.says_why(ReasonKind::DrinkUp), closes);
    }

    // A light red of 13 °C opens half a year (183 days) after bottling and closes three years (1,096
    // days) after; a light white two years (731 days) after: the policy's own table. Now is 25 Nov 2026.
    #[test]
    fn a_window_is_news_as_it_opens_and_as_it_closes() {
        check("red", 168, "", "");
        let soon = "  23 bottles to drink: the window opens, to about Jun 2029";
        check("red", 169, soon, "");
        let open = "  23 bottles to drink: the window is open, to about May 2029";
        check("red", 183, open, "");
        check("red", 214, "", "");
        let last = "  drink up 23 bottles: its window closes, about Nov 2026";
        check("red", 1096, "", last);
        let closed = "› drink up 23 bottles: its window has closed, about Nov 2026";
        check("red", 1100, "", closed);
        let past = "› drink up 23 bottles: past its window, taste one, about Jan 2024";
        check("white", 1780, "", past);
    }

    #[test]
    fn how_long_bottles_rest_goes_by_the_kind_of_wine() {
        let rest = |wine| crate::cellar::window::rest_days(RUN, &bottles(wine, 0).0);
        let kinds = ["white", "rose", "fruit", "unknown", "red", "sweet"];
        assert_eq!(kinds.map(rest), [28, 28, 42, 42, 56, 56]);
    }

    fn closes(change: impl FnOnce(&mut Cellar)) -> Moment {
        let mut cellar = bottles("red", 0);
        change(&mut cellar);
        let policy = super::super::trial::policy();
        let holding = Holding::of(&cellar.0, RUN, &policy).unwrap();
        window(&holding).unwrap().closes
    }

    #[test]
    fn what_is_known_moves_its_end() {
        let plain = closes(|_| {});
        assert_eq!(plain.days_since(NOW), 1096);
        let sour = closes(|it| _ = it.knows(Property::Ph, 3.2, 10));
        assert_eq!(sour.days_since(NOW), 1315);
        let capped = closes(|it| _ = it.set(RUN, field::CLOSURE, "screw-cap"));
        assert_eq!(capped.days_since(NOW), 1205);
        let tannic = closes(|it| _ = it.set(RUN, field::STYLE, "tannic-red"));
        assert_eq!(tannic.days_since(NOW), 2922);
        let warm = closes(|it| _ = it.set(CELLAR, field::TEMPERATURE, Value::Real(20.0)));
        assert_eq!(warm.days_since(NOW), 663);
    }

    #[test]
    fn what_a_person_said_wins() {
        let said = NOW.plus_days(400);
        let own = closes(|it| _ = it.set(RUN, field::WINDOW_CLOSES, Value::Int(said.utc_ms)));
        assert_eq!(own, said);
    }

    /// Bottles that were there before the book: nobody knows when they were filled.
    fn here(change: impl FnOnce(&mut Cellar)) -> Option<Window> {
        let mut cellar = bottles("red", 9);
        cellar.wine().deeds.remove(&Deed::Bottled);
        cellar.did(Deed::Begun, 9);
        cellar.set(RUN, field::FINISHED, Value::Int(NOW.plus_days(-9).utc_ms));
        change(&mut cellar);
        let policy = super::super::trial::policy();
        window(&Holding::of(&cellar.0, RUN, &policy).unwrap())
    }

    #[test]
    fn bottles_of_an_unknown_day_have_no_window_until_a_day_or_a_harvest_is_said() {
        assert_eq!(here(|_| ()), None);
        let check = |change: fn(&mut Cellar), opens: &str, spread: i64| {
            let window = here(change).unwrap();
            assert_eq!(window.opens.day_words(), opens);
            // By its harvest a bottling is known to half a year either way.
            let of_day = here(|it| _ = it.set(RUN, field::SINCE_WORDS, "2020-07-01")).unwrap();
            let early = of_day.closes_low.days_since(window.closes_low);
            assert_eq!(early, spread);
        };
        // A light red opens 183 days after it was filled; 1 Jul 2020 and those are 31 Dec.
        check(
            |it| _ = it.set(RUN, field::SINCE_WORDS, "2020-07-01"),
            "31 Dec 2020",
            0,
        );
        check(
            |it| _ = it.set(BATCH, field::VINTAGE, Value::Int(2019)),
            "31 Dec 2020",
            183,
        );
        // What was written down by a person stands for itself.
        let own = here(|it| {
            it.set(RUN, field::WINDOW_OPENS, Value::Int(NOW.utc_ms));
            it.set(
                RUN,
                field::WINDOW_CLOSES,
                Value::Int(NOW.plus_days(9).utc_ms),
            );
        });
        assert_eq!(own.unwrap().opens, NOW);
    }

    #[test]
    fn hot_bottles_have_no_window() {
        let mut cellar = bottles("red", 183);
        cellar.set(CELLAR, field::TEMPERATURE, Value::Real(29.0));
        assert_eq!(cellar.says_why(ReasonKind::WindowOpens), "");
    }
}
