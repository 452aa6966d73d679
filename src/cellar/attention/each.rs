//! The same question about many places, asked on as many threads as there are processors: what is asked of one place changes
//! nothing of another, and in a large cellar it is most of what a first frame waits for.

use std::num::NonZero;
use std::panic::resume_unwind;
use std::thread;

use crate::cellar::thing::Key;

/// So many places are asked sooner than a thread is begun for them.
const FEW: usize = 100;

/// The answers, in the order of the places.
pub(in crate::cellar) fn of_each<T: Send>(places: &[Key], ask: impl Fn(Key) -> T + Sync) -> Vec<T> {
    let of_some = |some: &[Key]| -> Vec<T> { some.iter().map(|it| ask(*it)).collect() };
    let threads = thread::available_parallelism().map_or(1, NonZero::get);
    let share = places.len().div_ceil(threads).max(FEW);
    let (first, others) = places.split_at(share.min(places.len()));
    thread::scope(|scope| {
        let others = others.chunks(share);
        let others: Vec<_> = others
            .map(|some| scope.spawn(move || of_some(some)))
            .collect();
        let mut answers = of_some(first);
        for it in others {
            answers.extend(it.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        answers
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_is_asked_once_and_answers_in_its_place() {
        for count in [0, 1, 99, 100, 101, 1_000] {
            let places: Vec<Key> = (0..count).map(Key).collect();
            let answers = of_each(&places, |it| it.0 * 2);
            let expected: Vec<i64> = (0..count).map(|it| it * 2).collect();
            assert_eq!(answers, expected);
        }
    }
}
