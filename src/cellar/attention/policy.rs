//! Every threshold of the rules, each with its why and its source, as data the program can show.
//! Some are a matter of taste or habit, and a person may set their own within a range; what keeps a
//! bottle from bursting or a dose in its bounds is not among those.

use leesline_calc::ferment_state::CRITERIA;
use leesline_calc::{decline, oxygen, sulfite};

#[allow(
    clippy::enum_glob_use,
    reason = "the table below names nearly all of them, each in a line that must stay short"
)]
use super::ReasonKind::{self, *};
use super::threshold::{Source, Threshold};
use crate::cellar::fold::{ULLAGE_SHARE, UNDER_AIR_SHARE};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{CELLAR, Thing, field};

macro_rules! policy {
    ($($field:ident = $value:expr, $unit:literal $source:expr, $kinds:expr, $why:literal
        $(, $low:literal to $high:literal)?;)*) => {
        /// The thresholds of the rules.
        #[derive(Clone, Debug, PartialEq)]
        pub struct Policy { $(#[doc = $why] pub $field: f64),* }

        impl Default for Policy {
            fn default() -> Policy { Policy { $($field: $value),* } }
        }

        impl Policy {
            /// Every threshold with its why and source, in reading order.
            pub fn thresholds(&self) -> Vec<Threshold> {
                vec![$(Threshold {
                    name: stringify!($field),
                    value: self.$field,
                    usual: $value,
                    unit: $unit,
                    why: $why,
                    source: $source,
                    kinds: $kinds,
                    range: None$(.or(Some(($low, $high))))?,
                }),*]
            }

            /// The threshold of that name.
            pub fn threshold_mut(&mut self, name: &str) -> Option<&mut f64> {
                match name {
                    $(stringify!($field) => Some(&mut self.$field),)*
                    _ => None,
                }
            }
        }
    };
}

impl Policy {
    /// The policy of a cellar: the usual one, with what its people set otherwise.
    pub fn of(cellar: &Snapshot) -> Policy {
        let mut policy = Policy::default();
        for (name, value) in cellar.thing(CELLAR).into_iter().flat_map(own) {
            if let Some(threshold) = policy.threshold_mut(name) {
                *threshold = value;
            }
        }
        policy
    }
}

impl ReasonKind {
    /// The thresholds that decide about reasons of this kind.
    pub fn thresholds(self, policy: &Policy) -> Vec<Threshold> {
        let mut all = policy.thresholds();
        all.retain(|it| it.kinds.contains(&self));
        all
    }
}

/// What was set for a cellar: names and values.
fn own(cellar: &Thing) -> impl Iterator<Item = (&str, f64)> {
    let all = cellar.attributes.names();
    let named = all.filter_map(|it| Some((it.strip_prefix(field::THRESHOLD)?, it)));
    named.filter_map(|(name, field)| Some((name, cellar.real(field)?)))
}

/// Rules that read the forecast of free SO2, as the gate before bottling does.
const FREE_SO2: &[ReasonKind] = &[
    SulfiteLow,
    SulfiteHigh,
    SulfiteOld,
    Presumed,
    MaloUnprotected,
    SupplyShort,
];
/// Rules that ask whether the ferment is over.
const FERMENT: &[ReasonKind] = &[
    SulfiteLow,
    SulfiteOld,
    Presumed,
    Untested,
    FirstSulfite,
    MaloAsked,
    Headspace,
    Topping,
    TooFull,
    Lees,
    MustWaits,
    Cap,
    Hot,
    Unfinished,
    Stuck,
    Sluggish,
    DryDue,
    MaloOpen,
    MaloUnprotected,
    SupplyShort,
];
/// Rules that ask whether the wine is shown finished, which the gate before bottling asks too, and by that whether bottles are
/// safe to open and to turn.
const FINISHED: &[ReasonKind] = &[
    Unfinished,
    Stuck,
    Sluggish,
    DryDue,
    Unstable,
    Refermenting,
    LayDown,
    RestEnded,
    WindowOpens,
    DrinkUp,
    Job,
    SupplyShort,
];
/// Rules about how a ferment goes: a number that makes one of them speak silences another.
const GOING: &[ReasonKind] = &[Unfinished, Stuck, Sluggish, DryDue];
/// Whether one stands still, and so makes no gas that keeps the air off.
const STILL: &[ReasonKind] = &[Unfinished, Stuck, Sluggish, DryDue, Headspace];
/// Asked before bottling, and so of what a wine lacks that is ready for it.
const BEFORE_BOTTLING: &[ReasonKind] = &[SupplyShort];

/// Asked where something is found wrong with a wine: each makes one of its causes more likely or less.
const CLUES: &[ReasonKind] = &[];

/// Asked of a figure as it is typed.
const SLIPS: &[ReasonKind] = &[];

/// Asked where another warmth is supposed.
const WHAT_IF: &[ReasonKind] = &[];

use Source::{CommonPractice, FromMemory, HouseEstimate, Published};

policy! {
    horizon_days = 14.0, "d" HouseEstimate,
        &[SulfiteLow, FirstSulfite, MaloAsked, Lees, DryDue, Job, WindowOpens, DrinkUp, SupplyShort], "How far ahead a date is worth knowing.", 3.0 to 60.0;

    aim_red_mg_l = 0.5, "mg/L molecular" CommonPractice,
        FREE_SO2, "Molecular SO2 to aim at in red wine.";
    aim_mg_l = 0.8, "mg/L molecular" CommonPractice,
        FREE_SO2, "Molecular SO2 to aim at in white, rosé, fruit and sweet wine, and where the kind is not said.";
    pk1 = sulfite::PK1_EXTENSION, "" Published("Univ. of California Coop. Extension, Enology Briefs I(1), 1982, SO2 table"),
        FREE_SO2, "First dissociation constant of SO2 that the extension tables use, whatever the temperature and alcohol; it errs on the safe side.";
    margin_share = 0.15, "" HouseEstimate,
        FREE_SO2, "Free SO2 below its aim by this share of it is pressing; less is within what a home test can tell.";
    margin_mg_l = 3.0, "mg/L" HouseEstimate,
        FREE_SO2, "And by at least this much.";
    so2_energy = decline::ENERGY / 1e3, "kJ/mol" FromMemory("Boulton and others, Principles and Practices of Winemaking; Ough, 1985: 8.6 kcal/mol"),
        WHAT_IF, "Activation energy of the loss of free SO2: 1.66 times as fast for ten degrees more.";
    warmth_days = 30.0, "d" HouseEstimate,
        WHAT_IF, "What was measured longer ago does not say how warm a wine is kept.";
    reading_sd_mg_l = 2.5, "mg/L" HouseEstimate,
        FREE_SO2, "Standard deviation of a home test of free SO2.";
    binding_days = 3.0, "d" CommonPractice,
        &[SulfiteLow, SulfiteOld, Presumed, Untested], "Added SO2 goes on binding for two to five days; until then nothing is said of it.";
    ullage_share = ULLAGE_SHARE, "" HouseEstimate,
        FREE_SO2, "A carboy with more headspace than this share is taken to lose SO2 like a tank with headspace.";
    under_air_share = UNDER_AIR_SHARE, "" HouseEstimate,
        &[SulfiteLow, SulfiteOld, Presumed, MaloUnprotected, Headspace], "With no less of a vessel empty than this its wine stands under air: free SO2 goes many times as fast, and no days are given to mend it.";
    sulfite_days = 60.0, "d" CommonPractice,
        &[Untested], "Without a test, sulfite is looked at every two months or so.", 14.0 to 120.0;
    first_sulfite_days = 28.0, "d" CommonPractice,
        &[FirstSulfite, MaloAsked], "The first sulfite goes in with the first racking after the ferment, within about four weeks of its end.", 7.0 to 60.0;
    reading_days = 120.0, "d" HouseEstimate,
        &[SulfiteOld], "A free SO2 reading older than this says little.", 30.0 to 240.0;
    lowest_ph = 3.0, "" CommonPractice,
        &[SulfiteOld], "Hardly a wine has a lower pH: free SO2 that is short of its aim at this is short of it at any.";
    least_free_mg_l = 10.0, "mg/L" FromMemory("closure trials of white wine"),
        &[SulfiteOld], "Free SO2 below this protects hardly any wine, whatever its pH.";

    least_molecular_mg_l = 0.3, "mg/L molecular" CommonPractice,
        CLUES, "Of something wrong: below this bacteria and air have their way; the usual aims are 0.5 and 0.8.";
    much_so2_share = 0.3, "" HouseEstimate,
        CLUES, "Of a sting in the nose: free SO2 above its aim by this share of it is more than the wine wants.";
    stings_days = 14.0, "d" CommonPractice,
        CLUES, "And so long after it went in, sulfite that is not yet bound may sting.";
    tasted_va_g_l = 0.6, "g/L" FromMemory("the threshold of acetic acid in wine, 0.6–0.9 g/L"),
        CLUES, "Of vinegar: volatile acidity from here on is tasted.";
    bacteria_ph = 3.6, "" CommonPractice,
        CLUES, "Of mouse, plaster, sauerkraut and ropiness: bacteria live well at this pH and above.";
    sour_ph = 3.2, "" HouseEstimate,
        CLUES, "Of a sharp taste: a wine below this pH is sour by its acid.";
    hurry_c = 20.0, "°C" CommonPractice,
        CLUES, "Of vinegar, oxidation, gas and leaks: a cellar warmer than this hurries it.";
    sleep_c = 13.0, "°C" CommonPractice,
        CLUES, "Of a ferment that stands and of crystals: colder than this yeast sleeps and tartrate falls.";
    long_lees_days = 60.0, "d" CommonPractice,
        CLUES, "Of onion and rubber: two months on gross lees make more of sulfide than a smell of egg.";
    young_days = 180.0, "d" CommonPractice,
        CLUES, "Of a rough taste: a wine younger than half a year is rough by right.";
    shock_days = 60.0, "d" CommonPractice,
        CLUES, "Of a dull taste: so long after bottling a wine may be out of joint.";

    tasted_free_mg_l = sulfite::TASTED_FREE_MG_L, "mg/L" CommonPractice,
        &[SulfiteHigh], "Free SO2 above this is tasted, unless the wine's pH asks for more.";

    dry_gravity = 0.996, "" CommonPractice,
        FINISHED, "A dry wine's gravity is at or below this.";
    over_gravity = 0.998, "" HouseEstimate,
        FERMENT, "At or below this the ferment is taken as over, though not yet as finished.";
    dry_sugar_g_l = 2.0, "g/L" Published("Bisson, Stuck and sluggish fermentations, author abstract: more than 0.2 % can ferment again"),
        FINISHED, "A wine is dry when its sugar is tested below this.";
    equal_gravity = 0.0005, "" HouseEstimate,
        FINISHED, "Readings within half a mark of a hydrometer are equal; 0.001 is already 2.6 g/L of sugar.";
    rise_gravity = 0.002, "" HouseEstimate,
        &[GravityRose], "A gravity read higher than before by more than this has risen: a hydrometer differs from itself by a thousandth either way.";
    steady_readings = 3.0, "" CommonPractice,
        FINISHED, "So many equal readings are asked before a wine is called finished.";
    steady_days = 14.0, "d" CommonPractice,
        FINISHED, "Over so many days.";
    warm_c = 15.0, "°C" CommonPractice,
        FINISHED, "At this temperature or warmer; a cold ferment sleeps.";
    must_gravity = 1.040, "" HouseEstimate,
        FERMENT, "Never pitched and above this, it is must.";
    must_days = 2.0, "d" CommonPractice,
        &[MustWaits], "Must is given its yeast within a day or two, and a day after sulfite: wild yeast and bacteria work on it meanwhile.", 1.0 to 7.0;
    cap_days = 1.0, "d" CommonPractice,
        &[Cap], "Skins that rise are pushed under twice a day until they are pressed; a cap that dries for a day grows mould and vinegar.", 0.5 to 2.0;
    hot_c = 30.0, "°C" CommonPractice,
        &[Hot], "Above 30 to 32 °C yeast may stop, and so may malolactic bacteria.";
    hot_days = 3.0, "d" HouseEstimate,
        &[Hot], "A temperature read longer ago says nothing of how warm a ferment is now.";
    ferment_days = 21.0, "d" Published("Bisson, Stuck and sluggish fermentations, author abstract: two to three weeks"),
        FERMENT, "A normal ferment is over by then.";
    unread_days = 7.0, "d" HouseEstimate,
        &[Unfinished, Stuck, Sluggish, DryDue, Headspace], "A ferment that runs is measured again after so long, and so is one that may.";
    presumed_over_days = 60.0, "d" HouseEstimate,
        FERMENT, "Without readings, a ferment pitched longer ago is taken as over.";
    sulfited_over_days = 7.0, "d" HouseEstimate,
        FERMENT, "Sulfite so long after the yeast says that someone took the ferment as over.";
    real_fall = 0.002, "" Published("Pambianchi, Modern Home Winemaking, Stuck alcoholic fermentation: less than 2 points a day is sluggish"),
        FERMENT, "Two readings that fall by so much do so by more than they err; and a ferment that works falls by as much in a day.";
    tells_days = 7.0, "d" HouseEstimate,
        FERMENT, "Two readings further apart than this, or older, say nothing of how fast gravity falls now.";
    stuck_fall = CRITERIA.stuck_fall, "" HouseEstimate,
        STILL, "A ferment that falls no more than this stands still: a hydrometer is no surer.";
    stuck_days = CRITERIA.stuck_days, "d" HouseEstimate,
        STILL, "Over so many days and three readings, with sugar left, it is stuck; a handbook says so after 24 hours (Pambianchi, Modern Home Winemaking).";
    stuck_above_end = CRITERIA.stuck_above_end, "" HouseEstimate,
        STILL, "With so much more gravity than its end there is sugar left, about 10 g/L.";
    slow_per_day = CRITERIA.slow_per_day, "/d" Published("Pambianchi, Modern Home Winemaking, Stuck alcoholic fermentation: below 1.005, less than 2 points a day"),
        GOING, "A ferment that falls by less a day is sluggish.";
    slow_days = CRITERIA.slow_days, "d" HouseEstimate,
        GOING, "Over so many days.";
    slow_above_end = CRITERIA.slow_above_end, "" HouseEstimate,
        GOING, "Nearer to its end than this every ferment is slow.";
    lag_days = CRITERIA.lag_days, "d" HouseEstimate,
        GOING, "A must should have begun to ferment so long after its yeast.";
    lag_fall = CRITERIA.lag_fall, "" HouseEstimate,
        GOING, "A fall of less is none.";
    end_gravity = 0.994, "" HouseEstimate,
        &[Unfinished, Stuck, Sluggish, DryDue, Headspace, TooFull], "Where a dry ferment is taken to end.";
    vigorous_days = 5.0, "d" HouseEstimate,
        &[TooFull], "Without readings, a ferment foams for so long.";
    foam_share = 0.15, "" CommonPractice,
        &[TooFull], "Room for foam while a ferment is vigorous: 15–20 % of the vessel.";
    neck_room_mm = 20.0, "mm" CommonPractice,
        &[TooFull], "A full vessel is left 2–3 cm below its bung, for warmth.";
    neck_mm = 30.0, "mm" HouseEstimate,
        &[TooFull], "Width of a neck that nobody has measured.";

    air_c = 20.0, "°C" HouseEstimate,
        &[Headspace, Topping], "Temperature of the air above a wine where the cellar's is not set.";
    so2_per_oxygen = oxygen::SO2_PER_OXYGEN, "mg/mg" Published("Pascal, Diéval and Vidal: 100 bottled wines over two years"),
        &[Headspace], "Free SO2 that oxygen usually takes.";
    so2_per_oxygen_worst = oxygen::SO2_PER_OXYGEN_HIGH, "mg/mg" Published("stoichiometry: two SO2 for each O2, 4.004"),
        &[Headspace], "Free SO2 that oxygen takes at worst.";
    headspace_soon_mg_l = 4.0, "mg O2/L" HouseEstimate,
        &[Headspace, Topping], "Oxygen in the headspace, per litre of wine, from which topping up is due: about 10 mg/L of free SO2.";
    headspace_now_mg_l = 8.0, "mg O2/L" HouseEstimate,
        &[Headspace], "And from which it is pressing: about 20 mg/L of free SO2.";
    headspace_days = 7.0, "d" HouseEstimate,
        &[Headspace, Topping], "Wine may stand so long under air after it was moved, or its barrel should have been topped up.", 1.0 to 21.0;
    barrel_top_days = 28.0, "d" CommonPractice,
        &[Topping], "Wood loses wine to the air: barrels are topped up every two to four weeks.", 7.0 to 60.0;
    top_up_most_l = 4.0, "L" HouseEstimate,
        &[Headspace], "More than this, or than there is of the wine itself, nobody has at hand to top up with.", 0.5 to 20.0;
    fit_share = 0.05, "" HouseEstimate,
        &[Headspace, Lees], "A vessel fits when no more than this share of it stays empty.";
    lees_share = 0.03, "" CommonPractice,
        &[Lees], "Wine and lees left behind at a racking, 2–5 %.", 0.005 to 0.15;

    gross_lees_days = 28.0, "d" CommonPractice,
        &[Lees, Headspace], "Gross lees are left within about four weeks of the end of the ferment.", 7.0 to 120.0;
    fine_lees_days = 90.0, "d" CommonPractice,
        &[Lees], "Later rackings are about three months apart.", 30.0 to 365.0;
    fine_lees_clear_days = 180.0, "d" HouseEstimate,
        &[Lees], "And twice that once the wine was seen clear: each racking brings in air.", 60.0 to 730.0;
    settle_days = 14.0, "d" CommonPractice,
        BEFORE_BOTTLING, "A racked wine settles so long before it is bottled.";
    haze_days = 60.0, "d" HouseEstimate,
        BEFORE_BOTTLING, "A haze that was seen longer ago may have fallen since: it is looked for again.";
    stable_days = 14.0, "d" CommonPractice,
        FINISHED, "A sweet wine is watched so long after it was stabilised.";
    sorbate_molecular_mg_l = 0.5, "mg/L" CommonPractice,
        FINISHED, "Sorbate holds yeast only beside so much molecular SO2.";
    stable_alcohol_pct_vol = 18.0, "% vol" CommonPractice,
        FINISHED, "Alcohol at which yeast stays still.";
    malo_look_days = 14.0, "d" HouseEstimate,
        &[MaloOpen], "Malic acid is not tested again sooner.", 7.0 to 90.0;
    malo_warmth_days = 60.0, "d" HouseEstimate,
        &[MaloOpen], "Warmth read longer ago says nothing of the bacteria.";
    malo_least_c = 18.0, "°C" FromMemory("suppliers' sheets: 18–24 °C"),
        &[MaloOpen], "Malolactic bacteria hardly work in colder wine.", 12.0 to 20.0;
    malo_least_ph = 3.2, "" FromMemory("suppliers' sheets: above 3.2"),
        &[MaloOpen], "Nor at a lower pH.", 2.9 to 3.5;
    malo_most_so2_mg_l = 30.0, "mg/L" FromMemory("suppliers' sheets: 30–50 mg/L"),
        &[MaloOpen], "Nor with more total SO2, free and bound.", 10.0 to 60.0;
    malo_most_alcohol_pct_vol = 14.0, "% vol" FromMemory("suppliers' sheets: below 14 % vol"),
        &[MaloOpen], "Nor with more alcohol.", 12.0 to 16.0;

    slip_gravity = 0.010, "" HouseEstimate,
        SLIPS, "A gravity that rose by more than this rose by no gas in it: whoever types it is asked about the figure.";
    slip_unwritten_mg_l = 50.0, "mg/L" HouseEstimate,
        SLIPS, "SO2 that a wine may hold besides what the book has, from the yeast and in the juice of a kit: more free SO2 is asked about.";
    slip_free_mg_l = 150.0, "mg/L" HouseEstimate,
        SLIPS, "More free SO2 than this no wine has that anybody keeps.";

    buy_days = 7.0, "d" CommonPractice,
        &[SupplyShort], "What a day of work takes is bought so long before it: a week for the post.", 0.0 to 60.0;
    round_days = 7.0, "d" CommonPractice,
        &[Round], "Airlocks, film and corks are looked at every week.", 1.0 to 31.0;
    watch_every_days = 7.0, "d" HouseEstimate,
        &[Refermenting], "Bottles that may ferment again are looked at every week.";
    look_days = 1.0, "d" CommonPractice,
        &[Look], "Standing bottles are looked at a day after they were filled.";
    stand_days = 3.0, "d" FromMemory("Jackson, Wine Science; cork makers ask for two hours at least"),
        &[LayDown], "Bottles stand one to three days until their corks have sprung back.";
    watch_days = 42.0, "d" HouseEstimate,
        &[Refermenting, LayDown, RestEnded, WindowOpens, DrinkUp], "Bottles filled before the wine was shown finished are watched for so long.";
    begun_jug_days = 5.0, "d" CommonPractice,
        &[Begun], "Wine in a jug that was begun keeps so long, cold and closed.", 1.0 to 30.0;
    begun_bag_days = 42.0, "d" CommonPractice,
        &[Begun], "In a bag so long, cool.", 7.0 to 90.0;
    begun_keg_days = 90.0, "d" CommonPractice,
        &[Begun], "In a keg so long, under its gas.", 1.0 to 365.0;
    rest_shown_days = 30.0, "d" HouseEstimate,
        &[RestEnded, WindowOpens], "That a rest has ended is news for so long.", 7.0 to 120.0;
    drink_up_days = 90.0, "d" HouseEstimate,
        &[DrinkUp], "That a window closes is news from so long before.", 14.0 to 365.0;
    next_bottle_days = 7.0, "d" HouseEstimate,
        &[DrinkUp], "After a bottle was opened, the others to drink up are asked for again so long later.", 1.0 to 60.0;
    next_dose_g_l = 0.05, "g/L" CommonPractice,
        &[SupplyShort, Untested], "Potassium metabisulfite that a litre of wine needs at its next dose, 25–30 mg/L of SO2.";
    powder_days = 365.0, "d" FromMemory("Zoecklein and others, Wine Analysis and Production: 10–20 % of its strength a year once opened"),
        &[SupplyOld], "Opened powder is replaced yearly.", 90.0 to 730.0;

    // What a week of waiting may cost, as a share of the wine: the one scale by which reasons of a rank
    // are ordered. Nobody has measured it; the table of pairs in `waiting.rs` says what follows.
    loss_air = 0.25, "/week" HouseEstimate,
        &[Headspace], "Share of a wine that a week under air may cost, were its vessel nothing but air; less air, less.";
    loss_untopped = 0.004, "/week" HouseEstimate,
        &[Topping], "Share that a week may cost the wine of a barrel that was due to be topped up, with air in it that nobody has seen.";
    loss_unprotected = 0.02, "/week" HouseEstimate,
        &[SulfiteLow, Presumed], "Share that a week without any free SO2 may cost; what is left of it protects by its part of the aim.";
    loss_unread = 0.004, "/week" HouseEstimate,
        &[SulfiteOld], "Share that a week may cost a wine whose free SO2 was read too long ago, or without a pH.";
    loss_untested = 0.008, "/week" HouseEstimate,
        &[Untested], "Share that a week may cost a wine whose sulfite nobody has looked at for long.";
    loss_first_sulfite = 0.008, "/week" HouseEstimate,
        &[FirstSulfite, MaloAsked], "Share that a week may cost a wine that has had no sulfite since its ferment.";
    loss_after_malo = 0.03, "/week" HouseEstimate,
        &[MaloUnprotected], "Share that a week without sulfite after malolactic conversion may cost.";
    loss_malo_open = 0.008, "/week" HouseEstimate,
        &[MaloOpen], "Share that a week may cost a wine that goes without sulfite for a malolactic conversion nobody sees.";
    loss_must = 0.03, "/week" HouseEstimate,
        &[MustWaits], "Share that a week may cost a must that nobody gave yeast.";
    loss_cap = 0.03, "/week" HouseEstimate,
        &[Cap], "Share that a week may cost a wine under a cap that dries.";
    loss_hot = 0.06, "/week" HouseEstimate,
        &[Hot], "Share that a week may cost a ferment so warm that its yeast may stop.";
    loss_stuck = 0.05, "/week" HouseEstimate,
        &[Stuck], "Share that a week may cost a ferment that is stuck, warm, sweet and without sulfite.";
    loss_stalled = 0.03, "/week" HouseEstimate,
        &[Sluggish], "The same of one that hardly falls.";
    loss_unstable = 0.03, "/week" HouseEstimate,
        &[Unstable], "Share that a week may cost a wine that was sweetened and not stabilised.";
    loss_unmeasured = 0.002, "/week" HouseEstimate,
        &[Unfinished, DryDue, GravityRose], "The same of one that nobody has measured as finished, or whose last reading is odd.";
    loss_trouble = 0.05, "/week" HouseEstimate,
        &[Trouble], "Share that a week may cost a wine in which something was found wrong.";
    loss_foam = 0.08, "/week" HouseEstimate,
        &[TooFull], "Share that foams over in a week where a vigorous ferment has no room at all; some room, less.";
    loss_gross_lees = 0.01, "/week" HouseEstimate,
        &[Lees], "Share that a week too long on gross lees may cost.";
    loss_fine_lees = 0.002, "/week" HouseEstimate,
        &[Lees], "The same on fine lees.";
    loss_corks = 0.01, "/week" HouseEstimate,
        &[Look], "Share of standing bottles that a week without a look may cost: a leak, a rising cork.";
    loss_standing = 0.002, "/week" HouseEstimate,
        &[LayDown], "Share of corked bottles that a week too long upright may cost.";
    loss_begun = 0.05, "/week" HouseEstimate,
        &[Begun], "Share of a jug, bag or keg that a week may cost which was begun too long ago.";
    loss_window = 0.005, "/week" HouseEstimate,
        &[DrinkUp], "Share of bottles that a week past their window may cost.";
    loss_round = 0.002, "/week" HouseEstimate,
        &[Round], "Share of all wine in vessels that a week without a round may cost: a dry airlock, film.";
}

#[cfg(test)]
mod tests {
    use super::super::trial::Cellar;
    use super::*;
    use crate::cellar::thing::{Sort, Value};

    #[test]
    fn every_threshold_says_why_in_a_sentence_and_lies_in_its_range() {
        let all = Policy::default().thresholds();
        let labels: std::collections::BTreeSet<String> = all.iter().map(Threshold::label).collect();
        assert_eq!(labels.len(), all.len());
        for it in all {
            assert!(it.why.ends_with('.'), "{}", it.name);
            assert!(it.value.is_finite() && it.value > 0.0, "{}", it.name);
            assert!(!it.source.to_string().is_empty(), "{}", it.name);
            let (low, high) = it.range.unwrap_or((it.usual, it.usual));
            assert!((low..=high).contains(&it.usual), "{}", it.name);
        }
    }

    fn check_source(name: &str, source: &str) {
        let all = Policy::default().thresholds();
        let it = all.iter().find(|it| it.name == name).unwrap();
        assert_eq!(it.source.to_string(), source);
    }

    #[test]
    fn what_is_published_names_where() {
        check_source("gross_lees_days", "common practice");
        check_source("horizon_days", "house estimate");
        check_source(
            "so2_per_oxygen",
            "Pascal, Diéval and Vidal: 100 bottled wines over two years",
        );
    }

    #[test]
    fn what_a_cellar_set_stands_in_place_of_the_usual() {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.thing(CELLAR, Sort::Cellar, "Quarry Row");
        cellar.set(CELLAR, "threshold:round_days", Value::Real(10.0));
        let policy = Policy::of(&cellar.0);
        assert!((policy.round_days - 10.0).abs() < 1e-9);
        let own: Vec<&str> = policy
            .thresholds()
            .iter()
            .filter(|it| it.is_own())
            .map(|it| it.name)
            .collect();
        assert_eq!(own, ["round_days"]);
    }
}
