//! What the book knows that makes a fault more or less likely, in words. A clue is never proof.

use leesline_calc::ferment_state::State;
use leesline_calc::sulfite::molecular_mg_l;

use crate::cellar::attention::words::{count, span};
use crate::cellar::attention::{Answer, Holding, Stage};
use crate::cellar::bottling::{IN_SOME, sign};
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;
use crate::cellar::telling;
use crate::cellar::thing::{Thing, Wine, field};

/// What one look into the book says of a fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Leaning {
    /// It is a sign of it, and which.
    For(String),
    /// It is how such a fault comes about, though many a sound wine is the same, and what that is.
    Allows(String),
    /// A look found it, and when.
    Seen(String),
    /// It makes it less likely, and why.
    Against(String),
}
use Leaning::{Against, Allows, For, Seen};

/// A look into the book; nothing where it says nothing.
pub(crate) type Clue = fn(&Holding) -> Option<Leaning>;

fn lees_days(holding: &Holding) -> Option<i64> {
    let since = holding
        .gross_lees_since()
        .filter(|_| !holding.is_bottled() && holding.is_on_gross_lees())?;
    Some(holding.days(since))
}

pub(super) fn on_gross_lees(holding: &Holding) -> Option<Leaning> {
    let days = lees_days(holding).filter(|it| *it > 0)?;
    let for_so_long = span(days);
    Some(Allows(format!(
        "{for_so_long} on its gross lees: yeast that dies gives off sulfide"
    )))
}

pub(super) fn long_on_gross_lees(holding: &Holding) -> Option<Leaning> {
    let days = lees_days(holding).filter(|it| *it as f64 >= holding.policy.long_lees_days)?;
    let for_so_long = span(days);
    Some(For(format!(
        "{for_so_long} on its gross lees: egg had time to turn"
    )))
}

pub(super) fn ferments(holding: &Holding) -> Option<Leaning> {
    let goes = holding.stage() == Stage::Fermenting && !stands_still(holding);
    goes.then(|| Allows("it still ferments by its last reading".to_owned()))
}

/// Whether a ferment stands still by its readings.
fn stands_still(holding: &Holding) -> bool {
    let by_readings = || {
        holding
            .fermentation()
            .is_some_and(|it| it.state == State::Stuck)
    };
    holding.stage() == Stage::Stuck || by_readings()
}

/// Of a ferment that is to be stuck: that its gravity still falls.
pub(super) fn falls(holding: &Holding) -> Option<Leaning> {
    let ferment = holding.fermentation()?;
    let fall = ferment.fall_per_day.unwrap_or_default();
    match ferment.state {
        State::Moving => Some(Against(format!(
            "its gravity fell by {fall:.3} a day at last"
        ))),
        State::Sluggish | State::Steady => Some(For(format!(
            "its gravity fell by no more than {:.4} a day at last",
            fall.max(0.0)
        ))),
        State::Stuck | State::NotFallen | State::Dry => None,
    }
}

/// A ferment that should have begun.
pub(super) fn has_not_fallen(holding: &Holding) -> Option<Leaning> {
    let ferment = holding.fermentation()?;
    match ferment.state {
        State::NotFallen if ferment.is_late(holding) => {
            Some(For("its gravity has not fallen yet".to_owned()))
        }
        State::NotFallen => Some(Allows("its gravity has not fallen yet".to_owned())),
        _ => Some(Against("its gravity has fallen".to_owned())),
    }
}

pub(super) fn is_must(holding: &Holding) -> Option<Leaning> {
    (holding.stage() == Stage::Must).then(|| Allows("it is must by the book".to_owned()))
}

pub(super) fn is_over(holding: &Holding) -> Option<Leaning> {
    let over = matches!(
        holding.stage(),
        Stage::OnLees | Stage::Ageing | Stage::Ready | Stage::Malo
    );
    over.then(|| Against("its ferment is over by the book".to_owned()))
}

pub(super) fn is_stuck(holding: &Holding) -> Option<Leaning> {
    let last = holding.wine.gravities.last()?;
    stands_still(holding).then(|| {
        For(format!(
            "gravity stands at {:.3}, above its end",
            last.gravity
        ))
    })
}

pub(super) fn is_sweet(holding: &Holding) -> Option<Leaning> {
    let last = holding.wine.gravities.last()?;
    let over = holding.policy.over_gravity;
    if holding.wine.when(Deed::Sweetened).is_some() {
        return None;
    }
    match holding.stage() {
        Stage::Fermenting | Stage::Must | Stage::Stuck => None,
        _ if last.gravity > over => Some(For(format!("its last gravity was {:.3}", last.gravity))),
        _ => Some(Against(format!("its last gravity was {:.3}", last.gravity))),
    }
}

pub(super) fn not_fed(holding: &Holding) -> Option<Leaning> {
    let ferments = holding.stage() == Stage::Fermenting;
    (ferments && holding.wine.when(Deed::Pitched).is_none())
        .then(|| Allows("no yeast is written down: wild yeast is often hungry".to_owned()))
}

/// Free SO2 expected now, mg/L, and what it is as molecular, mg/L, where pH is known.
fn sulfite(holding: &Holding) -> Option<(f64, Option<f64>)> {
    let free = match holding.expected_free_so2() {
        Some(band) => band.mid,
        None => holding.wine.number(Property::FreeSo2)?,
    };
    let ph = holding.known_between(Property::Ph, 2.0, 5.0);
    Some((
        free,
        ph.map(|(ph, _)| molecular_mg_l(free, ph, holding.policy.pk1)),
    ))
}

pub(super) fn sulfite_low(holding: &Holding) -> Option<Leaning> {
    let (free, molecular) = sulfite(holding)?;
    let policy = holding.policy;
    let about = match holding.expected_free_so2().and_then(|it| it.below) {
        Some(below) => format!("below {below:.0}"),
        None => format!("about {free:.0}"),
    };
    let is_low = molecular.map_or(free < policy.least_free_mg_l, |it| {
        it < policy.least_molecular_mg_l
    });
    Some(match molecular {
        Some(molecular) if is_low => Allows(format!(
            "free SO2 is {about} mg/L now, {molecular:.1} molecular: too little to guard it"
        )),
        None if is_low => Allows(format!(
            "free SO2 is {about} mg/L now: too little to guard it"
        )),
        _ => Against(format!("free SO2 is {about} mg/L now, which guards it")),
    })
}

pub(super) fn sulfite_unknown(holding: &Holding) -> Option<Leaning> {
    let is_known = sulfite(holding).is_some() || holding.wine.when(Deed::Sulfited).is_some();
    let over = !matches!(holding.stage(), Stage::Must | Stage::Fermenting);
    (!is_known && over).then(|| Allows("no sulfite is written down for it".to_owned()))
}

pub(super) fn just_sulfited(holding: &Holding) -> Option<Leaning> {
    let days = holding
        .days_since(Deed::Sulfited)
        .filter(|it| *it as f64 <= holding.policy.stings_days)?;
    let ago = if days == 0 {
        "today".to_owned()
    } else {
        format!("{} ago", span(days))
    };
    Some(Allows(format!("sulfite went in {ago}")))
}

pub(super) fn much_sulfite(holding: &Holding) -> Option<Leaning> {
    let (free, _) = sulfite(holding)?;
    let tasted = holding.policy.tasted_free_mg_l;
    let by_taste = (tasted, format!("tasted above {tasted:.0}"));
    let more = 1.0 + holding.policy.much_so2_share;
    let by_aim = |aim: f64| (aim * more, format!("aim {aim:.0}"));
    let (limit, beside) = holding.free_so2_aim().map_or(by_taste, by_aim);
    let words = format!("free SO2 is about {free:.0} mg/L, {beside}");
    Some(if free > limit {
        For(words)
    } else {
        Against(words)
    })
}

pub(super) fn air_above(holding: &Holding) -> Option<Leaning> {
    if holding.is_bottled() || matches!(holding.stage(), Stage::Fermenting | Stage::Must) {
        return None;
    }
    let room = holding.headspace()?;
    let share = holding.headspace_share()?;
    Some(if share > holding.policy.fit_share {
        Allows(format!(
            "{room} of air stands over it, {:.0} % of the vessel",
            share * 100.0
        ))
    } else {
        Against("its vessel is full".to_owned())
    })
}

/// The same, a sign of what air does where too little sulfite meets it.
pub(super) fn air_unguarded(holding: &Holding) -> Option<Leaning> {
    Some(match (air_above(holding)?, sulfite_low(holding)) {
        (Allows(why), Some(Allows(_))) => For(why),
        (other, _) => other,
    })
}

pub(super) fn dry_cap(holding: &Holding) -> Option<Leaning> {
    let open = matches!(holding.stage(), Stage::Must | Stage::Fermenting)
        && holding.wine.when(Deed::Pressed).is_none()
        && holding.batch.is_some_and(|it| {
            // Juice has no skins; who never said what it was made from is taken to have grapes.
            it.wine() == Wine::Red && matches!(it.text(field::KIND), "" | "grapes" | "fruit")
        });
    open.then(|| Allows("it ferments on its skins: a cap left dry moulds".to_owned()))
}

fn usual_c(holding: &Holding) -> Option<f64> {
    let measured = holding.known_between(Property::Temperature, -10.0, 45.0);
    measured
        .filter(|(_, known)| holding.days(known.at_ms) as f64 <= holding.policy.warmth_days)
        .map(|it| it.0)
        .or(holding.usual_c)
}

pub(super) fn warm(holding: &Holding) -> Option<Leaning> {
    let celsius = usual_c(holding).filter(|it| *it > holding.policy.hurry_c)?;
    Some(Allows(format!("it stands at {celsius:.0} °C")))
}

pub(super) fn cold(holding: &Holding) -> Option<Leaning> {
    let celsius = usual_c(holding).filter(|it| *it < holding.policy.sleep_c)?;
    Some(Allows(format!("it stands at {celsius:.0} °C")))
}

pub(super) fn volatile_high(holding: &Holding) -> Option<Leaning> {
    let va = holding.wine.number(Property::Volatile)?;
    let read = &holding.wine.known.get(&Property::Volatile)?.found;
    let said = format!(
        "volatile acidity was {}",
        telling::found(Property::Volatile, read)
    );
    Some(if va >= holding.policy.tasted_va_g_l {
        For(said)
    } else {
        Against(said)
    })
}

fn ph(holding: &Holding) -> Option<f64> {
    Some(holding.known_between(Property::Ph, 2.0, 5.0)?.0)
}

pub(super) fn high_ph(holding: &Holding) -> Option<Leaning> {
    let ph = ph(holding).filter(|it| *it >= holding.policy.bacteria_ph)?;
    Some(Allows(format!(
        "pH is {ph:.2}, and bacteria live well there"
    )))
}

pub(super) fn low_ph(holding: &Holding) -> Option<Leaning> {
    let ph = ph(holding)?;
    let words = format!("pH is {ph:.2}");
    if ph < holding.policy.sour_ph {
        Some(For(words))
    } else {
        (ph >= holding.policy.bacteria_ph).then_some(Against(words))
    }
}

pub(super) fn malo_open(holding: &Holding) -> Option<Leaning> {
    if holding.malo_is_open() {
        Some(Allows(
            "malolactic conversion is under way or wanted".to_owned(),
        ))
    } else {
        holding
            .malo_is_finished()
            .then(|| Against("malolactic conversion was found finished".to_owned()))
    }
}

pub(super) fn sorbate_and_bacteria(holding: &Holding) -> Option<Leaning> {
    let sorbated = holding.wine.when(Deed::Sorbated)?;
    let day = holding.now.at(sorbated).day_words();
    let malo = holding.wine.when(Deed::MaloStarted).is_some() || holding.malo_is_open();
    let unguarded =
        !matches!(sulfite(holding), Some((_, Some(it))) if it >= holding.policy.aim_red_mg_l);
    match (malo, unguarded) {
        (true, _) => Some(For(format!(
            "sorbate went in on {day}, and malolactic bacteria have been at work"
        ))),
        (false, true) => Some(Allows(format!(
            "sorbate went in on {day}, and not enough free SO2 for its pH is known beside it"
        ))),
        (false, false) => None,
    }
}

pub(super) fn no_sorbate(holding: &Holding) -> Option<Leaning> {
    holding
        .wine
        .when(Deed::Sorbated)
        .is_none()
        .then(|| Against("no sorbate is written down for it".to_owned()))
}

pub(super) fn gas_found(holding: &Holding) -> Option<Leaning> {
    let (word, at) = holding.word(Property::Gas)?;
    let day = holding.now.at(at).day_words();
    Some(if word == "none" {
        Against(format!("no gas was found on {day}"))
    } else {
        let word = word.trim_end_matches(IN_SOME);
        For(format!("{word} gas was found on {day}"))
    })
}

/// The same of bottles, where gas is the fault itself.
pub(super) fn gas_in_bottles(holding: &Holding) -> Option<Leaning> {
    Some(match gas_found(holding)? {
        For(why) if holding.is_bottled() => Seen(why),
        other => other,
    })
}

pub(super) fn corks_found(holding: &Holding) -> Option<Leaning> {
    let (word, at) = holding.word(Property::Corks)?;
    let day = holding.now.at(at).day_words();
    Some(
        if sign(Property::Corks, &word).is_some_and(|it| it.bursts) {
            Seen(format!("corks were found rising on {day}"))
        } else {
            Against(format!("corks were found {word} on {day}"))
        },
    )
}

pub(super) fn seepage_found(holding: &Holding) -> Option<Leaning> {
    let (word, at) = holding.word(Property::Seepage)?;
    let day = holding.now.at(at).day_words();
    Some(if word == "none" {
        Against(format!("nothing seeped on {day}"))
    } else {
        let word = word.trim_end_matches(IN_SOME);
        Seen(format!("{word} seepage was found on {day}"))
    })
}

pub(super) fn hazy(holding: &Holding) -> Option<Leaning> {
    let (word, at) = holding.word(Property::Clarity)?;
    let day = holding.now.at(at).day_words();
    Some(
        if matches!(word.as_str(), "clear" | "bright" | "brilliant") {
            Against(format!("it was {word} on {day}"))
        } else {
            Allows(format!("it was {word} on {day}"))
        },
    )
}

/// The same once the ferment, which keeps any wine cloudy, is over: a sign that it will not clear by itself.
pub(super) fn stays_hazy(holding: &Holding) -> Option<Leaning> {
    let works = matches!(holding.stage(), Stage::Must | Stage::Fermenting);
    Some(match hazy(holding)? {
        Allows(why) if !works => For(why),
        other => other,
    })
}

pub(super) fn never_fined(holding: &Holding) -> Option<Leaning> {
    // Of a wine that was here before the book nobody knows.
    let is_known = holding.wine.when(Deed::BeforeBook).is_none();
    match holding.wine.when(Deed::Fined) {
        Some(at) => {
            let day = holding.now.at(at).day_words();
            Some(Against(format!("it was fined on {day}")))
        }
        None => is_known.then(|| Allows("no fining is written down".to_owned())),
    }
}

pub(super) fn not_degassed(holding: &Holding) -> Option<Leaning> {
    (holding.wine.when(Deed::Degassed).is_none() && holding.wine.when(Deed::Begun).is_some())
        .then(|| Allows("nobody wrote down that its gas is out".to_owned()))
}

/// Bottles that were filled though the book does not show that nothing can ferment in them.
pub(super) fn may_burst(holding: &Holding) -> Option<Leaning> {
    if !holding.is_bottled() || holding.place.int(field::VESSEL).is_none() {
        return None;
    }
    let gate = holding.gate();
    let mut open = gate
        .iter()
        .filter(|it| it.answer != Answer::Yes && it.risks_bursting());
    Some(match open.next() {
        Some(item) => {
            let evidence = item.evidence.first().map_or("", String::as_str);
            let evidence = evidence.trim_end_matches('.');
            For(format!(
                "it was bottled without being shown finished and stable: {evidence}"
            ))
        }
        None => Against("it was shown finished and stable before it was bottled".to_owned()),
    })
}

fn kind(holding: &Holding) -> Option<Wine> {
    holding.batch.map(Thing::wine)
}

pub(super) fn is_white(holding: &Holding) -> Option<Leaning> {
    matches!(kind(holding)?, Wine::White | Wine::Rose)
        .then(|| Allows("whites and pale wines have the most protein".to_owned()))
}

pub(super) fn is_fruit(holding: &Holding) -> Option<Leaning> {
    Some(if kind(holding)? == Wine::Fruit {
        Allows("it is a fruit wine".to_owned())
    } else {
        Against("it is no fruit wine".to_owned())
    })
}

pub(super) fn young(holding: &Holding) -> Option<Leaning> {
    let days = holding
        .days_since(Deed::Begun)
        .filter(|it| (*it as f64) < holding.policy.young_days)?;
    Some(Allows(format!("it is {} old", span(days))))
}

pub(super) fn just_bottled(holding: &Holding) -> Option<Leaning> {
    let days = holding.days_since(Deed::Bottled)?;
    Some(if days as f64 <= holding.policy.shock_days {
        Allows(format!("bottled {} ago", span(days)))
    } else {
        Against(format!("bottled {} ago", span(days)))
    })
}

pub(super) fn oak_in(holding: &Holding) -> Option<Leaning> {
    let days = holding.days_since(Deed::Oaked)?;
    Some(Allows(format!("oak has been in it for {}", span(days))))
}

pub(super) fn in_wood(holding: &Holding) -> Option<Leaning> {
    (holding.place.text(field::MATERIAL) == "wood").then(|| Allows("it lies in wood".to_owned()))
}

pub(super) fn in_plastic(holding: &Holding) -> Option<Leaning> {
    (holding.place.text(field::MATERIAL) == "plastic")
        .then(|| Allows("it stands in plastic".to_owned()))
}

pub(super) fn under_cork(holding: &Holding) -> Option<Leaning> {
    let closure = holding.place.text(field::CLOSURE);
    if !holding.is_bottled() || closure.is_empty() {
        return None;
    }
    let bottles = count(holding.wine.bottle_count(), "bottle");
    Some(if closure.contains("cork") {
        Allows(format!("its {bottles} are under cork"))
    } else {
        Against(format!(
            "its {bottles} are closed with {}",
            closure.replace('-', " ")
        ))
    })
}

pub(super) fn in_vessel(holding: &Holding) -> Option<Leaning> {
    (!holding.is_bottled()).then(|| Against("it is not in bottles".to_owned()))
}

pub(super) fn under_airlock(holding: &Holding) -> Option<Leaning> {
    let closure = holding.place.text(field::CLOSURE);
    (closure == "airlock").then(|| Allows("it stands under an airlock".to_owned()))
}

pub(super) fn too_full(holding: &Holding) -> Option<Leaning> {
    let (share, asked) = holding.room_for_foam()?;
    (share < asked?).then(|| {
        Allows(format!(
            "only {:.0} % of the vessel is left for foam",
            share * 100.0
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::attention::Policy;
    use crate::cellar::attention::trial::{Cellar, policy};

    /// What a clue says of a wine by the usual thresholds, and by others.
    fn check(clue: Clue, build: impl Fn(&mut Cellar), moved: impl Fn(&mut Policy)) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        let usual = policy();
        let mut other = policy();
        moved(&mut other);
        let leans = |policy: &Policy| {
            let leaning = clue(&cellar.holding(policy));
            leaning.map(|it| std::mem::discriminant(&it))
        };
        assert_ne!(leans(&usual), leans(&other));
    }

    /// No clue has a threshold of its own: each turns where the policy that is shown says so.
    #[test]
    fn every_clue_turns_where_the_policy_says() {
        let free = |it: &mut Cellar| _ = it.knows(Property::FreeSo2, 20.0, 0);
        check(sulfite_low, free, |it| it.least_free_mg_l = 30.0);
        let ph = |it: &mut Cellar| {
            _ = it
                .knows(Property::FreeSo2, 20.0, 0)
                .knows(Property::Ph, 3.3, 0);
        };
        check(sulfite_low, ph, |it| it.least_molecular_mg_l = 0.7);
        check(sulfite_low, ph, |it| it.pk1 = 1.4);
        check(much_sulfite, free, |it| it.tasted_free_mg_l = 19.0);
        let strong = |it: &mut Cellar| {
            _ = it
                .knows(Property::FreeSo2, 40.0, 0)
                .knows(Property::Ph, 3.3, 0);
        };
        check(much_sulfite, strong, |it| it.much_so2_share = 0.9);
        let dosed = |it: &mut Cellar| _ = it.did(Deed::Sulfited, 20);
        check(just_sulfited, dosed, |it| it.stings_days = 30.0);
        let warm_once = |it: &mut Cellar| _ = it.knows(Property::Temperature, 25.0, 20);
        check(warm, warm_once, |it| it.warmth_days = 10.0);
        check(warm, warm_once, |it| it.hurry_c = 26.0);
        let chilly = |it: &mut Cellar| _ = it.knows(Property::Temperature, 14.0, 2);
        check(cold, chilly, |it| it.sleep_c = 15.0);
        let sharp = |it: &mut Cellar| _ = it.knows(Property::Volatile, 0.5, 2);
        check(volatile_high, sharp, |it| it.tasted_va_g_l = 0.4);
        let flat = |it: &mut Cellar| _ = it.knows(Property::Ph, 3.5, 2);
        check(high_ph, flat, |it| it.bacteria_ph = 3.4);
        check(low_ph, flat, |it| it.sour_ph = 3.55);
        let sorbated = |it: &mut Cellar| {
            it.knows(Property::FreeSo2, 40.0, 0)
                .knows(Property::Ph, 3.3, 0);
            it.did(Deed::Sorbated, 5);
        };
        check(sorbate_and_bacteria, sorbated, |it| it.aim_red_mg_l = 1.5);
        let on_lees = |it: &mut Cellar| {
            it.never(Deed::Racked);
            it.gravities(&[(80, 1.090), (40, 0.995)]);
        };
        check(long_on_gross_lees, on_lees, |it| it.long_lees_days = 30.0);
        let begun = |it: &mut Cellar| _ = it.did(Deed::Begun, 100);
        check(young, begun, |it| it.young_days = 90.0);
        let bottled = |it: &mut Cellar| _ = it.did(Deed::Bottled, 70);
        check(just_bottled, bottled, |it| it.shock_days = 90.0);
    }
}
