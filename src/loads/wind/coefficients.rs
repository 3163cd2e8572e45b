//! Outside coefficients of a dome (windward foot, crown, leeward foot) and of a vault (windward quarter,
//! middle half, leeward quarter), from the tables or the project's own. Never extrapolated: the nearest
//! figure held is used, and said so.

use crate::loads::ask::{Basis, LoadsAsk, WindAsk};
use crate::loads::figures::{curve, figure, table};
use crate::shell::Shell;

/// Windward, crown, leeward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Abc {
    pub(crate) a: f64,
    pub(crate) b: f64,
    pub(crate) c: f64,
}

/// Coefficients found, with what to say of them.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    pub(crate) abc: Abc,
    pub(crate) words: Vec<String>,
    pub(crate) provisional: Vec<String>,
}

/// The project's own coefficients, where it gives them.
pub(crate) fn own(wind: &WindAsk) -> Option<Found> {
    wind.coefficients.map(|[a, b, c]| Found {
        abc: Abc { a, b, c },
        words: vec![format!(
            "outside coefficients {a:+}, {b:+}, {c:+} (windward, crown, leeward): the project's own"
        )],
        provisional: Vec::new(),
    })
}

fn nearest(
    what: &str,
    value: f64,
    used: Option<f64>,
    words: &mut Vec<String>,
    provisional: &mut Vec<String>,
) {
    // A ratio that is a limit of the figure but for its last digit is inside.
    if let Some(used) = used.filter(|used| (value - used).abs() > 1e-9) {
        let text =
            format!("{what} {value:.2} is outside the figures held: those for {used} are used, the nearest");
        words.push(text.clone());
        provisional.push(text);
    }
}

/// Coefficients of a dome.
pub(crate) fn dome(ask: &LoadsAsk, wind: &WindAsk, shell: &Shell) -> Found {
    if let Some(found) = own(wind) {
        return found;
    }
    let us = ask.basis != Basis::Eurocode;
    let (name, place, figure_name) = if us {
        ("asce7_wind_dome", "f/D", "ASCE 7 Figure 27.3-2")
    } else {
        ("en1991_wind_dome", "f/d", "EN 1991-1-4 Figure 7.12")
    };
    let ratio = shell.outline.rise / shell.outline.span;
    let (a, far) = curve(name, place, "A", ratio);
    let wall = wind.wall_height / shell.outline.span;
    let c = curve(name, place, "C", ratio).0;
    let on_walls = curve(name, place, "C on walls", ratio).0;
    let c = c + (on_walls - c) * (wall / 0.5).min(1.0);
    let abc = Abc { a, b: curve(name, place, "B", ratio).0, c };
    let mut words = vec![format!(
        "outside {:+}, {:+}, {:+} (windward foot, crown, leeward foot; {figure_name})",
        abc.a,
        abc.b,
        (abc.c * 100.0).round() / 100.0
    )];
    let mut provisional = vec![format!(
        "dome coefficients of {figure_name} are from memory, for the hemisphere on the ground only; give your own coefficients to replace them"
    )];
    // A dome within a hundredth of the hemisphere is one.
    if (ratio - 0.5).abs() > 0.01 {
        nearest("rise over span", ratio, far, &mut words, &mut provisional);
    }
    if wind.wall_height > 0.0 {
        let what = "wall height over span, at the windward foot and the crown,";
        nearest(what, wall, Some(0.0), &mut words, &mut provisional);
    }
    Found { abc, words, provisional }
}

/// Coefficients of a vault's quarters; the second is the other value of the windward quarter, where there is one.
pub(crate) fn vault(ask: &LoadsAsk, wind: &WindAsk, shell: &Shell) -> (Found, Option<f64>) {
    if let Some(found) = own(wind) {
        return (found, None);
    }
    let ratio = shell.outline.rise / shell.outline.span;
    let wall = wind.wall_height / shell.outline.span;
    if ask.basis != Basis::Eurocode {
        return arch(ratio, wall);
    }
    let name = "en1991_wind_vault";
    let (ground, far) = curve(name, "f/d", "A h/d 0", ratio);
    let (high, _) = curve(name, "f/d", "A h/d 0.5", ratio);
    let part = (wall / 0.5).min(1.0);
    let a = ground + (high - ground) * part;
    let abc = Abc { a, b: curve(name, "f/d", "B", ratio).0, c: curve(name, "f/d", "C", ratio).0 };
    let mut words = vec![format!(
        "outside {a:+.2}, {:+.2}, {:+.2} on the windward quarter, the middle half and the leeward quarter of the arc, f/d {ratio:.2}, h/d {wall:.2} (EN 1991-1-4 Figure 7.11)",
        abc.b, abc.c
    )];
    let mut provisional = vec!["vault coefficients of EN 1991-1-4 Figure 7.11 are read through one published reading and remembered end values; give your own coefficients to replace them".to_owned()];
    nearest("rise over span", ratio, far, &mut words, &mut provisional);
    let suction = (part > 0.0 && ratio < 0.3).then(|| {
        let full = figure(name, "0.2", "A suction h/d 0.5");
        // From about −1.2 at f/d 0.2 off to the ordinary value at 0.3.
        let branch = if ratio <= 0.2 {
            full
        } else {
            full + (curve(name, "f/d", "A h/d 0.5", 0.3).0 - full) * (ratio - 0.2) / 0.1
        };
        ground + (branch - ground) * part
    });
    (Found { abc, words, provisional }, suction)
}

fn arch(ratio: f64, wall: f64) -> (Found, Option<f64>) {
    let name = "asce7_wind_arch";
    let condition = if wall > 0.0 { "elevated" } else { "from ground" };
    let held = table(name);
    let most = held.rows.iter().filter_map(|row| held.printed(row, "r to")).fold(0.0, f64::max);
    let r = ratio.min(most);
    let row = held
        .rows
        .iter()
        .filter(|row| row.name.starts_with(condition))
        .find(|row| {
            held.printed(row, "r to").is_some_and(|to| r < to || (r - most).abs() < 1e-12 && to >= most)
        })
        .expect("the rows of a condition reach the greatest r");
    let at = |constant: &str, slope: &str| {
        held.printed(row, constant).unwrap_or(0.0) + held.printed(row, slope).unwrap_or(0.0) * r
    };
    let abc = Abc {
        a: at("windward", "windward per r"),
        b: at("centre", "centre per r"),
        c: held.printed(row, "leeward").unwrap_or(0.0),
    };
    let mut words = vec![format!(
        "Cp {:+.3}, {:+.3}, {:+.3} on the windward quarter, centre half and leeward quarter, r {ratio:.2}, {condition} (ASCE 7 Figure 27.3-3)",
        abc.a, abc.b, abc.c
    )];
    let mut provisional = Vec::new();
    nearest("rise over span", ratio, (ratio > most).then_some(most), &mut words, &mut provisional);
    let other = (condition == "elevated" && (0.2..=0.3).contains(&r)).then_some(6.0 * r - 2.1);
    (Found { abc, words, provisional }, other)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::ask::Given;
    use crate::loads::tests::eurocode;

    /// Walls half as high as the dome is broad, and higher ones, leave a suction of half the pressure at the leeward foot; lower ones in
    /// proportion. What is not held is told.
    #[test]
    fn a_dome_on_walls_is_sucked_at_its_leeward_foot() {
        let shell = crate::loads::tests::dome(3);
        let span = shell.outline.span;
        for mut ask in [eurocode(), LoadsAsk { basis: Basis::UsAsd, ..eurocode() }] {
            for (wall, leeward) in [(0.0, 0.0), (0.25, -0.25), (0.5, -0.5), (2.0, -0.5)] {
                let Given::Value(wind) = &mut ask.wind else { panic!() };
                wind.wall_height = wall * span;
                let wind = wind.clone();
                let found = dome(&ask, &wind, &shell);
                assert!((found.abc.c - leeward).abs() < 1e-12, "{wall}: {}", found.abc.c);
                assert_eq!(
                    found.provisional.iter().any(|words| words.contains("at the windward foot")),
                    wall > 0.0
                );
            }
        }
    }
}
