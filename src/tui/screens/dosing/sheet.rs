//! A calculator filled in for a vessel: its lines, what is typed over them, and the answer.

use leesline_calc::answer::{Caution, CautionKind};
use leesline_calc::quantity::{Quantity, Units};
use leesline_calc::registry::{Calculator, Input, Inputs, Need, find};
use leesline_calc::sulfite::too_much_at_once;
use leesline_calc::{Answer, CalcError};

use super::entry::{self, Part};
use super::figure::{self, main_result};
use crate::cellar::attention::Holding;
use crate::cellar::dosing::{self, Known, Look, Reach, Sign};
use crate::cellar::telling;
use crate::cellar::thing::{Key, Sort, Thing};
use crate::cellar::what_if;
use crate::tui::message::Facts;
use crate::tui::widgets::field::Field;

/// The line that says which lot the powder is from; no calculator asks it.
pub(super) const LOT: &str = "lot";

/// A calculator filled in.
pub(super) struct Sheet {
    pub(super) calculator: &'static Calculator,
    pub(super) vessel: Option<Key>,
    pub(super) rows: Vec<Row>,
    pub(super) outcome: Result<Answer, Fault>,
    /// Where the vessel's wine stands, whether the calculator asks it or not.
    pub(super) state: Option<Known>,
    /// Molecular SO2 to aim at in the vessel's wine, mg/L.
    pub(super) aim_mg_l: Option<f64>,
    /// That sulfite went in too lately for more.
    pub(super) too_soon: Option<String>,
    /// Name of the lot that tablets would be taken from.
    pub(super) tablets: Option<String>,
    /// What speaks against sulfite now.
    pub(super) stop: Option<Caution>,
    /// How far the figure to give may be off.
    pub(super) band: Option<(f64, f64)>,
    /// The rule of thumb, for a wine too little is known of.
    pub(super) thumb: Option<Answer>,
    /// How much of the dose is shown and written: half of it where that is better, unless the person
    /// chose otherwise.
    pub(super) part: Part,
    chosen: Option<Part>,
    /// What the dose makes of the forecast, in a line. A dose is folded and the wine foreseen twice for
    /// it, which takes longer than a frame may, so it is worked out with the answer.
    pub(super) then: Option<String>,
}

/// One line.
pub(super) struct Row {
    pub(super) key: &'static str,
    pub(super) label: String,
    /// What the calculator asks; the lot is not its affair.
    pub(super) input: Option<&'static Input>,
    pub(super) known: Known,
    pub(super) text: Field,
    /// It is among the few that show unasked.
    pub(super) matters: bool,
    /// The person typed in it, if only what stood there already: then it is theirs, not a forecast.
    pub(super) is_typed: bool,
}

/// Why there is no answer: a sentence, and the line it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fault {
    pub(super) key: Option<String>,
    pub(super) sentence: String,
}

impl Row {
    /// Puts another text in, as typed.
    pub(super) fn put(&mut self, text: Field) {
        self.text = text;
        self.is_typed = true;
    }

    /// Puts back what is known.
    pub(super) fn restore(&mut self) {
        self.text = Field::of(&self.known.text);
        self.is_typed = false;
    }

    /// The words it chooses among.
    pub(super) fn choices(&self) -> &'static [&'static str] {
        match self.input.map(|it| it.quantity) {
            Some(Quantity::Choice(words)) => words,
            _ => &[],
        }
    }

    /// The unit of a bare number, to be shown behind it.
    pub(super) fn unit(&self) -> &'static str {
        let text = self.text.text().trim();
        let bare = !text.is_empty() && text.parse::<f64>().is_ok();
        self.input
            .filter(|_| bare)
            .map_or("", |it| it.quantity.unit())
    }

    /// Whether more is there than is written down.
    pub(super) fn is_at_least(&self) -> bool {
        !self.is_typed && !self.known.text.is_empty() && self.known.sign == Sign::Rough
    }

    /// Whether nobody knows it, and nobody typed it.
    fn is_unknown(&self) -> bool {
        self.known.sign == Sign::Unknown && (!self.is_typed || self.told().is_none())
    }

    /// What is told to the calculator; nothing where its own default holds.
    fn told(&self) -> Option<&str> {
        let text = self.text.text().trim();
        let told = !text.is_empty() && (self.is_typed || self.known.given);
        (told && self.input.is_some()).then_some(text)
    }
}

impl Sheet {
    /// That calculator, with what is known of the vessel filled in.
    pub(super) fn of(calculator: &'static Calculator, vessel: Option<Key>, facts: &Facts) -> Sheet {
        let mut sheet = Sheet {
            calculator,
            vessel,
            rows: Vec::new(),
            outcome: Err(Fault::none()),
            state: None,
            aim_mg_l: None,
            too_soon: None,
            tablets: None,
            stop: None,
            band: None,
            thumb: None,
            part: Part::All,
            chosen: None,
            then: None,
        };
        sheet.fill(facts);
        sheet
    }

    /// Fills in what is known anew, and leaves what was typed.
    pub(super) fn fill(&mut self, facts: &Facts) {
        let typed: Vec<(&str, Field)> = self
            .rows
            .iter()
            .filter(|it| it.is_typed)
            .map(|it| (it.key, it.text.clone()))
            .collect();
        let lot_typed = typed.iter().find(|(key, _)| *key == LOT);
        let lot = match lot_typed {
            Some((_, text)) => facts.cellar.find(Sort::Supply, text.text()).ok(),
            None => dosing::lot(&facts.cellar),
        };
        let look = Look::at(&facts.cellar, &facts.policy, self.vessel, lot);
        self.state = look.holding.as_ref().map(dosing::state);
        self.aim_mg_l = look.holding.as_ref().map(Holding::molecular_aim);
        self.tablets = look.tablets.map(|it| it.name().to_owned());
        let mut rows = self.lines(&look);
        for (key, text) in typed {
            if let Some(row) = rows.iter_mut().find(|it| it.key == key) {
                row.put(text);
            }
        }
        self.rows = rows;
        self.solve(facts);
    }

    fn lines(&self, look: &Look) -> Vec<Row> {
        let mut groups_told: Vec<&str> = Vec::new();
        let mut known_of = |input: &'static Input| {
            let known = look.known(self.calculator, input);
            if let Need::OneOf(group) = input.need {
                if groups_told.contains(&group) {
                    return Known::nothing(Sign::Blank, "instead of the other");
                } else if !known.text.is_empty() {
                    groups_told.push(group);
                }
            }
            known
        };
        let inputs = self.calculator.inputs.iter();
        let known = inputs.map(|it| (it, known_of(it))).collect();
        let mut rows = Vec::new();
        for (input, known, matters) in dosing::by_weight(known) {
            if input.key == "potency_pct" {
                rows.push(Row::lot(look.lot));
            }
            rows.push(Row {
                key: input.key,
                label: label(input),
                input: Some(input),
                text: Field::of(&known.text),
                known,
                matters,
                is_typed: false,
            });
        }
        rows
    }

    /// Reckons with what the lines say.
    pub(super) fn solve(&mut self, facts: &Facts) {
        let units = facts.cellar.settings().units;
        let inputs = Inputs::read(self.calculator, &self.told(), &units);
        let answer = inputs.and_then(|it| self.calculator.answer(&it));
        self.outcome = answer.map_err(|it| self.fault(&it));
        let main = self.outcome.as_ref().ok();
        let main = main.and_then(|it| main_result(self.calculator, it));
        self.band = main.and_then(|it| self.band_of(it, facts));
        self.thumb = self.rule_of_thumb(facts);
        self.stop = self.stop_said();
        self.too_soon = self.too_soon_said(facts);
        self.choose(self.chosen, facts);
    }

    /// Gives half of it or all, as the person wants it or else as is better.
    pub(super) fn choose(&mut self, chosen: Option<Part>, facts: &Facts) {
        self.chosen = chosen;
        let can_be_halved = self.half().is_some();
        let is_better = self.can_wait(facts).is_none() && self.left_unknown().is_none();
        self.part = match chosen {
            Some(Part::Half) if can_be_halved => Part::Half,
            None if can_be_halved && is_better => Part::Half,
            _ => Part::All,
        };
        self.then = self.foreseen(facts);
    }

    /// Half of it in the form that stands first, if half can be measured.
    fn half(&self) -> Option<f64> {
        let (_, answer) = self.answer()?;
        dosing::half(answer)
    }

    /// What the answer warns of. That it is much at once is said of what goes in now.
    pub(super) fn cautions(&self) -> Vec<Caution> {
        let Some((_, answer)) = self.answer() else {
            return Vec::new();
        };
        let mut cautions = answer.cautions.clone();
        let number = |key: &str| answer.number(key).unwrap_or_default();
        let at_once = |share: f64| {
            too_much_at_once(
                number("adds_total_mg_l") * share,
                number("stays_free_mg_l") * share,
            )
        };
        if let (Part::Half, Some((of_all, _))) = (self.part, at_once(1.0)) {
            match at_once(figure::share(answer, self.part)) {
                Some((sentence, asked)) => {
                    for caution in cautions.iter_mut().filter(|it| it.sentence == of_all) {
                        caution.sentence.clone_from(&sentence);
                        caution.asks = Some(asked.clone());
                    }
                }
                None => cautions.retain(|it| it.sentence != of_all),
            }
        }
        cautions
    }

    /// That less is missing than a home test can tell, where it is so.
    pub(super) fn can_wait(&self, facts: &Facts) -> Option<String> {
        let (_, answer) = self.answer()?;
        dosing::can_wait(answer, &facts.policy)
    }

    fn foreseen(&self, facts: &Facts) -> Option<String> {
        let prepared = entry::prepare(self, self.part, facts).ok()?;
        let (cellar, policy) = (&facts.cellar, &facts.policy);
        let foreseen = what_if::foreseen(&prepared.draft, cellar, policy);
        foreseen.into_iter().next()
    }

    /// What speaks against sulfite in this state: said by the dose's own rules, whichever calculator
    /// is shown and however little is known besides.
    fn stop_said(&self) -> Option<Caution> {
        let is_stop = |it: &&Caution| it.kind == CautionKind::State && it.asks.is_some();
        let first = |answer: &Answer| answer.cautions.iter().find(is_stop).cloned();
        match &self.outcome {
            Ok(answer) if self.calculator.name == super::DOSE => first(answer),
            _ if entry::is_addition(self) => {
                let told = [
                    ("volume_l", "1"),
                    ("target_free_so2_mg_l", "1"),
                    ("state", self.state_word()?),
                ];
                first(&find(super::DOSE)?.ask(&told, &Units::default()).ok()?)
            }
            _ => None,
        }
    }

    /// That sulfite went in too lately for more; a test that is typed tells.
    fn too_soon_said(&self, facts: &Facts) -> Option<String> {
        let is_typed = self.row("free_so2_mg_l").is_some_and(|it| it.is_typed);
        let (calculator, _) = self.answer()?;
        if is_typed || !entry::is_addition(self) {
            return None;
        }
        let holding = Holding::of(&facts.cellar, self.vessel?, &facts.policy)?;
        dosing::too_soon(&holding, calculator.name)
    }

    /// The state of the wine, as typed or as the book has it.
    pub(super) fn state_word(&self) -> Option<&str> {
        match (self.row("state"), &self.state) {
            (Some(row), _) => Some(row.text.text().trim()),
            (None, Some(known)) => Some(known.text.as_str()),
            (None, None) => None,
        }
    }

    /// Whether the dose should wait: for yeast or bacteria, or for what went in to be bound. Nothing else that is worked out waits.
    pub(super) fn waits(&self) -> bool {
        let word = self.state_word().unwrap_or_default();
        let works = matches!(word, "fermenting" | "malo-wanted" | "malo-running");
        entry::is_addition(self) && (works || self.too_soon.is_some())
    }

    /// What the lines tell the calculator.
    fn told(&self) -> Vec<(&str, &str)> {
        let told = self.rows.iter().filter(|it| !self.is_typed_otherwise(it));
        told.filter_map(|it| Some((it.key, it.told()?))).collect()
    }

    /// Whether the same thing was typed in another line, so that what the book says gives way.
    pub(super) fn is_typed_otherwise(&self, row: &Row) -> bool {
        // Who types how much went in says all of it.
        let sum = || self.row("added_so_far_mg_l").is_some_and(|it| it.is_typed);
        if row.key == "more_before" && !row.is_typed && sum() {
            return true;
        }
        let Some(Need::OneOf(group)) = row.input.map(|it| it.need) else {
            return false;
        };
        let in_group = |it: &Row| it.input.map(|it| it.need) == Some(Need::OneOf(group));
        let others = self
            .rows
            .iter()
            .filter(|it| it.key != row.key && in_group(it));
        !row.is_typed
            && others
                .filter(|it| it.is_typed)
                .any(|it| it.told().is_some())
    }

    fn fault(&self, error: &CalcError) -> Fault {
        let key = error.input().map(str::to_owned);
        let told = error.to_string();
        let named = format!("{}: ", error.input().unwrap_or_default());
        let mut sentence = told.strip_prefix(&named).unwrap_or(&told).to_owned();
        let mut rows: Vec<&Row> = self.rows.iter().collect();
        rows.sort_by_key(|it| std::cmp::Reverse(it.key.len()));
        for row in rows.iter().filter(|it| it.key.contains('_')) {
            sentence = sentence.replace(row.key, &row.label);
        }
        Fault { key, sentence }
    }

    /// The rule of thumb, where the dose hangs on what was never measured.
    fn rule_of_thumb(&self, facts: &Facts) -> Option<Answer> {
        if self.calculator.name != "sulfite-dose" || !(self.lacks("ph") || self.lacks_test()) {
            return None;
        }
        let by_spoon = find("sulfite-by-spoon")?;
        let takes = |key: &str| by_spoon.inputs.iter().any(|it| it.key == key);
        let mut told = self.told();
        told.retain(|(key, _)| takes(key));
        by_spoon.ask(&told, &facts.cellar.settings().units).ok()
    }

    /// Why there is no answer, with the line it belongs to named.
    pub(super) fn fault_said(&self) -> String {
        let Err(fault) = &self.outcome else {
            return String::new();
        };
        let row = fault.key.as_deref().and_then(|it| self.row(it));
        let row = row.filter(|it| !fault.sentence.starts_with(&it.label));
        match row {
            Some(row) => format!("{}: {}.", row.label, fault.sentence),
            None => format!("{}.", fault.sentence),
        }
    }

    /// The answer to go by, and whose it is: the calculator's own, else the rule of thumb.
    pub(super) fn answer(&self) -> Option<(&'static Calculator, &Answer)> {
        let own = self.outcome.as_ref().ok().map(|it| (self.calculator, it));
        own.or_else(|| {
            let thumb = self.thumb.as_ref().filter(|_| self.lacks("ph"))?;
            Some((find(super::BY_SPOON)?, thumb))
        })
    }

    /// Whether a line is asked and says nothing.
    fn lacks(&self, key: &str) -> bool {
        let row = self.row(key);
        row.is_some_and(|it| it.text.text().trim().is_empty())
    }

    /// Whether free SO2 was never tested, so that none is taken to be there, or what is counted.
    pub(super) fn lacks_test(&self) -> bool {
        let row = self.row("free_so2_mg_l");
        row.is_some_and(|it| it.told().is_none() || it.is_unknown())
    }

    /// Why nobody knows how much of the sulfite in the wine is left free, if nobody does.
    pub(super) fn left_unknown(&self) -> Option<&str> {
        let row = self.row("free_so2_mg_l").filter(|it| it.is_unknown())?;
        let is_in_it = row.known.given || row.known.text.is_empty();
        is_in_it.then_some(row.known.words.as_str())
    }

    /// Whether a line shows unasked: it matters, it was typed into, or the answer fails at it.
    pub(super) fn shows(&self, row: &Row) -> bool {
        let fault = self.outcome.as_ref().err().and_then(|it| it.key.as_deref());
        row.matters || row.is_typed || fault == Some(row.key)
    }

    pub(super) fn row(&self, key: &str) -> Option<&Row> {
        self.rows.iter().find(|it| it.key == key)
    }

    /// Whether anything was typed over what was filled in.
    pub(super) fn is_typed(&self) -> bool {
        self.rows.iter().any(|it| it.is_typed)
    }

    /// How far a result may be off: by what the calculator assumed, and by every forecast it was told.
    fn band_of(&self, key: &str, facts: &Facts) -> Option<(f64, f64)> {
        let answer = self.outcome.as_ref().ok()?;
        let forecasts = self.rows.iter().filter(|it| !it.is_typed);
        let forecasts = forecasts.filter_map(|it| Some((it.key, it.known.band?)));
        let units = facts.cellar.settings().units;
        Reach::of(self.calculator, &self.told(), forecasts, units).band(answer, key)
    }
}

impl Row {
    fn lot(lot: Option<&Thing>) -> Row {
        let known = match lot {
            Some(lot) => Known {
                text: lot.name().to_owned(),
                sign: Sign::Known,
                words: "drawn down by this dose".to_owned(),
                given: true,
                band: None,
                why: "",
            },
            None => Known::nothing(Sign::Unknown, "no powder written down"),
        };
        Row {
            key: LOT,
            label: "From lot".to_owned(),
            input: None,
            text: Field::of(&known.text),
            matters: lot.is_some(),
            known,
            is_typed: false,
        }
    }
}

impl Fault {
    fn none() -> Fault {
        Fault {
            key: None,
            sentence: String::new(),
        }
    }
}

/// A line's label: the trade's words, else the input's own name without its unit.
fn label(input: &Input) -> String {
    let known = match input.key {
        "state" => "Wine",
        "wine" => "Kind",
        "free_so2_mg_l" => "Free SO2 now",
        "target_molecular_mg_l" => "Aim, molecular",
        "target_free_so2_mg_l" => "or aim, free",
        "added_so_far_mg_l" => "SO2 added so far",
        "more_before" => "More before that",
        "bound_fraction" => "Part bound",
        "salt" => "Powder",
        "potency_pct" => "Strength left",
        "solution_pct" => "Stock solution",
        "teaspoon_g" => "A teaspoon",
        "tablet_so2_mg" => "A tablet, SO2",
        "scale_step_g" => "Scale step",
        "syringe_step_ml" => "Syringe step",
        "spoon_tsp" => "Smallest spoon",
        "ph" => "pH",
        "sg" => "Gravity",
        "now_sg" => "Gravity now",
        "start_sg" => "Gravity at first",
        "rule_tsp" => "The rule says",
        "rule_volume_l" => "to so much wine",
        "extract_per_ethanol" => "Extract, ethanol",
        _ => "",
    };
    if !known.is_empty() {
        return known.to_owned();
    }
    let name = input.flags().pop().unwrap_or_default();
    telling::capital(&name.replace('-', " ").replace("so2", "SO2"))
}
