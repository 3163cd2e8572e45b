//! The places that a label may take, by what it tells of: on or beside a line, on or round a point, past arrows.

use super::crowd::{Area, Segment};

/// How far from a foot its label begins: past the arrow.
pub(super) const PAST_ARROW: f64 = 24.0;
/// A label without a line to its foot is nearer to that than to any other, by this.
const BESIDE_OWN: f64 = 8.0;

/// A place that a label may take.
pub(super) struct Choice {
    /// Middle of the label.
    pub(super) middle: [f64; 2],
    /// What it tells of, where a line is to lead there.
    pub(super) from: Option<[f64; 2]>,
    /// How far it is from the best place.
    pub(super) off: f64,
}

/// Beside a line, on both its sides and along it, near first.
pub(super) fn beside_line([a, b]: Segment, area: [f64; 2]) -> Vec<Choice> {
    let by = [b[0] - a[0], b[1] - a[1]];
    let long = by[0].hypot(by[1]).max(1e-9);
    let normal = [-by[1] / long, by[0] / long];
    // Above the line first.
    let up = if normal[1] > 0.0 { -1.0 } else { 1.0 };
    let reach = (normal[0].abs() * area[0] + normal[1].abs() * area[1]) / 2.0;
    let mut choices = Vec::new();
    for step in 0..12_u8 {
        let gap = 6.0 + 10.0 * f64::from(step);
        for share in [0.5, 0.36, 0.64, 0.22, 0.78] {
            let on = [a[0] + by[0] * share, a[1] + by[1] * share];
            for side in [up, -up] {
                let away = side * (reach + gap);
                choices.push(Choice {
                    middle: [on[0] + normal[0] * away, on[1] + normal[1] * away],
                    from: Some(on),
                    off: gap + 20.0 * (share - 0.5_f64).abs(),
                });
            }
        }
    }
    choices
}

/// Round a point in every direction, near first.
pub(super) fn round_point(at: [f64; 2], area: [f64; 2]) -> Vec<Choice> {
    let mut choices = Vec::new();
    for step in 0..12_u8 {
        let gap = 6.0 + 10.0 * f64::from(step);
        for turn in 0..16_u8 {
            let (sin, cos) = (f64::from(turn) * std::f64::consts::TAU / 16.0 - 1.0).sin_cos();
            let reach = ((area[0] / 2.0) / cos.abs().max(1e-9)).min((area[1] / 2.0) / sin.abs().max(1e-9));
            choices.push(Choice {
                middle: [at[0] + cos * (reach + gap), at[1] + sin * (reach + gap)],
                from: Some(at),
                off: gap,
            });
        }
    }
    choices
}

/// In a gap of a line, in its middle first; beside it where there is no room on it.
pub(super) fn on_line([a, b]: Segment, area: [f64; 2]) -> Vec<Choice> {
    let on = |share: f64| [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
    let mut choices: Vec<Choice> = [0.5, 0.42, 0.58, 0.34, 0.66, 0.27, 0.73]
        .into_iter()
        .map(|share| Choice { middle: on(share), from: None, off: 40.0 * (share - 0.5_f64).abs() })
        .collect();
    let by = [b[0] - a[0], b[1] - a[1]];
    let long = by[0].hypot(by[1]).max(1e-9);
    let normal = [-by[1] / long, by[0] / long];
    let reach = (normal[0].abs() * area[0] + normal[1].abs() * area[1]) / 2.0 + 1.5;
    for share in [0.5, 0.35, 0.65] {
        for side in [-1.0, 1.0] {
            let at = on(share);
            let middle = [at[0] + normal[0] * side * reach, at[1] + normal[1] * side * reach];
            choices.push(Choice { middle, from: None, off: 100.0 });
        }
    }
    choices
}

/// On a point, or close by.
pub(super) fn on_point(at: [f64; 2], area: [f64; 2]) -> Vec<Choice> {
    let (x, y) = (area[0] * 0.62, area[1] * 0.85);
    [[0.0, 0.0], [0.0, -y], [0.0, y], [x, 0.0], [-x, 0.0], [x, -y], [-x, -y], [x, y], [-x, y]]
        .into_iter()
        .map(|by: [f64; 2]| Choice {
            middle: [at[0] + by[0], at[1] + by[1]],
            from: None,
            off: 4.0 * by[0].hypot(by[1]),
        })
        .collect()
}

/// Away from the middle of the drawing and past the arrows of a foot. Where it is not right beside its own of all `feet`, a line leads
/// there.
pub(super) fn past_arrows(at: [f64; 2], middle: [f64; 2], area: [f64; 2], feet: &[[f64; 2]]) -> Vec<Choice> {
    let away_from = |middle: [f64; 2], foot: [f64; 2]| {
        let nearest = Area::about(middle, area[0], area[1]).nearest(foot);
        (nearest[0] - foot[0]).hypot(nearest[1] - foot[1])
    };
    // Of another foot than its own it keeps off by so much more.
    let astray = |middle: [f64; 2]| {
        let own = away_from(middle, at);
        feet.iter().any(|foot| {
            let another = (foot[0] - at[0]).hypot(foot[1] - at[1]) > 1.0;
            another && away_from(middle, *foot) < own + BESIDE_OWN
        })
    };
    let away = [at[0] - middle[0], at[1] - middle[1]];
    let long = away[0].hypot(away[1]).max(1e-9);
    let away = away.map(|v| v / long);
    let side = if away[0] < 0.0 { -1.0 } else { 1.0 };
    let below = if away[1] < 0.0 { -1.0 } else { 1.0 };
    let mut choices = Vec::new();
    for step in 0..7_u8 {
        // Above and below the shell a label stands to a side of the arrows, which run up and down there.
        for side in [side, -side] {
            let upright = away[0].abs() <= 0.5;
            if !upright && side * away[0] < 0.0 {
                continue;
            }
            let start = if upright { 8.0 * side } else { away[0] * PAST_ARROW };
            for along in [1.0, -1.0] {
                let shift = f64::from(step) * area[1] * 1.05;
                let x = at[0] + start + side * area[0] / 2.0;
                let y = at[1] + away[1] * PAST_ARROW + below * along * shift;
                let astray = astray([x, y]);
                choices.push(Choice {
                    middle: [x, y],
                    from: (step > 0 || astray).then_some(at),
                    off: shift + if along < 0.0 { 10.0 } else { 0.0 } + if astray { 15.0 } else { 0.0 },
                });
            }
        }
    }
    choices
}
