//! Every threshold of the rules, each with its why and its source, as data the program can show.

use std::fmt;

use leesline_calc::{oxygen, sulfite};

/// One threshold, as the program shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its name, such as `gross_lees_days`.
    pub name: &'static str,
    /// What it is set to.
    pub value: f64,
    /// Unit of the value; empty for a share or a gravity.
    pub unit: &'static str,
    /// What it is for.
    pub why: &'static str,
    /// Where it comes from.
    pub source: Source,
}

/// Where a threshold comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A fact of the trade without a published source.
    CommonPractice,
    /// Our own judgement; no published figure was found.
    HouseEstimate,
    /// Published, and read there.
    Published(&'static str),
    /// Published, and not opened by us.
    FromMemory(&'static str),
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Source::CommonPractice => f.write_str("common practice"),
            Source::HouseEstimate => f.write_str("house estimate"),
            Source::Published(source) => f.write_str(source),
            Source::FromMemory(source) => write!(f, "from memory: {source}"),
        }
    }
}

macro_rules! policy {
    ($($field:ident = $value:expr, $unit:literal $source:expr, $why:literal;)*) => {
        /// The thresholds of the rules.
        #[derive(Clone, Debug, PartialEq)]
        pub struct Policy { $(#[doc = $why] pub $field: f64),* }

        impl Default for Policy {
            fn default() -> Policy { Policy { $($field: $value),* } }
        }

        impl Policy {
            /// Every threshold with its why and source, in reading order.
            pub fn lines(&self) -> Vec<Line> {
                vec![$(Line {
                    name: stringify!($field),
                    value: self.$field,
                    unit: $unit,
                    why: $why,
                    source: $source,
                }),*]
            }
        }
    };
}

use Source::{CommonPractice, FromMemory, HouseEstimate, Published};

policy! {
    horizon_days = 14.0, "d" HouseEstimate,
        "How far ahead a date is worth knowing.";

    aim_red_mg_l = 0.5, "mg/L molecular" CommonPractice,
        "Molecular SO2 to aim at in red wine.";
    aim_mg_l = 0.8, "mg/L molecular" CommonPractice,
        "Molecular SO2 to aim at in white, rosé, fruit and sweet wine, and where the kind is not said.";
    pk1 = sulfite::PK1_EXTENSION, "" Published("Univ. of California Coop. Extension, Enology Briefs I(1), 1982, SO2 table"),
        "First dissociation constant of SO2 that the extension tables use, whatever the temperature and alcohol; it errs on the safe side.";
    margin_share = 0.15, "" HouseEstimate,
        "Free SO2 below its aim by this share of it is pressing; less is within what a home test can tell.";
    margin_mg_l = 3.0, "mg/L" HouseEstimate,
        "And by at least this much.";
    reading_sd_mg_l = 2.5, "mg/L" HouseEstimate,
        "Standard deviation of a home test of free SO2.";
    bound_share = 0.3333, "" CommonPractice,
        "Part of added SO2 that gets bound.";
    bound_share_low = 0.25, "" HouseEstimate,
        "The least of it that usually gets bound.";
    bound_share_high = 0.5, "" HouseEstimate,
        "The most of it that usually gets bound.";
    binding_days = 3.0, "d" CommonPractice,
        "Added SO2 goes on binding for two to five days; until then nothing is said of it.";
    bung_per_day = 0.0025, "/d" HouseEstimate,
        "Free SO2 lost a day, as a share, in a full carboy under a solid bung.";
    bung_spread = 0.6, "" HouseEstimate,
        "Spread of that loss, as the standard deviation of its logarithm.";
    airlock_per_day = 0.004, "/d" HouseEstimate,
        "The same in a full carboy under an airlock.";
    airlock_spread = 0.6, "" HouseEstimate,
        "Spread of that loss.";
    ullage_per_day = 0.008, "/d" HouseEstimate,
        "The same in a tank or any vessel that is not full.";
    ullage_spread = 0.7, "" HouseEstimate,
        "Spread of that loss.";
    barrel_per_day = 0.009, "/d" HouseEstimate,
        "The same in a barrel that is kept topped.";
    barrel_spread = 0.5, "" HouseEstimate,
        "Spread of that loss.";
    bottle_per_day = 0.0007, "/d" HouseEstimate,
        "The same in a bottle.";
    bottle_spread = 0.7, "" HouseEstimate,
        "Spread of that loss.";
    ullage_share = 0.05, "" HouseEstimate,
        "A carboy with more headspace than this share is taken to lose SO2 like a tank with headspace.";
    sulfite_days = 60.0, "d" CommonPractice,
        "Without a test, sulfite is looked at every two months or so.";
    reading_days = 120.0, "d" HouseEstimate,
        "A free SO2 reading older than this says little.";
    least_free_mg_l = 10.0, "mg/L" FromMemory("closure trials of white wine"),
        "Free SO2 below this protects hardly any wine, whatever its pH.";

    dry_gravity = 0.996, "" CommonPractice,
        "A dry wine's gravity is at or below this.";
    over_gravity = 0.998, "" HouseEstimate,
        "At or below this the ferment is taken as over, though not yet as finished.";
    dry_sugar_g_l = 2.0, "g/L" Published("Bisson, Stuck and sluggish fermentations, author abstract: more than 0.2 % can ferment again"),
        "A wine is dry when its sugar is tested below this.";
    equal_gravity = 0.0005, "" HouseEstimate,
        "Readings within half a mark of a hydrometer are equal; 0.001 is already 2.6 g/L of sugar.";
    steady_readings = 3.0, "" CommonPractice,
        "So many equal readings are asked before a wine is called finished.";
    steady_days = 14.0, "d" CommonPractice,
        "Over so many days.";
    warm_c = 15.0, "°C" CommonPractice,
        "At this temperature or warmer; a cold ferment sleeps.";
    must_gravity = 1.040, "" HouseEstimate,
        "Never pitched and above this, it is must.";
    ferment_days = 21.0, "d" Published("Bisson, Stuck and sluggish fermentations, author abstract: two to three weeks"),
        "A normal ferment is over by then.";
    presumed_over_days = 60.0, "d" HouseEstimate,
        "Without readings, a ferment pitched longer ago is taken as over.";
    sulfited_over_days = 7.0, "d" HouseEstimate,
        "Sulfite so long after the yeast says that someone took the ferment as over.";
    stall_days = 3.0, "d" HouseEstimate,
        "No fall over so many days and three readings, with sugar left, is a stall.";
    stall_fall = 0.001, "" HouseEstimate,
        "What counts as no fall then.";
    end_gravity = 0.994, "" HouseEstimate,
        "Where a dry ferment ends, to tell its first third.";
    vigorous_days = 5.0, "d" HouseEstimate,
        "Without readings, a ferment foams for so long.";
    foam_share = 0.15, "" CommonPractice,
        "Room for foam while a ferment is vigorous: 15–20 % of the vessel.";
    neck_room_mm = 20.0, "mm" CommonPractice,
        "A full vessel is left 2–3 cm below its bung, for warmth.";
    neck_mm = 30.0, "mm" HouseEstimate,
        "Width of a neck that nobody has measured.";

    air_c = 20.0, "°C" HouseEstimate,
        "Temperature of the air above a wine where the cellar's is not set.";
    so2_per_oxygen = oxygen::SO2_PER_OXYGEN, "mg/mg" Published("Pascal, Diéval and Vidal: 100 bottled wines over two years"),
        "Free SO2 that oxygen usually takes.";
    so2_per_oxygen_worst = oxygen::SO2_PER_OXYGEN_HIGH, "mg/mg" Published("stoichiometry: two SO2 for each O2, 4.004"),
        "Free SO2 that oxygen takes at worst.";
    headspace_soon_mg_l = 4.0, "mg O2/L" HouseEstimate,
        "Oxygen in the headspace, per litre of wine, from which topping up is due: about 10 mg/L of free SO2.";
    headspace_now_mg_l = 8.0, "mg O2/L" HouseEstimate,
        "And from which it is pressing: about 20 mg/L of free SO2.";
    headspace_days = 7.0, "d" HouseEstimate,
        "Wine may stand so long under air after it was moved.";
    fit_share = 0.05, "" HouseEstimate,
        "A vessel fits when no more than this share of it stays empty.";
    lees_share = 0.03, "" CommonPractice,
        "Wine and lees left behind at a racking, 2–5 %.";

    gross_lees_days = 28.0, "d" CommonPractice,
        "Gross lees are left within about four weeks of the end of the ferment.";
    fine_lees_days = 90.0, "d" CommonPractice,
        "Later rackings are about three months apart.";
    fine_lees_clear_days = 180.0, "d" HouseEstimate,
        "And twice that once the wine was seen clear: each racking brings in air.";
    settle_days = 14.0, "d" CommonPractice,
        "A racked wine settles so long before it is bottled.";
    stable_days = 14.0, "d" CommonPractice,
        "A sweet wine is watched so long after it was stabilised.";
    stable_alcohol_pct_vol = 18.0, "% vol" CommonPractice,
        "Alcohol at which yeast stays still.";
    malo_days = 60.0, "d" HouseEstimate,
        "Malolactic conversion unseen to finish for so long is worth a test.";

    round_days = 7.0, "d" CommonPractice,
        "Airlocks, film and corks are looked at every week.";
    look_days = 1.0, "d" CommonPractice,
        "Standing bottles are looked at a day after they were filled.";
    stand_days = 3.0, "d" FromMemory("Jackson, Wine Science; cork makers ask for two hours at least"),
        "Bottles stand one to three days until their corks have sprung back.";
    watch_days = 42.0, "d" HouseEstimate,
        "Bottles filled before the wine was shown finished are watched for so long.";
    rest_shown_days = 30.0, "d" HouseEstimate,
        "That a rest has ended is news for so long.";
    drink_up_days = 90.0, "d" HouseEstimate,
        "That a window closes is news from so long before.";
    next_bottle_days = 7.0, "d" HouseEstimate,
        "After a bottle was opened, the others to drink up are asked for again so long later.";
    next_dose_g_l = 0.05, "g/L" CommonPractice,
        "Potassium metabisulfite that a litre of wine needs at its next dose, 25–30 mg/L of SO2.";
    powder_days = 365.0, "d" FromMemory("Zoecklein and others, Wine Analysis and Production: 10–20 % of its strength a year once opened"),
        "Opened powder is replaced yearly.";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_threshold_says_why_in_a_sentence() {
        let lines = Policy::default().lines();
        for line in &lines {
            assert!(line.why.ends_with('.'), "{}", line.name);
            assert!(line.value.is_finite() && line.value > 0.0, "{}", line.name);
            assert!(!line.source.to_string().is_empty(), "{}", line.name);
        }
    }

    #[test]
    fn what_is_published_names_where() {
        let line = |name: &str| {
            let lines = Policy::default().lines();
            let line = lines.into_iter().find(|it| it.name == name).unwrap();
            line.source.to_string()
        };
        assert_eq!(line("gross_lees_days"), "common practice");
        assert_eq!(line("airlock_per_day"), "house estimate");
        assert_eq!(
            line("so2_per_oxygen"),
            "Pascal, Diéval and Vidal: 100 bottled wines over two years"
        );
    }
}
