//! The palette: a colour is a meaning, with one value for a light ground and one for a dark one.
//!
//! Blue deepens with utilisation, amber is near, magenta is over; pushing is umber, pulling is teal.
//! No two meanings that stand side by side differ by red against green alone, and every meaning is
//! also told by width or dash. Contrast of text tints to their ground is at least 4.5 to 1, of line
//! tints at least 3 to 1 (a test holds them to it), but for grid lines and fills.

use crate::rules::Standing;

/// A colour by what it means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tint {
    /// Text and firm lines.
    Ink,
    /// Lesser text.
    Soft,
    /// Grid lines, the far side of the shell.
    Faint,
    /// The paper.
    Ground,
    /// Panels of the shell.
    Panel,
    /// Utilisation up to each of [`Tint::STEPS`], and above.
    Worked(u8),
    /// Pushed.
    Push,
    /// Pulled.
    Pull,
    /// A load that presses.
    Load,
    /// A load that sucks.
    Suction,
    /// Convex fold.
    Ridge,
    /// Concave fold.
    Valley,
    /// A shape that has moved.
    Moved,
    /// One of eight kinds, for fills.
    Kind(u8),
}

impl Tint {
    /// Every tint once.
    #[must_use]
    pub fn all() -> Vec<Self> {
        let mut all = vec![
            Self::Ink,
            Self::Soft,
            Self::Faint,
            Self::Ground,
            Self::Panel,
            Self::Push,
            Self::Pull,
            Self::Load,
            Self::Suction,
            Self::Ridge,
            Self::Valley,
            Self::Moved,
        ];
        all.extend((0..6).map(Self::Worked));
        all.extend((0..8).map(Self::Kind));
        all
    }

    /// Red, green, blue on a light ground.
    #[must_use]
    pub fn light(self) -> [u8; 3] {
        hex(self.values().0)
    }

    /// Red, green, blue on a dark ground.
    #[must_use]
    pub fn dark(self) -> [u8; 3] {
        hex(self.values().1)
    }

    /// Name of its variable in the page's style sheet.
    #[must_use]
    pub fn variable(self) -> String {
        match self {
            Self::Ink => "ink".to_owned(),
            Self::Soft => "soft".to_owned(),
            Self::Faint => "faint".to_owned(),
            Self::Ground => "ground".to_owned(),
            Self::Panel => "panel".to_owned(),
            Self::Worked(n) => format!("worked{n}"),
            Self::Push => "push".to_owned(),
            Self::Pull => "pull".to_owned(),
            Self::Load => "load".to_owned(),
            Self::Suction => "suction".to_owned(),
            Self::Ridge => "ridge".to_owned(),
            Self::Valley => "valley".to_owned(),
            Self::Moved => "moved".to_owned(),
            Self::Kind(n) => format!("kind{n}"),
        }
    }

    /// Up to which utilisation each step of [`Tint::Worked`] but the last goes; the last two as the verdict's words do.
    pub const STEPS: [f64; 5] = [0.25, 0.5, 0.7, Standing::WITHIN, Standing::NEAR];

    /// The tint that a utilisation is drawn in.
    #[must_use]
    pub fn of_utilisation(value: f64) -> Self {
        let mut step = 0;
        for limit in Self::STEPS {
            // Written so that anything that is not a number counts as over.
            if !matches!(
                value.partial_cmp(&limit),
                Some(std::cmp::Ordering::Less | std::cmp::Ordering::Equal)
            ) {
                step += 1;
            }
        }
        Self::Worked(step)
    }

    fn values(self) -> (u32, u32) {
        match self {
            Self::Ink => (0x1d_2429, 0xe9_ecea),
            Self::Soft => (0x56_6066, 0xa9_b2b5),
            Self::Faint => (0xb9_c0c2, 0x4e_585d),
            Self::Ground => (0xff_fdf8, 0x17_1c1f),
            Self::Panel => (0xd9_dfdc, 0x39_4347),
            Self::Worked(0) => (0x77_98a8, 0x5c_7f90),
            Self::Worked(1) => (0x4a_83a0, 0x6f_a0b8),
            Self::Worked(2) => (0x23_6587, 0x8c_c0d8),
            Self::Worked(3) => (0x0f_3f60, 0xc2_e4f3),
            Self::Worked(4) => (0xb3_7400, 0xf2_b63d),
            Self::Worked(_) => (0xa5_0e52, 0xff_74ad),
            Self::Push => (0x9c_4a05, 0xf0_a35c),
            Self::Pull => (0x00_6f80, 0x58_c7d8),
            Self::Load => (0x3b_5b8c, 0x93_b4e6),
            Self::Suction => (0x8a_3f7c, 0xdf_9ad2),
            Self::Ridge => (0x1c_5c6e, 0x83_c9db),
            Self::Valley => (0xa0_3c6b, 0xf0_90be),
            Self::Moved => (0x6b_3fa0, 0xc5_a3f0),
            Self::Kind(0) => (0xc9_dbe4, 0x2c_4856),
            Self::Kind(1) => (0xf0_d9a8, 0x5c_4a1f),
            Self::Kind(2) => (0xd9_c3dd, 0x4c_3a52),
            Self::Kind(3) => (0xbf_d8c6, 0x2b_4a38),
            Self::Kind(4) => (0xee_c6b3, 0x5e_3a2b),
            Self::Kind(5) => (0xc4_c8ea, 0x36_3c66),
            Self::Kind(6) => (0xe3_e0bd, 0x4a_4828),
            Self::Kind(_) => (0xd5_d5d5, 0x45_4a4d),
        }
    }
}

fn hex(value: u32) -> [u8; 3] {
    let [_, red, green, blue] = value.to_be_bytes();
    [red, green, blue]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast as the Web Content Accessibility Guidelines 2.1 define them.
    fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
        let luminance = |c: [u8; 3]| {
            let part = |v: u8| {
                let s = f64::from(v) / 255.0;
                if s <= 0.040_45 { s / 12.92 } else { ((s + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * part(c[0]) + 0.7152 * part(c[1]) + 0.0722 * part(c[2])
        };
        let (x, y) = (luminance(a), luminance(b));
        (x.max(y) + 0.05) / (x.min(y) + 0.05)
    }

    #[test]
    fn every_tint_stands_off_its_ground() {
        for tint in Tint::all() {
            let least = match tint {
                Tint::Ink | Tint::Soft => 4.5,
                Tint::Ground | Tint::Panel | Tint::Faint | Tint::Kind(_) => continue,
                _ => 3.0,
            };
            let light = contrast(tint.light(), Tint::Ground.light());
            let dark = contrast(tint.dark(), Tint::Ground.dark());
            assert!(light >= least, "{tint:?} on light: {light:.2}");
            assert!(dark >= least, "{tint:?} on dark: {dark:.2}");
        }
        // Letters of the verdict and labels on panel fills.
        for kind in 0..8 {
            assert!(contrast(Tint::Ink.light(), Tint::Kind(kind).light()) >= 4.5);
            assert!(contrast(Tint::Ink.dark(), Tint::Kind(kind).dark()) >= 4.5);
        }
    }

    #[test]
    fn a_utilisation_that_is_no_number_is_drawn_as_over() {
        assert_eq!(Tint::of_utilisation(f64::NAN), Tint::Worked(5));
        assert_eq!(Tint::of_utilisation(1.0), Tint::Worked(4));
        assert_eq!(Tint::of_utilisation(0.2), Tint::Worked(0));
        assert_eq!(Tint::of_utilisation(1.01), Tint::Worked(5));
    }
}
