//! Outside coefficients of what stands upright in the wind: framed ends, and doors wherever they are.

use std::f64::consts::{FRAC_PI_4, PI};

use crate::loads::ask::{Basis, LoadsAsk, WindAsk};
use crate::loads::figures::figure;
use crate::loads::section_line::{Ball, towards};
use crate::loads::wind::coefficients::{Abc, dome, vault};
use crate::loads::wind::outside::{Meridian, on_dome, way};
use crate::shell::{Shape, Shell};
use crate::vector::Vec3;

/// Outside coefficient at the foot of the shell on the side that faces a direction.
pub(crate) fn at_foot(ask: &LoadsAsk, wind: &WindAsk, shell: &Shell, direction: f64, facing: f64) -> f64 {
    let turn = turn(facing, direction);
    let ball = Ball::new(&shell.outline, Vec3::zeros());
    let around = || {
        let round = dome(ask, wind, shell).abc;
        let abc = Abc { a: windward_door(ask, round.a), ..round };
        on_dome(way(-ball.plan * turn.cos(), &ball), &abc, Meridian::Straight)
    };
    if shell.outline.shape != Shape::Vault {
        return around();
    }
    let at_end = is_along(facing);
    if at_end {
        let end = usize::from(quarter(facing) == 0);
        if shell.outline.domed_ends[end] {
            return around();
        }
    }
    // A flat end or the side of the vault: windward, leeward or beside the wind.
    let windward =
        if at_end { wall(ask, "windward wall") } else { windward_door(ask, vault(ask, wind, shell).0.abc.a) };
    let leeward = if at_end {
        behind(ask, wind, shell)
    } else if wind.wall_height > 0.0 && wind.coefficients.is_none() {
        wall(ask, "leeward wall").min(vault(ask, wind, shell).0.abc.c)
    } else {
        vault(ask, wind, shell).0.abc.c
    };
    match side(facing, direction) {
        Side::Windward => windward,
        Side::Leeward => leeward,
        Side::Beside => wall(ask, "side wall"),
    }
}

/// Outside coefficient at a windward door where the shell itself has a coefficient: a door is upright, so that no less than that of a
/// wall counts (own reading), whoever gives the shell's.
pub(crate) fn windward_door(ask: &LoadsAsk, shell: f64) -> f64 {
    shell.max(wall(ask, "windward wall"))
}

/// How far from the windward edge of an end wall beside the wind there is more suction \[m\], and its coefficient: e/5 (EN 1991-1-4
/// Figure 7.5). `None` where the wall is not beside the wind, and in ASCE 7, which has one coefficient for the frame of a side wall.
pub(crate) fn edge_of_side_wall(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    direction: f64,
    facing: f64,
) -> Option<(f64, f64)> {
    if ask.basis != Basis::Eurocode || side(facing, direction) != Side::Beside {
        return None;
    }
    let height = shell.outline.rise + wind.wall_height;
    let e = shell.outline.length.min(2.0 * height);
    Some((0.2 * e, wall(ask, "side wall edge")))
}

/// How a wall stands to the wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Windward,
    Leeward,
    Beside,
}

/// A side of a vault stands to the wind as the one that it is nearest to does to the one that the wind is nearest to, of the four.
fn side(facing: f64, direction: f64) -> Side {
    match (quarter(facing) - quarter(direction)).rem_euclid(4) {
        0 => Side::Windward,
        2 => Side::Leeward,
        _ => Side::Beside,
    }
}

/// The side of a vault that a direction counts as: 0 its end at +x, 1 its side at +y, 2 and 3 those opposite; within 45° of the ridge,
/// and at it but for rounding, an end.
pub(crate) fn quarter(direction: f64) -> i32 {
    let towards = towards(direction);
    match (towards.x.abs() > FRAC_PI_4.cos() - 1e-9, towards.x > 0.0, towards.y > 0.0) {
        (true, true, _) => 0,
        (true, false, _) => 2,
        (false, _, true) => 1,
        (false, _, false) => 3,
    }
}

/// Whether a direction counts as along a vault.
pub(crate) fn is_along(direction: f64) -> bool {
    quarter(direction) % 2 == 0
}

/// The angle between two directions, 0 to π.
fn turn(one: f64, other: f64) -> f64 {
    let turn = (one - other).rem_euclid(2.0 * PI);
    turn.min(2.0 * PI - turn)
}

/// Coefficient of a wall, by the name of its row.
pub(crate) fn wall(ask: &LoadsAsk, which: &str) -> f64 {
    if ask.basis == Basis::Eurocode {
        figure("en1991_wind_along", which, "cpe")
    } else {
        figure("asce7_wind_along", which, "Cp")
    }
}

/// Coefficient of a leeward end wall: it grows with height over length once that is more than 1 (EN 1991-1-4 Table 7.1; below 1 its
/// figure is kept).
fn behind(ask: &LoadsAsk, wind: &WindAsk, shell: &Shell) -> f64 {
    let ordinary = wall(ask, "leeward wall");
    if ask.basis != Basis::Eurocode {
        return ordinary;
    }
    let slender = (shell.outline.rise + wind.wall_height) / shell.outline.length;
    let tall = wall(ask, "leeward wall, h/d 5");
    ordinary + (tall - ordinary) * ((slender - 1.0) / 4.0).clamp(0.0, 1.0)
}
