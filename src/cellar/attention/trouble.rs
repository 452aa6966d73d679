//! Wine that was marked as troubled, until that is over.

use super::fit::Look;
use super::holding::Holding;
use super::waiting::DANGER;
use super::words::count;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::trouble::{self, Safety, follow};

/// One reason a place, however much is wrong with it: the most pressing fault gives its rank.
pub(super) fn rule<'a>(holding: &'a Holding, look: &'a Look) -> Option<Found<'a>> {
    let troubles = &holding.wine.troubles;
    let (first, since) = troubles
        .iter()
        .min_by_key(|(word, at_ms)| (rank(word), **at_ms))?;
    let names: Vec<&str> = troubles.keys().map(|it| trouble::name(it)).collect();
    let mut sentence = format!("marked with {}", names.join(", "));
    let safety = trouble::worst(holding.wine).map(|it| it.0.safety);
    match safety {
        Some(Safety::Unsafe) => sentence.push_str("; do not drink it"),
        Some(Safety::NotYet) => sentence.push_str("; do not drink it yet"),
        Some(Safety::Safe | Safety::Spoiled) | None => {}
    }
    // Whether they have it too, only a look tells.
    let same = follow(holding.place.key, look.cellar, []).whereabouts;
    let bottles: i64 = same.runs.iter().map(|it| it.1).sum();
    if bottles > 0 && !holding.is_bottled() {
        sentence = format!(
            "{sentence}; look at {} of the same wine",
            count(bottles, "bottle")
        );
    }
    let why = move || {
        let mut lines = Vec::new();
        for (word, at_ms) in troubles {
            let name = trouble::name(word);
            lines.push(format!("Marked with {name} on {}.", holding.day(*at_ms)));
            let Some(fault) = trouble::find(word) else {
                continue;
            };
            lines.push(format!("Safe to drink? {}", fault.drink));
            lines.extend(fault.today.iter().map(|it| (*it).to_owned()));
            lines.extend(fault.never.iter().map(|it| (*it).to_owned()));
            lines.extend(fault.hazards.iter().map(|it| it.sentence.to_owned()));
            lines.push(format!("Sources: {}.", fault.sources().join("; ")));
        }
        lines
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Trouble,
            due: holding.now.at(*since),
            rank: rank(first),
            weight: if safety.is_some_and(Safety::harms) {
                DANGER + holding.litres()
            } else {
                holding.litres() * holding.policy.loss_trouble
            },
            sentence,
            suggestion: answer(holding, first, safety),
        }
        .because(why),
    )
}

/// What nobody may drink is poured away; whether else it is over, the person says.
pub(super) fn answer(holding: &Holding, word: &str, safety: Option<Safety>) -> Suggestion {
    let place = holding.place.name();
    match safety {
        Some(Safety::Unsafe) => Suggestion::of("discard").with("place", place),
        _ => Suggestion::of("trouble over")
            .with("place", place)
            .with("fault", word),
    }
}

fn rank(word: &str) -> Rank {
    trouble::find(word).map_or(Rank::Soon, |it| it.rank)
}
