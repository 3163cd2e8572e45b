//! Velocity pressure: given, or from a speed (EN 1991-1-4 4.2 to 4.5; ASCE 7 26.10).

use crate::loads::LoadError;
use crate::loads::ask::{AsceEdition, Basis, LoadsAsk, SpeedAsk, Terrain, WindAsk, WindStrength};
use crate::loads::figures::{figure, figure_si};
use crate::loads::snow::positive;
use crate::shell::{Shape, Shell};

/// The pressure that coefficients multiply.
pub(crate) struct Pressure {
    /// q with the direction factor \[N/m²\].
    pub(crate) value: f64,
    /// Gust factor on outside coefficients (ASCE 7 G; 1 in the Eurocode, whose qp is a gust's).
    pub(crate) gust: f64,
    /// How it came about.
    pub(crate) words: Vec<String>,
    /// Why it is provisional.
    pub(crate) provisional: Vec<String>,
}

/// The UK annex has no terrain categories: why a pressure by these is provisional under it, and what to enter.
pub(crate) fn terrain_is_not_the_annexs(ask: &LoadsAsk, wind: &WindAsk) -> Option<String> {
    let by_terrain = matches!(wind.strength, WindStrength::Speed(_));
    (ask.combine.uk && ask.basis == Basis::Eurocode && by_terrain).then(|| {
        "the terrain categories of EN 1991-1-4 Table 4.1 are not those of the UK annex, which goes by sea, country or town and the distance \
         to the shore and into town (its Figures NA.7 and NA.8, not held here): work the peak pressure out by the annex and enter \
         it as wind.pressure"
            .into()
    })
}

/// Height up to which EN 1991-1-4 6.2(1)a lets the structural factor be 1 \[m\].
const STEADY: f64 = 15.0;

fn steady(wind: &WindAsk, shell: &Shell) -> String {
    if shell.outline.rise + wind.wall_height < STEADY {
        "cs·cd 1 (EN 1991-1-4 6.2(1)a, below 15 m)".to_owned()
    } else {
        "cs·cd 1, though EN 1991-1-4 6.2(1)a lets it be so below 15 m alone: how such a shell answers gusts wants an engineer".to_owned()
    }
}

/// From what is asked.
pub(crate) fn of(ask: &LoadsAsk, wind: &WindAsk, shell: &Shell) -> Result<Pressure, LoadError> {
    if ask.basis == Basis::Eurocode {
        let (value, words) = match &wind.strength {
            WindStrength::Pressure(value) => {
                positive("wind.pressure", *value)?;
                (*value, format!("qp {value:.0} N/m², given"))
            }
            WindStrength::Speed(speed) => eurocode(ask, wind, speed, shell)?,
        };
        return Ok(Pressure {
            value,
            gust: 1.0,
            words: vec![words, steady(wind, shell)],
            provisional: terrain_is_not_the_annexs(ask, wind).into_iter().collect(),
        });
    }
    let edition = crate::loads::snow::asce::edition(ask)?;
    let direction = figure(
        "asce7_wind_constants",
        if shell.outline.shape == Shape::Dome || shell.outline.domed_ends.contains(&true) {
            "Kd circular dome"
        } else {
            "Kd building or arched roof"
        },
        "value",
    );
    let gust = figure("asce7_wind_constants", "gust G", "value");
    let (value, words) = match (&wind.strength, edition) {
        (WindStrength::Pressure(value), AsceEdition::Seven16) => {
            positive("wind.pressure", *value)?;
            (*value, format!("q {value:.0} N/m², given, Kd in it (7-16)"))
        }
        (WindStrength::Pressure(value), AsceEdition::Seven22) => {
            positive("wind.pressure", *value)?;
            (direction * value, format!("q {value:.0} N/m², given, × Kd {direction} (7-22)"))
        }
        (WindStrength::Speed(speed), _) => asce(edition, speed, wind, shell, direction)?,
    };
    let words = vec![words, format!("G {gust} (26.11)")];
    Ok(Pressure { value, gust, words, provisional: Vec::new() })
}

/// Peak velocity pressure \[N/m²\] of EN 1991-1-4 (4.8).
///
/// `height` \[m\], `basic` vb \[m/s\], `density` \[kg/m³\], `orography` co.
pub(crate) fn peak(
    terrain: Terrain,
    height: f64,
    basic: f64,
    density: f64,
    orography: f64,
) -> (f64, f64, f64) {
    let row = category(terrain).unwrap_or("II");
    let (z0, least) = (figure_si("en1991_terrain", row, "z0"), figure_si("en1991_terrain", row, "zmin"));
    let z = height.max(least);
    let k_r = 0.19 * (z0 / 0.05).powf(0.07);
    let c_r = k_r * (z / z0).ln();
    let mean = c_r * orography * basic;
    let turbulence = 1.0 / (orography * (z / z0).ln());
    ((1.0 + 7.0 * turbulence) * 0.5 * density * mean * mean, c_r, turbulence)
}

fn category(terrain: Terrain) -> Option<&'static str> {
    Some(match terrain {
        Terrain::Zero => "0",
        Terrain::I => "I",
        Terrain::II => "II",
        Terrain::III => "III",
        Terrain::IV => "IV",
        Terrain::B | Terrain::C | Terrain::D => return None,
    })
}

fn eurocode(
    ask: &LoadsAsk,
    wind: &WindAsk,
    speed: &SpeedAsk,
    shell: &Shell,
) -> Result<(f64, String), LoadError> {
    positive("wind.speed", speed.speed)?;
    let Some(name) = category(speed.terrain) else {
        return Err(LoadError::Basis {
            what: format!("exposure {:?}", speed.terrain),
            belongs: "ASCE 7",
            basis: "eurocode: terrain 0, I, II, III or IV",
        });
    };
    let height = speed.height.unwrap_or(shell.outline.rise + wind.wall_height);
    positive("wind.height", height)?;
    positive("wind.orography", speed.orography)?;
    if height > 200.0 {
        return Err(LoadError::OutOfRange {
            what: "wind.height".into(),
            value: height,
            limit: "at most 200 m (EN 1991-1-4 4.3.2)",
        });
    }
    let column = if ask.combine.uk { "UK" } else { "recommended" };
    let density = speed.air_density.unwrap_or_else(|| figure("en1990_factors", "air density kg/m3", column));
    let (value, c_r, turbulence) = peak(speed.terrain, height, speed.speed, density, speed.orography);
    let least = figure_si("en1991_terrain", name, "zmin");
    let below = if height < least {
        format!(", below zmin: cr and Iv are those of {least:.0} m")
    } else {
        String::new()
    };
    Ok((
        value,
        format!(
            "qp {value:.0} N/m² from vb {:.1} m/s, terrain {name}, {height:.2} m{below}, cr {c_r:.3}, co {}, Iv {turbulence:.3}, ρ {density} kg/m³ (EN 1991-1-4 4.3 to 4.5)",
            speed.speed, speed.orography
        ),
    ))
}

/// Kz of ASCE 7 (Table 26.10-1's formula); height \[m\].
pub(crate) fn exposure_factor(edition: AsceEdition, terrain: Terrain, height: f64) -> Option<f64> {
    let letter = match terrain {
        Terrain::B => "B",
        Terrain::C => "C",
        Terrain::D => "D",
        _ => return None,
    };
    let row = format!("{} {letter}", edition.name());
    let alpha = figure("asce7_wind_exposure", &row, "alpha");
    let gradient = figure_si("asce7_wind_exposure", &row, "zg");
    let factor = figure("asce7_wind_exposure", &row, "factor");
    Some(factor * (height.max(fifteen_feet()) / gradient).powf(2.0 / alpha))
}

/// The height below which Kz is that of it \[m\] (Table 26.10-1).
fn fifteen_feet() -> f64 {
    15.0 * crate::tables::read::to_si("ft").unwrap_or(0.3048)
}

fn asce(
    edition: AsceEdition,
    speed: &SpeedAsk,
    wind: &WindAsk,
    shell: &Shell,
    direction: f64,
) -> Result<(f64, String), LoadError> {
    positive("wind.speed", speed.speed)?;
    // Domes: q at the top; arches: at mean roof height, for which the top is no less.
    let top = shell.outline.rise + wind.wall_height;
    let height = speed.height.unwrap_or(top);
    positive("wind.height", height)?;
    positive("wind.orography", speed.orography)?;
    let Some(k_z) = exposure_factor(edition, speed.terrain, height) else {
        return Err(LoadError::Basis {
            what: format!("terrain {:?}", speed.terrain),
            belongs: "EN 1991-1-4",
            basis: "ASCE 7: exposure B, C or D",
        });
    };
    // 0.0000362 per foot (26.9).
    let k_e = speed.elevation.map_or(1.0, |z| (-0.000_036_2 * z / 0.3048).exp());
    let below = if height < fifteen_feet() {
        format!(" (that of {:.3} m, the least of the table)", fifteen_feet())
    } else {
        String::new()
    };
    let value = 0.613 * k_z * speed.orography * direction * k_e * speed.speed * speed.speed;
    Ok((
        value,
        format!(
            "q·Kd {value:.0} N/m² = 0.613·Kz·Kzt·Kd·Ke·V², Kz {k_z:.3} at {height:.2} m{below}, Kzt {}, Kd {direction}, Ke {k_e:.3}, V {:.1} m/s (ASCE {} 26.10)",
            speed.orography,
            speed.speed,
            edition.name()
        ),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn peak_pressure_repeats_published_figures() {
        // Steel Buildings in Europe, part 3, page 58: III, z 8 m, vb 26 m/s: cr 0.706, qp 659 N/m² (rounded on the way).
        let (q, c_r, _) = peak(Terrain::III, 8.0, 26.0, 1.25, 1.0);
        assert!((q - 661.8).abs() < 0.05 && (c_r - 0.7072).abs() < 5e-5, "{q} {c_r}");
        // A published calculation: III, z 7.02, vb 22: Iv 0.31718, qp 0.449 kN/m².
        let (q, _, turbulence) = peak(Terrain::III, 7.02, 22.0, 1.25, 1.0);
        assert!((q - 449.2).abs() < 0.05 && (turbulence - 0.31718).abs() < 5e-6);
        // Another: IV, z 9, vb 26: cr 0.54, Iv 0.434, qp 0.497 kN/m².
        let (q, c_r, turbulence) = peak(Terrain::IV, 9.0, 26.0, 1.25, 1.0);
        assert!((q - 496.9).abs() < 0.05 && (c_r - 0.54).abs() < 5e-4 && (turbulence - 0.434).abs() < 5e-4);
        // Another: 0, z 77.36, vb 25: cr 1.585, Iv 0.098, qp 1.658 kN/m².
        let (q, c_r, turbulence) = peak(Terrain::Zero, 77.36, 25.0, 1.25, 1.0);
        assert!((q - 1658.0).abs() < 0.5 && (c_r - 1.585).abs() < 5e-4 && (turbulence - 0.098).abs() < 5e-4);
    }

    #[test]
    fn exposure_factors_repeat_the_sheet() {
        // ce = (1 + 7 Iv) cr² at 3, 5, 10 m (computed by the reference sheet).
        let table = [
            (Terrain::Zero, [2.339, 2.604, 2.985]),
            (Terrain::I, [2.088, 2.367, 2.769]),
            (Terrain::II, [1.640, 1.929, 2.352]),
            (Terrain::III, [1.281, 1.281, 1.709]),
            (Terrain::IV, [1.176, 1.176, 1.176]),
        ];
        for (terrain, row) in table {
            for (z, wanted) in [3.0, 5.0, 10.0].into_iter().zip(row) {
                // Pressure over 0.5·ρ·vb² with ρ 2 and vb 1 is ce itself.
                let (q, _, _) = peak(terrain, z, 1.0, 2.0, 1.0);
                assert!((q - wanted).abs() < 6e-4, "{terrain:?} {z}: {q} {wanted}");
            }
        }
    }

    #[test]
    fn asce_kz_repeats_the_published_sheet() {
        // 35 m/s, exposure C, Kd 0.85: z 5 m Kz 0.8650 q 552.1 Pa; z 8 m Kz 0.9550 q 609.6 Pa (7-16).
        for (z, k, q) in [(5.0, 0.8650, 552.1), (8.0, 0.9550, 609.6)] {
            let k_z = exposure_factor(AsceEdition::Seven16, Terrain::C, z).unwrap();
            assert!((k_z - k).abs() < 6e-5, "{k_z}");
            assert!((0.613 * k_z * 0.85 * 35.0 * 35.0 - q).abs() < 0.1);
        }
        for (ft, b, c) in
            [(15.0, 0.573, 0.851), (20.0, 0.619, 0.903), (25.0, 0.657, 0.945), (30.0, 0.689, 0.981)]
        {
            let z = ft * 0.3048;
            assert!((exposure_factor(AsceEdition::Seven22, Terrain::B, z).unwrap() - b).abs() < 6e-4);
            assert!((exposure_factor(AsceEdition::Seven22, Terrain::C, z).unwrap() - c).abs() < 6e-4);
        }
    }
}
