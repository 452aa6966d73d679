//! A plan in words, line by line: the command line, the sheet and the screen say it so.

use super::{Closure, Fill, LEES_SHARE, Package, Plan};
use crate::cellar::amount::Volume;
use crate::cellar::attention::words;
use crate::cellar::dosing::STOCK_MADE;

/// Where a plan is read, so that it names what can be given there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Read {
    /// On the command line or on its sheet: options.
    Typed,
    /// On the screen: keys and fields.
    Shown,
}

/// What a plan takes: heading and words, in the order in which it is done.
pub fn said(plan: &Plan<'_>, read: Read) -> Vec<(&'static str, String)> {
    let mut said = vec![("Wine", wine(plan, read))];
    let fills = plan.fills.iter().filter(|it| it.bottles > 0);
    said.extend(fills.map(|it| (heading(plan.package), filled(plan, it, read))));
    said.push(("Remains", remains(plan)));
    said.push(("Closures", closures(plan)));
    said.push(("Closing", plan.closing.clone()));
    said.push(("Height", plan.height.sentence.clone()));
    let misfits = plan.misfits.iter();
    said.extend(misfits.map(|it| ("Misfit", it.sentence.clone())));
    said.push(("Sanitizer", sanitizer(plan)));
    said.push(("Sulfite", sulfite(plan, read)));
    let time = plan.minutes.map(|it| {
        let minutes = words::count(it, "minute");
        format!("about {minutes} at the filler, at your own pace so far.")
    });
    said.extend(time.map(|it| ("Time", it)));
    said
}

/// What it comes to: `29 × 750 mL, and 350 mL remains`.
pub fn head(plan: &Plan<'_>) -> String {
    let sizes: Vec<String> = plan
        .fills
        .iter()
        .filter(|it| it.bottles > 0)
        .map(|it| {
            let packages = plan.package.times(it.bottles, it.package_ml);
            if it.is_full() {
                return packages;
            }
            format!("{packages} with {}", plan.package.size_words(it.size_ml))
        })
        .collect();
    if sizes.is_empty() {
        "not enough wine for a bottle".to_owned()
    } else if let Some((lacking, _)) = plan.lacking {
        let filled = sizes.join(" and ");
        format!(
            "{filled}; you lack {} for the other {}",
            words::count(lacking, "bottle"),
            plan.remains
        )
    } else {
        format!("{}, and {} remains", sizes.join(" and "), plan.remains)
    }
}

fn wine(plan: &Plan<'_>, read: Read) -> String {
    let about = if plan.about { "about " } else { "" };
    let lees = match (plan.lees, plan.lees_unsaid) {
        (Volume::ZERO, Some([low, high])) => {
            let [least, most] = LEES_SHARE.map(|it| it * 100.0);
            format!(
                "never racked as far as it knows, and no lees counted off: such a wine has {least:.0} to {most:.0} % as a rule (from memory), \
                 {low} to {high} here. Look how high they stand, and give {}",
                match read {
                    Read::Typed => "--lees",
                    Read::Shown => "that under Lees where the bottling is begun; Ctrl-P there shows this anew",
                }
            )
        }
        (Volume::ZERO, None) => match read {
            Read::Typed => "no lees counted off; `--lees` does",
            Read::Shown => "no lees counted off; say how much under Lees where the bottling is begun, and Ctrl-P there shows this anew",
        }
        .to_owned(),
        (lees, _) => format!("of which {lees} of lees stay behind"),
    };
    format!("{about}{} by the book, {lees}.", plan.wine)
}

const fn heading(package: Package) -> &'static str {
    match package {
        Package::Bottle => "Bottles",
        Package::Jug => "Jugs",
        Package::Bag => "Bags",
        Package::Keg => "Kegs",
    }
}

fn filled(plan: &Plan<'_>, fill: &Fill, read: Read) -> String {
    let mut there = fill.empties.map_or_else(
        || "none are counted in the book".to_owned(),
        |it| it.words(),
    );
    let to_wash = plan.to_wash(fill).unwrap_or(0);
    if to_wash > 0 {
        there = format!("{there}; {to_wash} to wash");
    }
    let packages = plan.package.size_words(fill.package_ml);
    let part = if fill.is_full() {
        String::new()
    } else {
        let what = plan.package.label();
        let wine = plan.package.size_words(fill.size_ml);
        let sizes = only_full(plan);
        let none = match sizes.as_str() {
            _ if read == Read::Shown => {
                "leave it in the vessel if that is not worth one".to_owned()
            }
            "" => "leave it in the vessel if that is not worth one".to_owned(),
            _ => format!("`--sizes {sizes}` leaves that in the vessel"),
        };
        format!(" It takes a whole {what} for {wine}; {none}.")
    };
    format!("{} of {packages} ({there}).{part}", fill.bottles)
}

/// The sizes of a plan without what is filled in part, as they are typed: `1x19000`.
fn only_full(plan: &Plan<'_>) -> String {
    let full = plan
        .fills
        .iter()
        .filter(|it| it.is_full() && it.bottles > 0);
    let sizes = full.map(|it| format!("{}x{}", it.bottles, it.size_ml));
    sizes.collect::<Vec<_>>().join(",")
}

fn closures(plan: &Plan<'_>) -> String {
    if plan.closures == 0 {
        return format!(
            "each {} has its own {}.",
            plan.package.label(),
            plan.closure.label()
        );
    }
    let labels = if plan.labels == plan.closures {
        "as many capsules and labels".to_owned()
    } else {
        format!("as many capsules, and {} labels", plan.labels)
    };
    format!(
        "{} {}s ({}), spare ones among them; {labels}.",
        plan.closures,
        Closure::said(plan.closure.supply().unwrap_or_default()),
        [
            plan.closures_there
                .map_or_else(|| "none in the book".to_owned(), |it| format!("{it} there")),
            plan.corks.clone(),
        ]
        .join(", ")
        .trim_end_matches(", ")
    )
}

fn remains(plan: &Plan<'_>) -> String {
    if let Some((lacking, size_ml)) = plan.lacking {
        return format!(
            "{}: you lack {} of {size_ml} mL.",
            plan.remains,
            words::count(lacking, "bottle")
        );
    }
    let taken = plan.fills.iter().filter(|it| it.bottles > 0);
    let smallest = taken.map(|it| it.package_ml).min().unwrap_or(i64::MAX);
    let what = match plan.remains.in_litres() {
        it if it < 0.05 => "nothing to speak of",
        it if it < 0.25 => "a tasting glass",
        it if it * 1e3 >= smallest as f64 => {
            "more than those bottles take, and it cannot stay under so much air; bottle it too, or rack it into a vessel that it fills"
        }
        _ => "to top up another vessel with, or to drink soon",
    };
    format!("{}: {what}.", plan.remains)
}

fn sanitizer(plan: &Plan<'_>) -> String {
    let (made, powder) = (plan.sanitizer, &plan.sanitizer_powder);
    let stock = if powder.is_stock { STOCK_MADE } else { "" };
    format!(
        "{:.1} L: {} and {:.0} g of citric acid in cool water, wet for {:.0} minutes.{stock}",
        made.litres, powder.words, made.citric_g, made.minutes
    )
}

/// What to do, and where to see how sure it is.
fn sulfite(plan: &Plan<'_>, read: Read) -> String {
    let words = plan.sulfite.said();
    if !plan.sulfite.is_wanted() {
        return words;
    }
    match read {
        Read::Typed => format!(
            "{words} `leesline dose \"{}\"` says how sure that is.",
            plan.vessel.name()
        ),
        Read::Shown => format!("{words} Screen 2 says how sure that is."),
    }
}
