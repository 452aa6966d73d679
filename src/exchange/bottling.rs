//! The plan of a bottling as a page: to read, and to take into the kitchen.

use leesline_calc::hazards::{SOUR_SULFITE, SULFITE_FUMES};

use super::json;
use super::page::Page;
use crate::cellar::amount::Volume;
use crate::cellar::attention::{Answer, GateItem, words};
use crate::cellar::bottling::{Closure, Fill, LEES_SHARE, Package, Plan};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;

const WIDTH: usize = 80;

/// What a plan says, the answer first; `to_tick` puts a box before each line for a pencil.
pub fn page(
    plan: &Plan<'_>,
    (day, gate): (Moment, &[GateItem]),
    cellar: &Snapshot,
    to_tick: bool,
) -> Page {
    let mut page = Page::default();
    let tick = if to_tick { "[ ] " } else { "" };
    page.line(format!("{}: {}", plan.vessel.name(), head(plan)));
    if to_tick {
        page.line(format!(
            "{}, {}",
            cellar.settings().name,
            cellar.now.day_words()
        ));
    }
    page.line("");
    for it in &plan.short {
        page.wrapped("Short       ", &format!("{}.", it.words()), WIDTH);
    }
    let mut item = |heading: &str, words: String| {
        page.wrapped(&format!("{tick}{heading:<12}"), &words, WIDTH);
    };
    item("Wine", wine(plan));
    for fill in plan.fills.iter().filter(|it| it.bottles > 0) {
        item(heading(plan.package), filled(plan, fill));
    }
    item("Remains", remains(plan));
    item("Closures", closures(plan));
    item("Closing", plan.closing.clone());
    for misfit in &plan.misfits {
        item("Misfit", misfit.sentence.clone());
    }
    let made = plan.sanitizer;
    item(
        "Sanitizer",
        format!(
            "{:.1} L: {} and {:.0} g of citric acid in cool water, wet for {:.0} minutes.",
            made.litres, plan.sanitizer_powder, made.citric_g, made.minutes
        ),
    );
    item("Sulfite", sulfite(plan));
    if let Some(minutes) = plan.minutes {
        item(
            "Time",
            format!(
                "about {} at the filler, at your own pace so far.",
                words::count(minutes, "minute")
            ),
        );
    }
    page.line("");
    if day.days_since(cellar.now) > 0 {
        page.line(format!("If it is bottled on {}:", day.day_words()));
    }
    questions(&mut page, gate);
    for hazard in [plan.package.hazard(), SOUR_SULFITE, SULFITE_FUMES] {
        page.wrapped("! ", hazard.short, WIDTH);
    }
    page
}

fn head(plan: &Plan<'_>) -> String {
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

fn wine(plan: &Plan<'_>) -> String {
    let about = if plan.about { "about " } else { "" };
    let lees = match (plan.lees, plan.lees_unsaid) {
        (Volume::ZERO, Some([low, high])) => {
            let [least, most] = LEES_SHARE.map(|it| it * 100.0);
            format!(
                "never racked as far as it knows, and no lees counted off: such a wine has {least:.0} to {most:.0} % as a rule (from memory), \
                 {low} to {high} here. Look how high they stand, and give --lees"
            )
        }
        (Volume::ZERO, None) => "no lees counted off; `--lees` does".to_owned(),
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

fn filled(plan: &Plan<'_>, fill: &Fill) -> String {
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
    format!(
        "{} {}s ({}), spare ones among them; as many capsules and labels.",
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
    let what = match plan.remains.in_litres() {
        it if it < 0.05 => "nothing to speak of",
        it if it < 0.25 => "a tasting glass",
        _ => "to top up another vessel with, or to drink soon",
    };
    format!("{}: {what}.", plan.remains)
}

/// What to do, and where to see how sure it is.
fn sulfite(plan: &Plan<'_>) -> String {
    let words = plan.sulfite.said();
    if !plan.sulfite.is_wanted() {
        return words;
    }
    format!(
        "{words} `leesline dose \"{}\"` says how sure that is.",
        plan.vessel.name()
    )
}

/// What is not a yes says what speaks against it and what to do; what may burst a bottle says so once, at the end.
fn questions(page: &mut Page, gate: &[GateItem]) {
    for item in gate {
        let (sign, words) = match item.answer {
            Answer::Yes => ("yes", item.evidence.join(" ")),
            Answer::No => ("NO", against(item)),
            Answer::NotKnown => ("not known", against(item)),
        };
        page.wrapped(
            &format!("{sign:<11}"),
            &format!("{} {words}", item.question),
            WIDTH,
        );
        if let Some(suggestion) = &item.suggestion {
            let besides = json::besides(suggestion);
            let besides = besides.map_or(String::new(), |it| format!(", {it}"));
            let command = format!("`{}`{besides}", json::command_line(suggestion));
            page.wrapped("           ", &command, WIDTH);
        }
    }
    if let Some(item) = gate.iter().find(|it| it.risks_bursting()) {
        page.line("");
        page.wrapped("! ", item.hazard, WIDTH);
    }
}

fn against(item: &GateItem) -> String {
    format!("{} {}", item.evidence.join(" "), item.what_to_do)
}
