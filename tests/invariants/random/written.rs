//! How a person writes quantities down: bare, metric, or in feet, inches and pounds.

use proptest::prelude::*;

/// The habit of one project.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Written {
    /// Bare numbers in SI base units.
    Bare,
    /// Millimetres, metres, kilonewtons.
    Metric,
    /// Feet, inches, pounds.
    Imperial,
}

pub(crate) fn any() -> impl Strategy<Value = Written> {
    prop_oneof![2 => Just(Written::Bare), 1 => Just(Written::Metric), 1 => Just(Written::Imperial)]
}

impl Written {
    /// One of the three.
    fn of(self, value: f64, metric: (f64, &str), imperial: (f64, &str)) -> String {
        match self {
            Self::Bare => format!("{value:.6}"),
            Self::Metric => format!("\"{:.4} {}\"", value / metric.0, metric.1),
            Self::Imperial => format!("\"{:.4} {}\"", value / imperial.0, imperial.1),
        }
    }

    /// A length of the order of a shell \[m\].
    pub(crate) fn length(self, metres: f64) -> String {
        // Feet and inches apart go for what is longer than a foot.
        let inches = metres / 0.0254;
        if self == Self::Imperial && inches >= 24.0 {
            let feet = (inches / 12.0).floor();
            return format!("\"{feet:.0} ft {:.2} in\"", inches - 12.0 * feet);
        }
        self.of(metres, (1.0, "m"), (0.3048, "ft"))
    }

    /// A length of the order of a timber \[m\].
    pub(crate) fn size(self, metres: f64) -> String {
        self.of(metres, (1e-3, "mm"), (0.0254, "in"))
    }

    /// A moment \[N·m\].
    pub(crate) fn moment(self, newton_metres: f64) -> String {
        self.of(newton_metres, (1e3, "kN m"), (4.448_221_6 * 0.3048, "lb ft"))
    }

    /// \[N/m²\] of a load.
    pub(crate) fn pressure(self, pascals: f64) -> String {
        self.of(pascals, (1e3, "kN/m2"), (47.880_26, "psf"))
    }

    /// \[N/m²\] of a strength.
    pub(crate) fn strength(self, pascals: f64) -> String {
        self.of(pascals, (1e6, "N/mm2"), (6_894.757, "psi"))
    }

    /// \[N\].
    pub(crate) fn force(self, newtons: f64) -> String {
        self.of(newtons, (1e3, "kN"), (4.448_222, "lbf"))
    }

    /// \[m/s\].
    pub(crate) fn speed(self, metres_per_second: f64) -> String {
        self.of(metres_per_second, (1.0, "m/s"), (0.447_04, "mph"))
    }

    /// \[kg/m³\].
    pub(crate) fn density(self, value: f64) -> String {
        self.of(value, (1.0, "kg/m3"), (16.018_46, "lb/ft3"))
    }

    /// \[N m/rad per m\]; few people have it in pounds.
    pub(crate) fn per_length(self, value: f64) -> String {
        match self {
            Self::Bare => format!("{value:.1}"),
            Self::Metric | Self::Imperial => format!("\"{:.4} kN m/rad per m\"", value / 1e3),
        }
    }
}
