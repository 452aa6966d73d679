//! How many bottles a wine fills.

/// Whole bottles of so many millilitres out of so many, and what is left over. n = ⌊V/b⌋, rest = V − n·b.
pub fn bottles(wine_ml: f64, bottle_ml: f64) -> (u32, f64) {
    // A milliunit of slack, so that 9 L in twelve bottles is twelve however the litres were reckoned.
    let count = (wine_ml / bottle_ml + 1e-9).floor();
    (count as u32, (wine_ml - count * bottle_ml).max(0.0))
}

/// A size of bottle, and how many of it there are; `None` for as many as it takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// What it holds, in millilitres; at least one.
    pub ml: u32,
    /// How many there are.
    pub most: Option<u32>,
}

/// How many bottles of each size so much wine fills, in the order of the sizes, and what is left over in millilitres: the
/// largest first, as many as there are or as it fills, then the next, as it is done at the spout (common practice).
pub fn fill(wine_ml: u32, sizes: &[Size]) -> (Vec<u32>, u32) {
    let mut counts = vec![0; sizes.len()];
    let mut left = wine_ml;
    let mut by_size: Vec<usize> = (0..sizes.len()).collect();
    by_size.sort_by_key(|at| std::cmp::Reverse(sizes[*at].ml));
    for at in by_size {
        let Size { ml, most } = sizes[at];
        counts[at] = (left / ml).min(most.unwrap_or(u32::MAX));
        left -= counts[at] * ml;
    }
    (counts, left)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(wine_ml: u32, sizes: &[(u32, Option<u32>)], counts: &[u32], left: u32) {
        let sizes: Vec<Size> = sizes
            .iter()
            .map(|(ml, most)| Size {
                ml: *ml,
                most: *most,
            })
            .collect();
        assert_eq!(
            fill(wine_ml, &sizes),
            (counts.to_vec(), left),
            "{wine_ml} mL into {sizes:?}"
        );
    }

    /// By hand: 29 · 750 = 21 750; a 375 more would be 22 125.
    #[test]
    fn the_largest_are_filled_first() {
        check(22_100, &[(750, None), (375, None)], &[29, 0], 350);
        check(22_125, &[(750, None), (375, None)], &[29, 1], 0);
        check(22_100, &[(375, None), (750, None)], &[0, 29], 350);
        check(1_000, &[(750, None), (500, None)], &[1, 0], 250);
        check(1_250, &[(750, None), (500, None)], &[1, 1], 0);
    }

    #[test]
    fn no_more_of_a_size_than_there_are() {
        check(
            22_100,
            &[(750, Some(20)), (375, Some(10))],
            &[20, 10],
            3_350,
        );
        check(22_100, &[(750, Some(28)), (375, None)], &[28, 2], 350);
        check(500, &[(750, None)], &[0], 500);
        check(500, &[], &[], 500);
        check(0, &[(750, None)], &[0], 0);
    }

    #[test]
    fn a_large_wine_is_filled_the_same_way() {
        check(1_000_000, &[(750, None)], &[1333], 250);
        check(
            1_000_000,
            &[(750, Some(100)), (375, None)],
            &[100, 2466],
            250,
        );
    }
}
