//! The numeric cores beside one raw `powf`, and each calculator from text to answer.
//!
//! The sulfite core has a budget of three times a `powf`. Allocations are counted beside each time: a core has none.

use divan::{AllocProfiler, Bencher, black_box};
use leesline_calc::decline::{
    Decline, Event, HEADSPACE_DAYS, Quick, What, headspace_takes, keeping,
};
use leesline_calc::density::{self, Solutes};
use leesline_calc::ferment_state::{self, State};
use leesline_calc::gravity_curve::{Before, Ferment, START_SD, USUAL_END};
use leesline_calc::least_squares::Prior;
use leesline_calc::quantity::Units;
use leesline_calc::{
    acid, carboy, expansion, ferment, hydrometer, must, nitrogen, oxygen, refraction, registry,
    sorbate, strengthen, sulfite,
};

#[global_allocator]
static ALLOCATIONS: AllocProfiler = AllocProfiler::system();

/// A core at one moving argument between two ends.
struct Core {
    name: &'static str,
    ends: (f64, f64),
    call: fn(f64) -> f64,
}

const fn core(name: &'static str, ends: (f64, f64), call: fn(f64) -> f64) -> Core {
    Core { name, ends, call }
}

const POWF: Core = core("one powf", (2.8, 4.2), |ph| 10_f64.powf(ph - 1.81));
const WINE: Solutes = Solutes {
    sugar: 0.02,
    ethanol: 0.10,
};

static CORES: &[Core] = &[
    core("molecular SO2", (2.8, 4.2), |ph| {
        sulfite::molecular_fraction(ph, sulfite::PK1_EXTENSION)
    }),
    core("pK1 by the OIV", (15.0, 40.0), |t| {
        sulfite::pk1_oiv(t, 12.5).unwrap_or(0.0)
    }),
    core("bound by acetaldehyde", (0.0, 50.0), |free| {
        sulfite::held_mg_l(sulfite::ACETALDEHYDE, 0.03, free)
    }),
    core("oxygen in water", (0.0, 40.0), |t| {
        oxygen::water_holds_mg_l(t).unwrap_or(0.0)
    }),
    core("density of water", (0.0, 40.0), |t| {
        density::water_density(t).unwrap_or(0.0)
    }),
    core("density of ethanol and water", (0.0, 40.0), |t| {
        density::ethanol_density(0.1, t)
    }),
    core("density of sugar and water", (0.0, 40.0), |t| {
        density::sucrose_density(0.2, t)
    }),
    core("density of a wine", (0.0, 40.0), |t| {
        density::mixture_density(WINE, t)
    }),
    core("% mass from % vol", (1.0, 20.0), density::alcohol_by_mass),
    core("Brix from gravity", (1.0, 1.13), |sg| {
        density::brix_from_sg(sg).unwrap_or(0.0)
    }),
    core("must sugar from Brix", (10.0, 30.0), |brix| {
        must::sugar_g_l(brix).unwrap_or(0.0)
    }),
    core("a warm hydrometer", (5.0, 35.0), |t| {
        hydrometer::must(1.06, t, 20.0).sg
    }),
    core("a warm refractometer", (10.0, 30.0), |t| {
        refraction::warmth_correction(22.0, t).unwrap_or(0.0)
    }),
    core("strength from two gravities", (0.99, 1.02), |now| {
        ferment::fermented(1.09, now, 2.1324).map_or(0.0, |it| it.alcohol_pct_vol)
    }),
    core("a ferment by refractometer", (8.0, 20.0), |now| {
        refraction::seen(22.0, now, 2.1324).map_or(0.0, |it| it.alcohol_pct_vol)
    }),
    core("spirit to a strength", (13.0, 20.0), |to| {
        strengthen::fortify(10.0, WINE, 33.0, to).amount
    }),
    core("growth by warmth", (5.0, 35.0), |t| {
        expansion::growth(WINE, 12.0, t)
    }),
    core("acid by titration", (1.0, 20.0), |lye| {
        acid::titratable_g_l(lye, 0.1, 10.0)
    }),
    core("nitrogen by formol", (0.5, 5.0), |lye| {
        nitrogen::formol_mg_l(lye, 0.1, 10.0, 1.0)
    }),
    core("sorbate by the table", (3.1, 3.5), |ph| {
        sorbate::sorbate_mg_l(ph, 12.0).unwrap_or(0.0)
    }),
    core("surface in a carboy", (0.0, 460.0), |height| {
        CARBOY.surface_cm2(height)
    }),
];

const CARBOY: carboy::Carboy = carboy::Carboy {
    radius: 142.0,
    upright: 300.0,
    shoulder: 110.0,
    neck_radius: 17.0,
    neck_length: 50.0,
    shape: carboy::Shoulder::Dome,
};

fn main() {
    ratios();
    divan::main();
}

/// Prints the ratios themselves, since a budget held as a ratio should be read as one.
#[expect(clippy::print_stdout, reason = "a bench prints its result")]
fn ratios() {
    let powf = nanoseconds(&POWF);
    println!("one powf {powf:.1} ns");
    for core in CORES {
        let own = nanoseconds(core);
        let budget = if core.name == "molecular SO2" {
            " (budget 3)"
        } else {
            ""
        };
        println!(
            "{}: {own:.1} ns, {:.2} times{budget}",
            core.name,
            own / powf
        );
    }
    println!(
        "free SO2 of a hundred vessels over a year: {:.2} ms (budget 16, a frame); whether any falls short: {:.2} ms; the days \
         of one: {:.2} ms",
        milliseconds(a_hundred_bands),
        milliseconds(a_hundred_chances),
        milliseconds(days_of_one)
    );
    println!(
        "the dry days of a hundred ferments of eleven readings: {:.2} ms (budget 16, a frame)",
        milliseconds(a_hundred_ferments)
    );
}

/// A year of a wine: six tests, three doses, two rackings.
fn year() -> Vec<Event> {
    let (takes, sd) = headspace_takes(0.5);
    let test = |free_mg_l| What::Test { free_mg_l, sd: 2.5 };
    let whats = [
        test(30.0),
        test(24.0),
        What::Added(20.0),
        test(36.0),
        What::Racked,
        test(31.0),
        What::Added(15.0),
        test(38.0),
        What::Takes {
            mg_l: takes,
            sd,
            days: HEADSPACE_DAYS,
        },
        What::Added(10.0),
        test(37.0),
    ];
    let days = (0..).map(|at| 30.0 * f64::from(at));
    days.zip(whats)
        .map(|(day, what)| Event { day, what })
        .collect()
}

/// What the board shows of a hundred wines: whether each falls short within two weeks, and its band now.
fn a_hundred_bands() {
    let year = year();
    for _ in 0..100 {
        let found = Quick::of(keeping::AIRLOCK, black_box(&year));
        black_box(found.map(|it| {
            (
                it.chance_below(22.0, 14.0),
                it.free_at(0.0, [0.1, 0.5, 0.9]),
            )
        }));
    }
}

/// What the board asks of a hundred wines before it has anything to say of one.
fn a_hundred_chances() {
    let year = year();
    for _ in 0..100 {
        let found = Quick::of(keeping::AIRLOCK, black_box(&year));
        black_box(found.map(|it| it.chance_below(22.0, 14.0)));
    }
}

/// The days of one wine, at full grain.
fn days_of_one() {
    let found = Decline::of(keeping::AIRLOCK, black_box(&year()));
    black_box(found.map(|it| [0.1, 0.5, 0.9].map(|chance| it.days_to(22.0, chance))));
}

#[divan::bench]
fn forecasts_of_a_hundred_vessels() {
    a_hundred_bands();
}

/// What the board asks of a hundred ferments: three shapes through eleven readings of each, no two of the same pace or lag, and
/// the days of being dry.
fn a_hundred_ferments() {
    for which in 0..100 {
        let (middle, width) = (
            4.0 + 0.04 * f64::from(which),
            1.2 + 0.1 * f64::from(which % 10),
        );
        let readings: [(f64, f64); 11] = std::array::from_fn(|at| {
            let day = 1.0 + 0.9 * at as f64;
            // By a hydrometer that is read to 0.001, and falls slower at its end than any shape that is fitted.
            let left = (1.0 + 1.6 * ((day - middle) / width).exp()).powf(-1.0 / 1.6);
            (day, (994.0 + 96.0 * left).round() / 1000.0)
        });
        let before = Before {
            start: Prior {
                mean: 1.090,
                sd: START_SD,
            },
            end: USUAL_END,
            pace: 1.0,
        };
        let found = Ferment::of(&before, black_box(&readings));
        black_box(ferment_state::dry(
            State::Moving,
            found.as_ref(),
            &readings,
            USUAL_END.mean,
        ));
    }
}

#[divan::bench]
fn dry_days_of_a_hundred_ferments() {
    a_hundred_ferments();
}

/// Milliseconds of one call, the least of several.
fn milliseconds(call: fn()) -> f64 {
    let round = || {
        let start = std::time::Instant::now();
        call();
        start.elapsed().as_secs_f64() * 1e3
    };
    (0..20).map(|_| round()).fold(f64::INFINITY, f64::min)
}

/// Time of one call, the least of several rounds, over a sweep between its ends.
fn nanoseconds(core: &Core) -> f64 {
    const CALLS: u32 = 20_000;
    let (low, high) = core.ends;
    let step = (high - low) / f64::from(CALLS);
    let round = || {
        let start = std::time::Instant::now();
        for at in 0..CALLS {
            black_box((core.call)(black_box(low + f64::from(at) * step)));
        }
        start.elapsed().as_secs_f64() * 1e9 / f64::from(CALLS)
    };
    (0..20).map(|_| round()).fold(f64::INFINITY, f64::min)
}

#[divan::bench(args = CORES.iter().chain([&POWF]).map(|core| core.name))]
fn core_alone(bencher: Bencher, name: &str) {
    let core = CORES
        .iter()
        .chain([&POWF])
        .find(|core| core.name == name)
        .expect("the name comes from the list");
    let middle = f64::midpoint(core.ends.0, core.ends.1);
    bencher.bench(|| (core.call)(black_box(middle)));
}

/// Each calculator on its own example, from text to answer.
#[divan::bench(args = registry::CALCULATORS.iter().map(|calculator| calculator.name))]
fn example(bencher: Bencher, name: &str) {
    let calculator = registry::find(name).expect("the name comes from the list");
    bencher.bench(|| calculator.ask(black_box(calculator.example), &Units::default()));
}
