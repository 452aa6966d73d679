//! Readings as a line of little bars.

const EIGHTHS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// The last so many values, the lowest as the lowest bar and the highest as the highest; a single
/// value, or values all alike, stand in the middle.
pub fn line(values: &[f64], cells: usize) -> String {
    let values = &values[values.len().saturating_sub(cells)..];
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let bar = |value: &f64| {
        let share = (value - low) / (high - low);
        let eighth = if share.is_finite() {
            (share * 7.0).round() as usize
        } else {
            3
        };
        EIGHTHS[eighth.min(7)]
    };
    values.iter().map(bar).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(values: &[f64], expected: &str) {
        assert_eq!(line(values, 5), expected, "{values:?}");
    }

    #[test]
    fn bars_go_from_the_lowest_to_the_highest() {
        check(&[], "");
        check(&[22.0], "▄");
        check(&[22.0, 22.0], "▄▄");
        check(&[0.0, 7.0, 3.0], "▁█▄");
        check(&[9.0, 9.0, 0.0, 7.0, 3.0, 1.0, 0.0], "▁█▄▂▁");
        check(&[1.0, f64::NAN, 2.0], "▁▄█");
    }
}
