//! A page to hang on a vessel or by the bottles of a run: what it holds, what was measured, what comes next, what to mind, and
//! lines to write on with wet hands. 80 columns of plain text.

use leesline_calc::hazards::{Hazard, REFERMENTING, SULFITE_FUMES};

use super::page::Page;
use crate::cellar::attention::{Holding, Policy, Reason, ReasonKind, Stage, about};
use crate::cellar::entry::Draft;
use crate::cellar::run;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Deed;
use crate::cellar::telling;
use crate::cellar::thing::{Malo, Thing, VesselKind, field};

const WIDTH: usize = 80;
/// Lines left to write on.
const BLANK_LINES: usize = 8;
/// Jobs shown: what someone can keep in mind on the way to the vessel.
const JOBS: usize = 3;

/// The page for a vessel; `reasons` are those of the whole cellar, the most pressing first.
pub fn sheet(vessel: &Thing, cellar: &Snapshot, reasons: &[Reason]) -> Page {
    let policy = Policy::of(cellar);
    let its: Vec<&Reason> = about(vessel.key, reasons, cellar).collect();
    let mut page = Page::default();
    head(&mut page, vessel, cellar);
    match Holding::of(cellar, vessel.key, &policy) {
        Some(holding) => {
            wine(&mut page, &holding, cellar);
            next(&mut page, &its, cellar);
            mind(&mut page, &holding, &its);
        }
        None => item(&mut page, "Holds", "nothing; clean it before it is filled."),
    }
    lines_to_write_on(&mut page, BLANK_LINES);
    page
}

/// Tastings shown on the page of a run: the last ones say how it comes along.
const TASTINGS: usize = 5;

/// The page for a bottling run; `drafts` are the living entries that name it, the newest first.
pub fn of_run(run: &Thing, cellar: &Snapshot, drafts: &[&Draft], reasons: &[Reason]) -> Page {
    let mut page = Page::default();
    title(&mut page, run, cellar);
    page.line("-".repeat(WIDTH));
    let mut tastings = 0;
    // What was opened and given since is what the lines below are for.
    let gone = ["opened", "given", "broken", "poured back"];
    for (heading, words) in run::facts(run, cellar, drafts.iter().copied()) {
        tastings += usize::from(heading == "tasted");
        let is_shown = !gone.contains(&heading) && (heading != "tasted" || tastings <= TASTINGS);
        if is_shown {
            item(&mut page, &telling::capital(heading), &words);
        }
    }
    let policy = Policy::of(cellar);
    if let Some(holding) = Holding::of(cellar, run.key, &policy) {
        item(&mut page, "Measured", &measured(&holding, cellar));
        contains(&mut page, &holding);
    }
    let its: Vec<&Reason> = reasons.iter().filter(|it| it.subject == run.key).collect();
    if !its.is_empty() {
        next(&mut page, &its, cellar);
    }
    page.line("");
    let words = format!("{} ({})", REFERMENTING.sentence, REFERMENTING.source);
    item(&mut page, "Mind", &words);
    lines_to_write_on(&mut page, 2 * BLANK_LINES);
    page
}

fn lines_to_write_on(page: &mut Page, lines: usize) {
    page.line("");
    page.line(format!("{:<12}{:<60}By", "Date", "What"));
    for _ in 0..lines {
        page.line("");
        page.line(format!(
            "{}  {}  {}",
            "_".repeat(10),
            "_".repeat(58),
            "_".repeat(8)
        ));
    }
}

/// What it is called on the left, the cellar and the day on the right.
fn title(page: &mut Page, thing: &Thing, cellar: &Snapshot) {
    let right = format!("{}, {}", cellar.settings().name, cellar.now.day_words());
    let gap = WIDTH
        .saturating_sub(thing.name().chars().count() + right.chars().count())
        .max(2);
    page.line(format!("{}{}{right}", thing.name(), " ".repeat(gap)));
}

fn head(page: &mut Page, vessel: &Thing, cellar: &Snapshot) {
    title(page, vessel, cellar);
    let mut facts = vec![vessel.vessel_kind().label().to_owned()];
    facts.extend(vessel.capacity().map(|it| format!("holds {it}")));
    for (name, lead) in [
        (field::MATERIAL, ""),
        (field::CLOSURE, "closed by "),
        (field::ROOM, ""),
    ] {
        let words = vessel.text(name);
        facts.extend((!words.is_empty()).then(|| format!("{lead}{words}")));
    }
    page.line(facts.join(", "));
    page.line("-".repeat(WIDTH));
}

fn item(page: &mut Page, heading: &str, words: &str) {
    page.wrapped(&format!("{heading:<12}"), words, WIDTH);
}

fn wine(page: &mut Page, holding: &Holding, cellar: &Snapshot) {
    let wine = holding.wine;
    let batch = holding.batch.map_or("wine", Thing::name);
    let room = holding
        .headspace()
        .map_or_else(String::new, |it| format!(", headspace {it}"));
    item(
        page,
        "Holds",
        &format!("{batch}, {}{room}", wine.amount_words()),
    );
    if wine.makeup.len() > 1 {
        let shares = wine.makeup.iter().map(|it| {
            format!(
                "{} {}",
                it.volume,
                it.batch.map_or("unnamed", |it| cellar.name(it))
            )
        });
        item(page, "Made up of", &shares.collect::<Vec<_>>().join(", "));
    }
    item(page, "Stage", holding.stage().label());
    let dates = [
        (Deed::Begun, "begun"),
        (Deed::Pitched, "yeast"),
        (Deed::Pressed, "pressed"),
        (Deed::MaloStarted, "malolactic started"),
        (Deed::MaloFinished, "malolactic finished"),
        (Deed::Racked, "racked"),
        (Deed::Sulfited, "sulfited"),
        (Deed::Oaked, "oak in"),
        (Deed::Tasted, "tasted"),
    ];
    let dates = dates.iter().filter_map(|(deed, word)| {
        Some(format!(
            "{word} {}",
            cellar.now.at(wine.when(*deed)?).day_words()
        ))
    });
    item(page, "Dates", &dates.collect::<Vec<_>>().join(", "));
    item(page, "Measured", &measured(holding, cellar));
    let presumed = holding.presumed_free_so2_at(holding.now);
    if let Some(band) = holding.expected_free_so2().or(presumed) {
        let is = presumed.map_or("", |_| "presumed ");
        let by = presumed.map_or("", |_| ", by what went in");
        let aim = band
            .aim
            .map_or_else(String::new, |it| format!("; aim {it:.0}"));
        let words = match band.below {
            Some(below) => format!("free SO2 below {below:.0} mg/L today{aim}"),
            None => format!(
                "free SO2 {is}about {:.0} mg/L today ({:.0} to {:.0}){by}{aim}",
                band.mid, band.low, band.high
            ),
        };
        item(page, "Expected", &words);
    }
    item(page, "SO2 added", &wine.sulfite_so_far().to_string());
    contains(page, holding);
}

fn measured(holding: &Holding, cellar: &Snapshot) -> String {
    let readings = holding.wine.known.iter().map(|(property, known)| {
        let day = cellar.now.at(known.at_ms).day_words();
        format!(
            "{} {} ({day})",
            property.label(),
            telling::found(*property, &known.found)
        )
    });
    let readings: Vec<String> = readings.collect();
    if readings.is_empty() {
        "none yet".to_owned()
    } else {
        readings.join("; ")
    }
}

fn contains(page: &mut Page, holding: &Holding) {
    let allergens: Vec<&str> = holding.wine.allergens.iter().map(String::as_str).collect();
    if !allergens.is_empty() {
        item(page, "Contains", &allergens.join(", "));
    }
}

fn next(page: &mut Page, reasons: &[&Reason], cellar: &Snapshot) {
    page.line("");
    if reasons.is_empty() {
        item(page, "Next", "nothing for now; the cellar round.");
    }
    for (at, reason) in reasons.iter().take(JOBS).enumerate() {
        let heading = if at == 0 { "Next" } else { "" };
        let due = reason.when(cellar.now);
        item(
            page,
            heading,
            &format!("{}. {} ({due})", at + 1, reason.sentence),
        );
    }
}

const FERMENT_GAS: Hazard = Hazard {
    sentence: "The gas of a ferment fills low rooms and gives no warning: air the room before going in, and go out if light-headed.",
    short: "Ferment gas: air the room first.",
    source: COMMON_PRACTICE,
};
const PRESSURE: Hazard = Hazard {
    sentence: "A stopper on a working or warming wine is shot out or bursts the glass: airlock, not bung, and 2 to 3 cm of room below it.",
    short: "Airlock, not bung, while it works.",
    source: COMMON_PRACTICE,
};
const GLASS: Hazard = Hazard {
    sentence: "Glass slips and breaks in wet hands: use a carrier, never the neck; no hot water in cold glass; chipped or crazed ware is out; never put it under pressure, and a vacuum can implode it.",
    short: "Glass: a carrier, never the neck.",
    source: COMMON_PRACTICE,
};
const SORBATE: Hazard = Hazard {
    sentence: "Sorbate where malolactic bacteria live turns to a geranium smell that nothing cures: put none in this wine.",
    short: "No sorbate in this wine.",
    source: COMMON_PRACTICE,
};
const COMMON_PRACTICE: &str = "common practice";

fn mind(page: &mut Page, holding: &Holding, reasons: &[&Reason]) {
    let stage = holding.stage();
    let is_working = matches!(
        stage,
        Stage::Must | Stage::Fermenting | Stage::Malo | Stage::Stuck | Stage::Doubtful
    );
    let is_glass = holding.place.text(field::MATERIAL) == "glass"
        || matches!(
            holding.place.vessel_kind(),
            VesselKind::Carboy | VesselKind::Demijohn | VesselKind::Jug
        );
    let needs_sulfite = reasons.iter().any(|it| {
        matches!(
            it.kind,
            ReasonKind::SulfiteLow
                | ReasonKind::Presumed
                | ReasonKind::FirstSulfite
                | ReasonKind::MaloUnprotected
        )
    });
    let has_bacteria =
        holding.malo() == Malo::Wanted || holding.wine.when(Deed::MaloStarted).is_some();
    let cautions = [
        (is_working, FERMENT_GAS),
        (is_working, PRESSURE),
        (needs_sulfite, SULFITE_FUMES),
        (has_bacteria, SORBATE),
        (!is_working, REFERMENTING),
        (is_glass, GLASS),
    ];
    page.line("");
    let mut heading = "Mind";
    for (_, hazard) in cautions.into_iter().filter(|it| it.0) {
        let words = format!("{} ({})", hazard.sentence, hazard.source);
        item(page, heading, &words);
        heading = "";
    }
}
