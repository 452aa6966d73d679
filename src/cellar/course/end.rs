//! The end of a course whose beginning was far away from it: there a gravity stands or still creeps, and
//! beside the fall from the must all of that lies in one row.

use super::{Axes, Course};

/// A beginning so many times farther away than the least span that is drawn is far.
const FAR: f64 = 3.0;

impl Course {
    /// Its last readings by themselves, with what is expected from them on; `None` where they can be told
    /// apart in the whole.
    pub fn at_its_end(&self) -> Option<Course> {
        let near = Axes::least_span(self.decimals);
        let last = self.readings.last()?.value;
        let is_near = |value: f64| (value - last).abs() <= near * (1.0 + 1e-9);
        let before = self.readings.iter().rposition(|it| !is_near(it.value))?;
        let readings = self.readings[before + 1..].to_vec();
        let first = readings.first()?.at_ms;
        let farthest = self.readings.iter().map(|it| (it.value - last).abs());
        let is_far = farthest.fold(0.0, f64::max) > FAR * near;
        (is_far && readings.len() > 1).then(|| Course {
            title: format!("{} at its end", self.title),
            readings,
            expected: self
                .expected
                .iter()
                .filter(|it| it.at_ms >= first)
                .copied()
                .collect(),
            level: self.level.filter(|it| is_near(it.0)),
            ..self.clone()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::Point;
    use super::*;

    /// Which readings, one a day, stand alone in the end of a course with a level at 0.996.
    fn check(gravities: &[f64], expected: Option<&[f64]>) {
        let reading = |(at, value): (usize, &f64)| Point::exact(at as i64, *value);
        let course = Course {
            decimals: 3,
            readings: gravities.iter().enumerate().map(reading).collect(),
            level: Some((0.996, "dry")),
            ..Course::default()
        };
        let end = course.at_its_end();
        let found = end.map(|it| it.readings.iter().map(|it| it.value).collect::<Vec<_>>());
        assert_eq!(found.as_deref(), expected, "{gravities:?}");
    }

    #[test]
    fn the_end_is_drawn_by_itself_where_it_would_be_one_row() {
        let all = [1.085, 1.030, 1.002, 0.998, 0.997, 0.996];
        check(&all, Some(&all[2..]));
        // Stuck, far above dry.
        check(&[1.090, 1.021, 1.020, 1.020], Some(&[1.021, 1.020, 1.020]));
        // One alone shows no course, and what is near together is seen in the whole.
        check(&[1.085, 1.030, 0.998], None);
        check(&[1.020, 1.010, 0.998, 0.996], None);
        check(&[0.999, 0.998, 0.996], None);
        check(&[], None);
    }

    #[test]
    fn what_is_not_near_is_no_part_of_it() {
        let at = |gravities: &[f64]| {
            let reading = |value: &f64| Point::exact(0, *value);
            let course = Course {
                decimals: 3,
                readings: gravities.iter().map(reading).collect(),
                level: Some((0.996, "dry")),
                ..Course::default()
            };
            course.at_its_end().unwrap().level
        };
        assert_eq!(at(&[1.085, 0.998, 0.997]), Some((0.996, "dry")));
        assert_eq!(at(&[1.085, 1.021, 1.020]), None);
    }
}
