//! The shape of a carboy: how high the wine stands in it, and how much of it the air touches.

use std::f64::consts::PI;

use crate::density::bisect;

/// How the shoulder runs from the body to the neck. Glass carboys are near the dome; both together give a band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shoulder {
    /// A straight line, as on a conical flask.
    Cone,
    /// An ellipse that leaves the body upright and is cut off at the neck.
    Dome,
}

/// A body with upright walls, a shoulder and a neck, all inside, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carboy {
    /// Radius of the body.
    pub radius: f64,
    /// Height of the upright part of the body.
    pub upright: f64,
    /// Height of the shoulder above it.
    pub shoulder: f64,
    /// Radius of the neck, less than the body's.
    pub neck_radius: f64,
    /// Length of the neck.
    pub neck_length: f64,
    /// How the shoulder runs.
    pub shape: Shoulder,
}

impl Carboy {
    /// The carboy whose body and shoulder hold so many millilitres to the foot of the neck. `None` where the shoulder alone
    /// holds more.
    ///
    /// h1 = (V − V(shoulder))/(πR²).
    pub fn holding(body_ml: f64, without_upright: Self) -> Option<Self> {
        let flat = Self {
            upright: 0.0,
            ..without_upright
        };
        let over = body_ml - flat.volume_ml(flat.shoulder);
        let area = PI * flat.radius.powi(2);
        (over >= 0.0).then(|| Self {
            upright: over * 1e3 / area,
            ..flat
        })
    }

    /// Height of the brim above the bottom inside.
    pub fn brim(&self) -> f64 {
        self.upright + self.shoulder + self.neck_length
    }

    /// Millilitres to the brim.
    pub fn brimful_ml(&self) -> f64 {
        self.volume_ml(self.brim())
    }

    /// Radius of the wine's surface at a height above the bottom.
    ///
    /// Cone: a = R + (r − R)·z/s. Dome: a = R·√(1 − (z/H)²), with H = s/√(1 − (r/R)²).
    fn radius_at(&self, height: f64) -> f64 {
        let z = height - self.upright;
        if z <= 0.0 {
            return self.radius;
        }
        if z >= self.shoulder {
            return self.neck_radius;
        }
        match self.shape {
            Shoulder::Cone => self.radius + (self.neck_radius - self.radius) * z / self.shoulder,
            Shoulder::Dome => self.radius * (1.0 - (z / self.dome_height()).powi(2)).sqrt(),
        }
    }

    /// Where the ellipse of the dome would close.
    fn dome_height(&self) -> f64 {
        self.shoulder / (1.0 - (self.neck_radius / self.radius).powi(2)).sqrt()
    }

    /// Surface of the wine (cm²) at a height above the bottom. πa².
    pub fn surface_cm2(&self, height: f64) -> f64 {
        PI * self.radius_at(height).powi(2) / 100.0
    }

    /// Millilitres below a height above the bottom.
    ///
    /// Body πR²·h; cone πz·(R² + R·a + a²)/3; dome πR²·(z − z³/(3H²)); neck πr²·z.
    pub fn volume_ml(&self, height: f64) -> f64 {
        let wide = self.radius.powi(2);
        let z = (height - self.upright).clamp(0.0, self.shoulder);
        let in_shoulder = match self.shape {
            Shoulder::Cone => {
                let a = self.radius + (self.neck_radius - self.radius) * z / self.shoulder;
                z * (wide + self.radius * a + a * a) / 3.0
            }
            Shoulder::Dome => wide * (z - z.powi(3) / (3.0 * self.dome_height().powi(2))),
        };
        let in_neck = (height - self.upright - self.shoulder).max(0.0) * self.neck_radius.powi(2);
        PI * (wide * height.min(self.upright) + in_shoulder + in_neck) / 1e3
    }

    /// How far below the brim (mm) the wine stands with so many millilitres of air above it, none to all it holds.
    pub fn below_brim(&self, headspace_ml: f64) -> f64 {
        let wine = self.brimful_ml() - headspace_ml;
        self.brim() - bisect(0.0, self.brim(), |height| self.volume_ml(height) - wine)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Expected: frustum π·90·(140² + 140·20 + 20²)/3 = 2148.8 mL, mean radius 80 mm, reckoned by hand.
    #[test]
    fn a_cone_holds_what_a_frustum_holds() {
        let cone = Carboy {
            radius: 140.0,
            upright: 0.0,
            shoulder: 90.0,
            neck_radius: 20.0,
            neck_length: 0.0,
            shape: Shoulder::Cone,
        };
        assert!((cone.brimful_ml() - 2148.8).abs() < 0.05);
        assert!((cone.surface_cm2(45.0) - 201.1).abs() < 0.05);
    }

    #[test]
    fn a_shoulder_that_holds_more_than_the_whole_is_none() {
        let flat = Carboy {
            radius: 200.0,
            upright: 0.0,
            shoulder: 200.0,
            neck_radius: 20.0,
            neck_length: 50.0,
            shape: Shoulder::Dome,
        };
        assert_eq!(Carboy::holding(1000.0, flat), None);
    }

    #[test]
    fn the_upright_part_follows_from_what_it_holds() {
        let flat = Carboy {
            radius: 140.0,
            upright: 0.0,
            shoulder: 90.0,
            neck_radius: 20.0,
            neck_length: 60.0,
            shape: Shoulder::Cone,
        };
        let tall = Carboy {
            upright: 250.0,
            ..flat
        };
        // π·140²·200/1000 = 12315.0 mL upright and 2148.8 in the frustum, by hand.
        for given in [flat, tall] {
            let carboy = Carboy::holding(14_463.8, given).expect("there is room for it");
            assert!((carboy.upright - 200.0).abs() < 0.01);
        }
    }
}
