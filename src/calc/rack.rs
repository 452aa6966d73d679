//! Which vessels a wine fills best.

/// Step of the search in millilitres: nobody reads a carboy closer.
const STEP_ML: f64 = 10.0;

/// A set of vessels that holds the wine.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Places of the vessels in the list, in its order.
    pub vessels: Vec<usize>,
    /// Air they have above the wine when they hold it all.
    pub headspace_ml: f64,
}

/// The sets of vessels worth considering: each has less headspace than any with as few vessels. The first has the least
/// headspace, each further one fewer vessels; none where all together hold too little.
///
/// Subset sum in steps of 10 mL, the wine rounded up and each vessel down so that no plan is over-full: `fewest[i][s]` is
/// the fewest of the vessels from i on that hold s steps. A set without an idle vessel holds less than the wine and
/// its largest vessel together, so no further sum is looked at. Ties go to the vessels named first.
pub fn plans(wine_ml: f64, capacities_ml: &[f64]) -> Vec<Plan> {
    const NEVER: u8 = u8::MAX;
    let steps = |ml: f64| (ml / STEP_ML + 1e-9).floor() as usize;
    let wine = (wine_ml / STEP_ML - 1e-9).ceil().max(0.0) as usize;
    let sizes: Vec<usize> = capacities_ml.iter().map(|ml| steps(*ml)).collect();
    let most = wine + sizes.iter().max().copied().unwrap_or(0);

    let mut fewest = vec![vec![NEVER; most + 1]; sizes.len() + 1];
    fewest[sizes.len()][0] = 0;
    for at in (0..sizes.len()).rev() {
        for sum in 0..=most {
            let without = fewest[at + 1][sum];
            let with = sum
                .checked_sub(sizes[at])
                .map_or(NEVER, |rest| fewest[at + 1][rest].saturating_add(1));
            fewest[at][sum] = without.min(with);
        }
    }

    let mut found = Vec::<Plan>::new();
    let mut best = NEVER;
    for sum in wine..=most {
        if fewest[0][sum] >= best {
            continue;
        }
        best = fewest[0][sum];
        let (mut rest, mut vessels) = (sum, Vec::new());
        for at in 0..sizes.len() {
            let with = rest
                .checked_sub(sizes[at])
                .map_or(NEVER, |less| fewest[at + 1][less].saturating_add(1));
            if with == fewest[at][rest] && with != NEVER {
                vessels.push(at);
                rest -= sizes[at];
            }
        }
        let held: f64 = vessels.iter().map(|at| capacities_ml[*at]).sum();
        found.push(Plan {
            headspace_ml: (held - wine_ml).max(0.0),
            vessels,
        });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The best set, its headspace and how many sets are worth considering, by exhaustive search outside this crate.
    fn check(wine_ml: f64, capacities: &[f64], best: &[f64], headspace_ml: f64) {
        let plans = plans(wine_ml, capacities);
        let first = plans.first().expect("there is a plan");
        let held: Vec<f64> = first.vessels.iter().map(|at| capacities[*at]).collect();
        assert_eq!(held, best);
        assert!((first.headspace_ml - headspace_ml).abs() < 1e-6);
    }

    #[test]
    fn the_least_headspace_comes_first() {
        check(
            21_600.0,
            &[
                23_000.0, 19_000.0, 11_400.0, 5_000.0, 4_500.0, 3_800.0, 2_000.0, 1_000.0, 750.0,
            ],
            &[11_400.0, 5_000.0, 4_500.0, 750.0],
            50.0,
        );
        check(
            17_250.0,
            &[11_400.0, 5_000.0, 3_800.0, 2_000.0, 1_000.0, 750.0, 750.0],
            &[11_400.0, 5_000.0, 1_000.0],
            150.0,
        );
        check(
            52_300.0,
            &[54_000.0, 23_000.0, 23_000.0, 5_000.0, 1_000.0],
            &[54_000.0],
            1_700.0,
        );
        check(
            9_990.0,
            &[5_000.0, 5_000.0, 3_800.0, 3_000.0, 2_000.0, 1_000.0],
            &[5_000.0, 5_000.0],
            10.0,
        );
    }

    #[test]
    fn a_wine_may_fill_its_vessels_to_the_mark() {
        check(5_000.0, &[5_000.0], &[5_000.0], 0.0);
        check(
            15_000.0,
            &[10_000.0, 23_000.0, 5_000.0],
            &[10_000.0, 5_000.0],
            0.0,
        );
        // 5 + 5 would do if there were two of it; 4 is one vessel where 2 + 2 is two.
        check(
            10_000.0,
            &[5_000.0, 3_000.0, 7_000.0],
            &[3_000.0, 7_000.0],
            0.0,
        );
        check(4_000.0, &[2_000.0, 2_000.0, 4_000.0], &[4_000.0], 0.0);
    }

    #[test]
    fn too_little_room_is_no_plan() {
        assert!(plans(30_000.0, &[11_400.0, 11_400.0, 5_000.0]).is_empty());
        assert!(plans(1.0, &[]).is_empty());
    }

    #[test]
    fn fewer_vessels_are_offered_with_their_headspace() {
        let all = plans(
            21_600.0,
            &[
                23_000.0, 19_000.0, 11_400.0, 5_000.0, 4_500.0, 3_800.0, 2_000.0, 1_000.0, 750.0,
            ],
        );
        let last = all.last().expect("there is a plan");
        assert_eq!(last.vessels, [0]);
        assert!((last.headspace_ml - 1_400.0).abs() < 1e-6);
        assert!(all.windows(2).all(|pair| {
            pair[0].headspace_ml <= pair[1].headspace_ml
                && pair[0].vessels.len() > pair[1].vessels.len()
        }));
    }
}
