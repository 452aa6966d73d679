//! Of which batches a volume is made, and how it splits to the microlitre.

use super::amount::Volume;
use super::state::Share;
use super::thing::Things;

/// Takes `taken` out of `makeup` in its own proportions and gives what was taken. Parts are
/// rounded by largest remainder, ties by the batches' uids, so that they sum to the microlitre.
/// What is taken beyond what is there is owed by no batch.
pub fn take(makeup: &mut Vec<Share>, taken: Volume, things: &Things) -> Vec<Share> {
    let held: Volume = makeup.iter().map(|it| it.volume).sum();
    let there = taken.min(held).max(Volume::ZERO);
    let mut parts = proportional(makeup, there, things);
    for (share, part) in makeup.iter_mut().zip(&parts) {
        share.volume -= part.volume;
    }
    if taken > there {
        let owed = taken - there;
        join(
            &mut parts,
            &[Share {
                batch: None,
                volume: owed,
            }],
        );
        join(
            makeup,
            &[Share {
                batch: None,
                volume: -owed,
            }],
        );
    }
    makeup.retain(|it| it.volume != Volume::ZERO);
    parts.retain(|it| it.volume != Volume::ZERO);
    parts
}

/// Adds shares to a make-up, in order of key.
pub fn join(makeup: &mut Vec<Share>, more: &[Share]) {
    for share in more {
        match makeup.binary_search_by_key(&share.batch, |it| it.batch) {
            Ok(at) => makeup[at].volume += share.volume,
            Err(at) => makeup.insert(at, *share),
        }
    }
    makeup.retain(|it| it.volume != Volume::ZERO);
}

/// A volume spread over a make-up in its proportions, as water, syrup and spirit join.
pub fn pro_rata(makeup: &[Share], volume: Volume, things: &Things) -> Vec<Share> {
    if makeup.iter().map(|it| it.volume).sum::<Volume>() <= Volume::ZERO {
        return vec![Share {
            batch: None,
            volume,
        }];
    }
    proportional(makeup, volume, things)
}

fn proportional(makeup: &[Share], volume: Volume, things: &Things) -> Vec<Share> {
    let whole: i128 = makeup.iter().map(|it| i128::from(it.volume.0)).sum();
    if whole <= 0 {
        return makeup
            .iter()
            .map(|it| Share {
                volume: Volume::ZERO,
                ..*it
            })
            .collect();
    }
    let exact = |share: &Share| i128::from(share.volume.0) * i128::from(volume.0);
    let mut parts: Vec<Share> = makeup
        .iter()
        .map(|it| Share {
            volume: Volume(exact(it).div_euclid(whole) as i64),
            ..*it
        })
        .collect();
    let missing = volume - parts.iter().map(|it| it.volume).sum();
    let uid = |at: usize| {
        makeup[at]
            .batch
            .and_then(|key| things.get(&key))
            .map(|it| it.uid)
    };
    let mut order: Vec<usize> = (0..makeup.len()).collect();
    order.sort_by_key(|&at| {
        (
            std::cmp::Reverse(exact(&makeup[at]).rem_euclid(whole)),
            uid(at),
            makeup[at].batch,
        )
    });
    // Each part lost less than one microlitre, so there are fewer missing than parts.
    for &at in order.iter().take(missing.0 as usize) {
        parts[at].volume += Volume(1);
    }
    parts
}

#[cfg(test)]
mod tests {

    use super::*;
    use crate::cellar::thing::Key;

    fn shares(parts: &[i64]) -> Vec<Share> {
        (0..)
            .zip(parts)
            .map(|(key, &it)| Share {
                batch: Some(Key(key)),
                volume: Volume(it),
            })
            .collect()
    }

    fn check(held: &[i64], taken: i64, expected: &[i64]) {
        let mut makeup = shares(held);
        let parts = take(&mut makeup, Volume(taken), &Things::default());
        assert_eq!(
            parts.iter().map(|it| it.volume.0).collect::<Vec<_>>(),
            expected
        );
        let rest: i64 = makeup.iter().map(|it| it.volume.0).sum();
        assert_eq!(rest + taken, held.iter().sum::<i64>());
    }

    #[test]
    fn what_leaves_takes_the_make_up_along() {
        check(&[60, 40], 50, &[30, 20]);
    }

    #[test]
    fn a_microlitre_left_over_goes_to_the_largest_remainder() {
        check(&[2, 1], 1, &[1]);
        check(&[1, 1, 1], 2, &[1, 1]);
    }

    #[test]
    fn what_is_taken_beyond_what_is_there_is_owed_by_no_batch() {
        check(&[10], 15, &[5, 10]);
    }
}
