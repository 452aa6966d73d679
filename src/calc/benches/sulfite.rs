//! The sulfite core beside one raw `powf`: the budget is three times it.

use divan::{Bencher, black_box};
use leesline_calc::quantity::Units;
use leesline_calc::{registry, sulfite};

fn main() {
    ratio();
    divan::main();
}

/// Prints the ratio itself, since a budget held as a ratio should be read as one.
#[expect(clippy::print_stdout, reason = "a bench prints its result")]
fn ratio() {
    let core = nanoseconds(|ph| sulfite::molecular_fraction(ph, sulfite::PK1_EXTENSION));
    let powf = nanoseconds(|ph| 10_f64.powf(ph - sulfite::PK1_EXTENSION));
    println!(
        "sulfite core {core:.2} ns, one powf {powf:.2} ns: {:.2} times (budget 3)",
        core / powf
    );
}

/// Time of one call, the least of several rounds, over a sweep of pH.
fn nanoseconds(call: impl Fn(f64) -> f64) -> f64 {
    const CALLS: u32 = 200_000;
    let round = || {
        let start = std::time::Instant::now();
        for step in 0..CALLS {
            black_box(call(black_box(2.8 + f64::from(step) * 1e-5)));
        }
        start.elapsed().as_secs_f64() * 1e9 / f64::from(CALLS)
    };
    (0..20).map(|_| round()).fold(f64::INFINITY, f64::min)
}

#[divan::bench]
fn raw_powf(bencher: Bencher) {
    bencher.bench(|| 10_f64.powf(black_box(3.4) - black_box(1.81)));
}

#[divan::bench]
fn molecular_fraction(bencher: Bencher) {
    bencher.bench(|| sulfite::molecular_fraction(black_box(3.4), black_box(1.81)));
}

#[divan::bench]
fn pk1_oiv(bencher: Bencher) {
    bencher.bench(|| sulfite::pk1_oiv(black_box(21.0), black_box(12.5)));
}

/// Each calculator on its own example, from text to answer.
#[divan::bench(args = registry::CALCULATORS.iter().map(|calculator| calculator.name))]
fn example(bencher: Bencher, name: &str) {
    let calculator = registry::find(name).expect("the name comes from the list");
    bencher.bench(|| calculator.ask(black_box(calculator.example), &Units::default()));
}
