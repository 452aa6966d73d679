//! Tastings by wine, in words.

use std::collections::BTreeMap;

use crate::cellar::attention::words::span;
use crate::cellar::course::Course;
use crate::cellar::tasting::{Marks, Tasted, blind, scores};
use crate::cellar::thing::Key;
use crate::tui::message::Facts;

/// A wine with what was said of it, the newest first.
#[derive(Debug)]
pub(super) struct Wine {
    /// The batch; the place where none was named.
    pub(super) subject: Key,
    pub(super) name: String,
    pub(super) said: Vec<Said>,
    /// Its scores over time.
    pub(super) scores: Course,
}

/// A tasting.
#[derive(Debug)]
pub(super) struct Said {
    /// `score 14, act: trial of acid`; empty where neither was said.
    pub(super) verdict: String,
    /// `12 Sep 2026, 10 weeks old, SO2 20, 0.994`.
    pub(super) when: String,
    pub(super) words: String,
    at_ms: i64,
    score: Option<f64>,
    /// The most that its sheet gives; nothing on a scale of one's own.
    most: Option<f64>,
}

/// The wines that were tasted, the one tasted last first. What was tasted blind is not among them before it
/// is revealed.
pub(super) fn of(all: &[Tasted], facts: &Facts) -> Vec<Wine> {
    let mut all = all.to_vec();
    blind::keep_secret(&mut all, &facts.cellar);
    let mut wines: BTreeMap<Key, Vec<&Tasted>> = BTreeMap::new();
    for tasted in &all {
        wines.entry(tasted.subject()).or_default().push(tasted);
    }
    let named = wines.into_iter().map(|(subject, tasted)| Wine {
        subject,
        name: facts.cellar.name(subject).to_owned(),
        said: tasted.iter().map(|it| said(it, facts)).collect(),
        scores: scores(&tasted, facts.cellar.now.utc_ms),
    });
    let mut wines: Vec<Wine> = named.collect();
    wines.sort_by_key(|it| std::cmp::Reverse(it.said.first().map(|it| it.at_ms)));
    wines
}

fn said(tasted: &Tasted, facts: &Facts) -> Said {
    let place = tasted.tasting.place;
    let parts = [
        Some(tasted.when.day_words()),
        (place != tasted.subject()).then(|| facts.cellar.name(place).to_owned()),
        tasted.age_days.map(|it| format!("{} old", span(it))),
        Some(tasted.read_by_then().join(", ")).filter(|it| !it.is_empty()),
        blind::letter(&tasted.tasting.sheet).map(|it| format!("blind, as {it}")),
    ];
    let mut words = tasted.tasting.words.clone();
    let marks = Marks::stored(&tasted.tasting.sheet);
    if let Some(marks) = &marks {
        let items: Vec<String> = marks.lines().collect();
        let glue = if words.is_empty() { "" } else { ". " };
        words = format!("{words}{glue}{}", items.join(", "));
    }
    let verdict = tasted.score_words().into_iter().chain(tasted.act_words());
    Said {
        verdict: verdict.collect::<Vec<String>>().join(", "),
        when: parts
            .into_iter()
            .flatten()
            .collect::<Vec<String>>()
            .join(", "),
        words,
        at_ms: tasted.when.utc_ms,
        score: tasted.tasting.score,
        most: marks.map(|it| it.sheet.most()),
    }
}

impl Wine {
    /// Its last score, in a few cells; how often it was tasted where none was given.
    pub(super) fn last_score(&self) -> String {
        match self.last_scored() {
            Some((score, Some(most))) => format!("{score}/{most}"),
            Some((score, None)) => score.to_string(),
            None => format!("×{}", self.said.len()),
        }
    }

    /// The last score, and the most there is on its scale.
    fn last_scored(&self) -> Option<(f64, Option<f64>)> {
        self.said.iter().find_map(|it| Some((it.score?, it.most)))
    }
}
