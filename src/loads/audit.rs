//! Totals of what a case puts on the shell, to stand beside what it asked for.

use crate::loads::edge_share::EdgeShares;
use crate::loads::{Case, MemberLoad};
use crate::shell::Shell;
use crate::vector::Vec3;

/// What a case comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Audit {
    /// Total asked for \[N\], worked out apart from the loads.
    pub asked: Vec3,
    /// Total of the loads as they reach members and joints \[N\].
    pub applied: Vec3,
    /// Their moment about the origin \[N·m\].
    pub moment: Vec3,
    /// Least and greatest intensity on a panel, per true area: the component along its own mean
    /// direction where the case has one sign (snow: down), along the outward normal for wind \[N/m²\].
    pub intensity: [f64; 2],
    /// Area that it acts on \[m²\].
    pub area: f64,
    /// |asked − applied| over the greatest of |asked| and the sum of the loads' magnitudes (so that a
    /// case whose total vanishes is judged too).
    pub residual: f64,
}

/// Force and moment about the origin of a line load \[N, N·m\].
pub(crate) fn member_load(shell: &Shell, load: &MemberLoad) -> (Vec3, Vec3) {
    let [from, to] = shell.members[load.member.0].joints.map(|joint| shell.at(joint));
    let direction = (to - from).normalize();
    let length = load.span[1] - load.span[0];
    let [start, end] = load.intensity;
    let force = (start + end) * (0.5 * length);
    // First moment of the linear intensity about the start of the stretch: L²/6·(w0 + 2·w1).
    let first = (start + end * 2.0) * (length * length / 6.0);
    let begin = from + direction * load.span[0];
    (force, begin.cross(&force) + direction.cross(&first))
}

/// Share of a load that its totals may be apart before it is told as not all accounted for: the shapes that are built come to 0.3 % at most, of a
/// pressure that varies over a panel (own choice).
const APART: f64 = 0.005;

/// Of cases whose load on the timbers is not what was asked for, the one that is furthest apart.
#[must_use]
pub fn unaccounted(shell: &Shell, shares: &EdgeShares, cases: &[Case]) -> Option<String> {
    let apart = cases.iter().map(|case| (case, audit(shell, shares, case)));
    let (case, worst) = apart.reduce(|a, b| if b.1.residual > a.1.residual { b } else { a })?;
    (worst.residual > APART).then(|| {
        format!(
            "what reaches the timbers of the load `{}` is apart from what was asked for by {:.1} %: some of it is lost, or is where nobody asked for it",
            case.name,
            100.0 * worst.residual
        )
    })
}

/// The audit of one case.
pub(crate) fn audit(shell: &Shell, shares: &EdgeShares, case: &Case) -> Audit {
    let mut applied = Vec3::zeros();
    let mut moment = Vec3::zeros();
    let mut size = 0.0;
    for load in shares.share(&case.panels).iter().chain(&case.members) {
        let (force, about) = member_load(shell, load);
        applied += force;
        moment += about;
        size += force.norm();
    }
    for load in &case.joints {
        applied += load.force;
        moment += shell.at(load.joint).cross(&load.force);
        size += load.force.norm();
    }
    let mut intensity = [0.0_f64; 2];
    let mut area = 0.0;
    for (index, load) in case.panels.iter().enumerate() {
        let size = load.traction.norm();
        if size == 0.0 {
            continue;
        }
        let panel = shell.area_vector(load.panel);
        area += panel.norm();
        // Outward (suction) positive, so that pressure and suction keep apart; a vertical load counts down.
        let signed = if case.kind == crate::loads::CaseKind::Wind {
            load.traction.dot(&panel) / panel.norm()
        } else {
            size
        };
        intensity =
            if index == 0 { [signed, signed] } else { [intensity[0].min(signed), intensity[1].max(signed)] };
    }
    let scale = size.max(case.asked.norm());
    let residual = if scale > 0.0 { (case.asked - applied).norm() / scale } else { 0.0 };
    Audit { asked: case.asked, applied, moment, intensity, area, residual }
}
