//! A load as entered and at factors of it, as the one who entered it knows it.

use crate::assess::results::Reserve;
use crate::report::show::{Printer, down, figures};
use crate::study::reserve::LoadReserve;
use crate::study::vary::Load;
use crate::units::{KILONEWTON, MILE_PER_HOUR, PSF, STANDARD_GRAVITY};

/// One load.
#[derive(Debug, Clone, Copy)]
pub(super) struct Amount {
    show: Printer,
    /// \[N/m²\]
    pressure: Option<f64>,
    /// \[m/s\]
    speed: Option<f64>,
    /// Whether it is entered as a mass as well.
    cover: bool,
}

impl Amount {
    pub(super) fn of(show: Printer, one: &LoadReserve) -> Self {
        let cover = one.load == Load::Cover;
        Self { show, pressure: one.entered, speed: one.entered_speed, cover }
    }

    /// Of what the notes hold.
    pub(super) fn of_notes(show: Printer, one: &Reserve) -> Self {
        let cover = one.load == Load::Cover.name();
        Self { show, pressure: one.entered, speed: one.entered_speed, cover }
    }

    /// Whether it is a wind speed.
    pub(super) fn is_speed(&self) -> bool {
        self.speed.is_some()
    }

    /// "0.6 kN/m² entered", "0.088 kN/m² (9 kg/m²) entered", "100 mph entered".
    pub(super) fn entered(&self) -> String {
        match (self.speed, self.pressure) {
            (Some(speed), _) => format!("{} entered", self.speed(speed)),
            (None, Some(pressure)) => {
                let mass = self.mass(pressure);
                let mass = mass.map_or_else(String::new, |mass| format!(" ({mass})"));
                format!("{}{mass} entered", self.show.pressure(pressure))
            }
            (None, None) => "as entered".to_owned(),
        }
    }

    /// "1.83 kN/m² (3.06 times)", "117.9 mph, 1.39 times the pressure", "2.52 times"; never more than it is.
    pub(super) fn at(&self, factor: f64) -> String {
        let times = format!("{} times", figures(down(factor, 3, 2), 3, 2));
        match (self.speed, self.pressure) {
            (Some(speed), _) => {
                format!("{}, {times} the pressure", self.speed_down(speed * factor.sqrt()))
            }
            (None, Some(pressure)) => format!("{} ({times})", self.pressure_down(pressure * factor)),
            (None, None) => times,
        }
    }

    /// As the head of a row or column.
    pub(super) fn head(&self, factor: f64) -> String {
        match (self.speed, self.pressure) {
            (Some(speed), _) => self.speed(speed * factor.sqrt()),
            (None, Some(pressure)) => self.show.pressure(pressure * factor),
            (None, None) => format!("{} times", figures(factor, 2, 1)),
        }
    }

    /// As [`Printer::pressure`], never more than it is.
    fn pressure_down(&self, pascals: f64) -> String {
        let (unit, decimals) = if self.show.imperial() { (PSF, 1) } else { (KILONEWTON, 3) };
        self.show.pressure(down(pascals / unit, 3, decimals) * unit)
    }

    /// A wind speed \[m/s\].
    fn speed(&self, speed: f64) -> String {
        let (unit, name) = self.speed_unit();
        format!("{} {name}", figures(speed / unit, 4, 1))
    }

    /// As [`Self::speed`], never more than it is.
    fn speed_down(&self, speed: f64) -> String {
        let (unit, name) = self.speed_unit();
        format!("{} {name}", figures(down(speed / unit, 4, 1), 4, 1))
    }

    fn speed_unit(&self) -> (f64, &'static str) {
        if self.show.imperial() { (MILE_PER_HOUR, "mph") } else { (1.0, "m/s") }
    }

    /// The weight of a cover as builders say it: "9 kg/m²"; psf is what they say anyhow.
    fn mass(&self, pascals: f64) -> Option<String> {
        let said = self.cover && !self.show.imperial();
        said.then(|| format!("{} kg/m²", figures(pascals / STANDARD_GRAVITY, 3, 2)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A speed is told as one, with what its pressure comes to; a weight of the cover in kilograms too; nothing is rounded up.
    #[test]
    fn a_load_is_told_as_it_was_entered() {
        let amount =
            |units, pressure, speed, cover| Amount { show: Printer::new(units), pressure, speed, cover };
        let mph = amount("imperial", None, Some(44.704), false);
        assert_eq!(
            (mph.entered(), mph.at(1.3909)),
            ("100 mph entered".into(), "117.9 mph, 1.39 times the pressure".into())
        );
        assert_eq!((mph.head(0.5), mph.head(0.0)), ("70.7 mph".into(), "0 mph".into()));
        let metric = amount("metric", None, Some(24.0), false);
        assert_eq!(
            (metric.entered(), metric.at(2.0)),
            ("24 m/s entered".into(), "33.9 m/s, 2 times the pressure".into())
        );
        let cover = amount("metric", Some(9.0 * STANDARD_GRAVITY), None, true);
        assert_eq!(cover.entered(), "0.088 kN/m² (9 kg/m²) entered");
        let snow = amount("metric", Some(600.0), None, false);
        assert_eq!(
            (snow.entered(), snow.at(1.2678)),
            ("0.6 kN/m² entered".into(), "0.76 kN/m² (1.26 times)".into())
        );
        let psf = amount("imperial", Some(25.0 * PSF), None, false);
        assert_eq!(
            (psf.entered(), psf.at(1.2678)),
            ("25 psf entered".into(), "31.6 psf (1.26 times)".into())
        );
        assert_eq!(amount("metric", None, None, false).at(2.527), "2.52 times");
    }
}
