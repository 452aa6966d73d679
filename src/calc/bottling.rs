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

/// What wine is searched to the millilitre; more than this is first filled into the largest bottles.
const SEARCHED_ML: u32 = 20_000;

/// How many bottles of each size take up the most of so much wine, in the order of the sizes, and what is left over in
/// millilitres. Of two ways that leave the same the one with fewer bottles.
///
/// A knapsack with so many of each size, to the millilitre: `fewest[v]` is the fewest bottles that hold exactly v.
pub fn fill(wine_ml: u32, sizes: &[Size]) -> (Vec<u32>, u32) {
    let mut counts = vec![0; sizes.len()];
    let mut left = wine_ml;
    let mut by_size: Vec<usize> = (0..sizes.len()).collect();
    by_size.sort_by_key(|at| std::cmp::Reverse(sizes[*at].ml));
    for at in by_size {
        let many = left.saturating_sub(SEARCHED_ML) / sizes[at].ml;
        counts[at] = many.min(sizes[at].most.unwrap_or(u32::MAX));
        left -= counts[at] * sizes[at].ml;
        if Some(counts[at]) != sizes[at].most {
            break;
        }
    }
    let items = bundles(left, sizes, &counts);
    let room: u32 = items
        .iter()
        .map(|item| item.count * sizes[item.at].ml)
        .sum();
    let mut fewest = vec![u32::MAX; left.min(room) as usize + 1];
    fewest[0] = 0;
    let mut taken = vec![vec![false; fewest.len()]; items.len()];
    for (item, taken) in items.iter().zip(&mut taken) {
        let ml = (item.count * sizes[item.at].ml) as usize;
        for v in (ml..fewest.len()).rev() {
            let with = fewest[v - ml].saturating_add(item.count);
            if with < fewest[v] {
                fewest[v] = with;
                taken[v] = true;
            }
        }
    }
    let held = fewest.iter().rposition(|it| *it != u32::MAX).unwrap_or(0);
    let mut v = held;
    for (item, taken) in items.iter().zip(&taken).rev() {
        if taken[v] {
            counts[item.at] += item.count;
            v -= (item.count * sizes[item.at].ml) as usize;
        }
    }
    (counts, left - held as u32)
}

/// Some bottles of one size, taken together or not at all.
struct Bundle {
    at: usize,
    count: u32,
}

/// Bundles of 1, 2, 4, … of each size, of which any number there are can be made up.
fn bundles(wine_ml: u32, sizes: &[Size], taken: &[u32]) -> Vec<Bundle> {
    let mut bundles = Vec::new();
    for (at, size) in sizes.iter().enumerate() {
        let there = size.most.map_or(u32::MAX, |most| most - taken[at]);
        let mut rest = there.min(wine_ml / size.ml);
        let mut count = 1;
        while rest > 0 {
            bundles.push(Bundle {
                at,
                count: count.min(rest),
            });
            rest -= count.min(rest);
            count *= 2;
        }
    }
    bundles
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
    fn most_wine_goes_into_fewest_bottles() {
        check(22_100, &[(750, None), (375, None)], &[29, 0], 350);
        check(22_125, &[(750, None), (375, None)], &[29, 1], 0);
        check(22_100, &[(375, None), (750, None)], &[0, 29], 350);
        check(1_000, &[(750, None), (500, None)], &[0, 2], 0);
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
    fn a_large_wine_fills_its_largest_bottles_first() {
        check(1_000_000, &[(750, None)], &[1333], 250);
        check(
            1_000_000,
            &[(750, Some(100)), (375, None)],
            &[100, 2466],
            250,
        );
    }
}
