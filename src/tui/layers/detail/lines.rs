//! What is told of a vessel or run, line by line.

use ratatui::text::{Line, Span};

use crate::cellar::attention::Fermentation;
use crate::cellar::entry::{Found, Property};
use crate::cellar::racks::Racks;
use crate::cellar::run;
use crate::cellar::state::{Deed, SulfiteSoFar, Wine};
use crate::cellar::telling;
use crate::cellar::thing::{Sort, field};
use crate::tui::glance::{self, Glance};
use crate::tui::message::{Facts, Told};
use crate::tui::theme::{self, Theme};
use crate::tui::widgets::vessel::Size;
use crate::tui::widgets::{chart, text};
use crate::tui::words;

/// Columns of a label.
const LABEL: usize = 18;
/// Columns of a line of readings.
const CHART: usize = 24;

/// Everything, from the top.
pub(super) fn all(
    glance: &Glance<'_>,
    entries: &[Told],
    facts: &Facts,
    theme: Theme,
    cells: usize,
) -> Vec<Line<'static>> {
    let mut lines = head(glance, facts, theme, cells);
    let reasons: Vec<_> = facts.reasons_for(glance.thing.key).collect();
    if !reasons.is_empty() {
        heading(&mut lines, "Needs you", theme);
    }
    for reason in reasons {
        let (key, verb) = glance::next(reason);
        let due = reason.when(facts.cellar.now);
        let room = cells.saturating_sub(3 + 17 + 14);
        lines.push(Line::from(vec![
            Span::styled(
                format!(" {} ", theme::sign(reason.rank)),
                theme.rank(reason.rank),
            ),
            Span::raw(text::fit(&reason.sentence, room)),
            Span::styled(text::fit_right(&due, 17), theme.dim()),
            Span::raw("  "),
            Span::styled(key, theme.key()),
            Span::raw(format!(" {verb}")),
        ]));
    }
    let readings = readings(glance, entries, facts, theme, cells);
    if !readings.is_empty() {
        heading(&mut lines, "Readings", theme);
        lines.extend(readings);
    }
    let because = run::window_because(glance.thing, &facts.cellar);
    if !because.is_empty() {
        heading(&mut lines, "When to drink it", theme);
    }
    for line in because {
        let parts = text::wrap(&line, cells.saturating_sub(3)).into_iter();
        lines.extend(parts.map(|it| Line::from(format!("   {it}"))));
    }
    if let Some(wine) = glance.wine {
        heading(&mut lines, "Done", theme);
        let done = text::wrap(&deeds(wine, facts), cells.saturating_sub(3));
        lines.extend(done.into_iter().map(|it| Line::from(format!("   {it}"))));
    }
    if !entries.is_empty() {
        heading(&mut lines, "From the book", theme);
    }
    for told in entries.iter().filter(|it| it.entry.is_living()) {
        let date = told.entry.draft.when.day_words();
        let parts = text::wrap(&words::entry(told, facts), cells.saturating_sub(17));
        for (at, part) in parts.into_iter().enumerate() {
            let date = if at == 0 { date.as_str() } else { "" };
            lines.push(Line::from(vec![
                Span::styled(format!("   {}", text::fit(date, 14)), theme.dim()),
                Span::raw(part),
            ]));
        }
    }
    lines
}

fn heading(lines: &mut Vec<Line<'static>>, title: &'static str, theme: Theme) {
    lines.push(Line::default());
    lines.push(Line::from(Span::styled(title, theme.strong())));
}

/// What it holds, beside the picture.
fn head(glance: &Glance<'_>, facts: &Facts, theme: Theme, cells: usize) -> Vec<Line<'static>> {
    let is_vessel = glance.thing.sort == Sort::Vessel;
    let indent = if is_vessel {
        usize::from(Size::Small.width()) + 2
    } else {
        1
    };
    let mut said: Vec<(&str, String)> = Vec::new();
    if is_vessel {
        let headspace = glance
            .headspace()
            .map_or(String::new(), |it| format!(", {it}"));
        said.push(("Holds", format!("{}{headspace}", glance.volume())));
    }
    if let Some(wine) = glance.wine {
        said.extend(of_wine(glance, wine, facts));
    }
    if is_vessel {
        said.push(("Vessel", vessel_words(glance)));
    }
    let room = cells.saturating_sub(indent + LABEL);
    let mut lines: Vec<Line<'static>> = Vec::new();
    for (label, words) in said {
        for (at, part) in text::wrap(&words, room).into_iter().enumerate() {
            let label = if at == 0 { label } else { "" };
            let label = telling::capital(label);
            lines.push(Line::from(vec![
                Span::raw(" ".repeat(indent)),
                Span::styled(text::fit(&label, LABEL), theme.dim()),
                Span::raw(part),
            ]));
        }
    }
    let least = if is_vessel {
        usize::from(Size::Small.height())
    } else {
        0
    };
    while lines.len() < least {
        lines.push(Line::default());
    }
    lines
}

fn of_wine(glance: &Glance<'_>, wine: &Wine, facts: &Facts) -> Vec<(&'static str, String)> {
    let mut said = Vec::new();
    if wine.makeup.len() > 1 {
        let mut shares: Vec<_> = wine.makeup.iter().collect();
        shares.sort_by_key(|it| std::cmp::Reverse(it.volume));
        let shares = shares.iter().map(|it| {
            let name = it
                .batch
                .map_or("wine without a name", |key| facts.cellar.name(key));
            let share = 100.0 * it.volume.0 as f64 / wine.volume.0.max(1) as f64;
            format!("{name} {share:.0} %")
        });
        said.push(("Made up of", shares.collect::<Vec<_>>().join(", ")));
    }
    let age = glance
        .days(facts)
        .map(|it| format!("{} old", words::span(it)));
    let stage = match glance.stage {
        Some(_) if facts.cellar.is_being_bottled(glance.thing.key) => {
            Some("being bottled".to_owned())
        }
        known => known.map(|it| it.label().to_owned()),
    };
    let age: Vec<String> = age.into_iter().chain(stage).collect();
    if !age.is_empty() {
        said.push(("Now", age.join(", ")));
    }
    let racks = Racks::of(&facts.cellar.things);
    for words in telling::bottle_lots(glance.thing, &wine.bottles, &racks) {
        said.push(("Bottles", words));
    }
    if glance.thing.sort == Sort::Run {
        said.extend(run::bottles(glance.thing, &facts.cellar));
    }
    let ferment = glance.ferment.as_ref().map(Fermentation::sentence);
    said.extend(ferment.map(|it| ("Ferment", it)));
    if let Some(band) = glance.band() {
        let aim = band.aim.map(|it| format!(", aim {it:.0}"));
        said.push((
            "Free SO2",
            format!("{band} mg/L{}", aim.unwrap_or_default()),
        ));
    }
    if wine.sulfite_so_far() != SulfiteSoFar::Whole(0.0) {
        said.push(("SO2 added", wine.sulfite_so_far().to_string()));
    }
    if !wine.allergens.is_empty() {
        let allergens: Vec<&str> = wine.allergens.iter().map(String::as_str).collect();
        said.push(("Allergens", allergens.join(", ")));
    }
    said
}

/// Kind, make and place of a vessel.
fn vessel_words(glance: &Glance<'_>) -> String {
    let thing = glance.thing;
    let mut words = vec![thing.vessel_kind().label().to_owned()];
    words.extend(thing.mark().map(|it| format!("marked {it}")));
    words.extend(thing.brim().map(|it| format!("{it} to the brim")));
    for name in [field::MATERIAL, field::CLOSURE, field::ROOM] {
        let text = thing.text(name);
        if !text.is_empty() {
            words.push(text.to_owned());
        }
    }
    words.join(", ")
}

/// Each property measured, as a line of readings with the last of them in words.
fn readings(
    glance: &Glance<'_>,
    entries: &[Told],
    facts: &Facts,
    theme: Theme,
    cells: usize,
) -> Vec<Line<'static>> {
    let Some(wine) = glance.wine else {
        return Vec::new();
    };
    // What was measured here before this wine came is another wine's.
    let since = wine
        .when(Deed::Filled)
        .or(wine.when(Deed::Begun))
        .unwrap_or(i64::MIN);
    let now = facts.cellar.now;
    let mut lines = Vec::new();
    for property in Property::ALL {
        let mut points: Vec<f64> = if *property == Property::Gravity {
            wine.gravities.iter().map(|it| it.gravity).collect()
        } else {
            let counts = |it: &&Told| it.entry.is_living() && it.entry.draft.when.utc_ms >= since;
            let all = entries
                .iter()
                .rev()
                .filter(counts)
                .flat_map(|it| &it.entry.draft.readings);
            all.filter(|it| it.place == glance.thing.key && it.property == *property)
                .filter_map(|it| it.found.number())
                .collect()
        };
        let Some(known) = wine.known.get(property) else {
            continue;
        };
        if points.is_empty() {
            points.extend(known.found.number());
        }
        let drawn = match known.found {
            Found::Word(_) => String::new(),
            _ => chart::line(&points, CHART.min(cells / 4)),
        };
        let sign = match known.found {
            _ if known.estimated => "~",
            Found::Below(_) | Found::Above(_) => "",
            _ => "=",
        };
        let age = words::due(now.at(known.at_ms), now);
        let holding = glance.holding.as_ref();
        let sugar = holding.map_or_else(String::new, |it| it.after_reading(*property));
        lines.push(Line::from(vec![
            Span::styled(
                format!("   {}", text::fit(property.label(), LABEL - 3)),
                theme.dim(),
            ),
            Span::styled(text::fit(&drawn, CHART.min(cells / 4)), theme.forecast()),
            Span::raw(format!(
                "  {sign}{}",
                telling::found(*property, &known.found)
            )),
            Span::styled(format!(", {age}{sugar}"), theme.dim()),
        ]));
    }
    lines
}

/// What was done to it, newest first: `racked 34 days ago, pitched 2 months ago`.
fn deeds(wine: &Wine, facts: &Facts) -> String {
    let now = facts.cellar.now;
    let mut deeds: Vec<(i64, &str)> = wine
        .deeds
        .iter()
        .map(|(deed, at)| (*at, deed_words(*deed)))
        .filter(|(_, words)| !words.is_empty())
        .collect();
    deeds.sort_unstable_by(|one, other| other.cmp(one));
    let said = deeds
        .into_iter()
        .map(|(at, word)| format!("{word} {}", words::due(now.at(at), now)));
    said.collect::<Vec<_>>().join(", ")
}

const fn deed_words(deed: Deed) -> &'static str {
    match deed {
        Deed::Begun => "begun",
        Deed::Filled => "filled in here",
        Deed::Pitched => "pitched",
        Deed::Fed => "fed",
        Deed::Racked => "racked",
        Deed::RackedBefore => "racked before",
        Deed::Pressed => "pressed",
        Deed::PunchedDown => "punched down",
        Deed::MaloStarted => "malolactic started",
        Deed::MaloFinished => "malolactic finished",
        Deed::Sulfited => "sulfited",
        Deed::Sorbated => "sorbated",
        Deed::SterileFiltered => "sterile filtered",
        Deed::Degassed => "degassed",
        Deed::GasFound => "gas found",
        Deed::Fined => "fined",
        Deed::HalfFined => "half fined",
        Deed::ToppedUp => "topped up",
        Deed::LevelRead => "level read",
        Deed::Tasted => "tasted",
        Deed::Oaked => "oaked",
        Deed::Bottled => "bottled",
        Deed::LaidDown => "laid down",
        Deed::Opened => "bottle opened",
        Deed::UsedUp => "last bottle",
        Deed::Blended => "blended",
        Deed::Sweetened => "sweetened",
        Deed::Sugared => "sugar added",
        // Said with the sulfite that they are about.
        Deed::BeforeBook | Deed::Unweighed | Deed::UnweighedUntested | Deed::SorbateUnweighed => "",
    }
}
