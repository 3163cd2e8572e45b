//! Seams: whether the fixings carry what the shell asks of a seam.
//!
//! What is asked of a seam's fixings, and how it is got from a model of centre lines:
//!
//! - **turning moment** of the seam about its own line: moment over lever is the pull in the fixings, all of which act
//!   together; the other half of the couple is the bevel's edge, bearing across the grain;
//! - **opening** force that pulls the two frames apart: straight into the fixings' pull;
//! - what **leaves the corners** of the frames: nothing ties the strips through at a joint, so a corner is held by its
//!   neighbours alone, through the half seams next to the joint (`model::corners`): an opening that the first fixing
//!   takes, and pries it where the strip bends round it on to its neighbour; shear along the seam, which the fixings of the
//!   half seam share; shear through the shell, which the first one takes; and a pull across the mitre, that a test of the
//!   corner is compared with. No published rule was found for frames bolted edge to edge: own reading;
//! - shear **along** the seam, and **through** the shell where one panel leans on the other: shear of all fixings. Of
//!   these, and of the opening, a model of centre lines gives what the strips pass to each other as their panels are loaded
//!   unlike (half the difference of the two loads that reach the seam).
//!
//! [`NOT_SEEN`] is what no centre-line model can see here.

use crate::loads::Duration;
use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::fasteners::{JointTimber, nds};
use crate::rules::first_fixing::FirstFixing;
use crate::rules::members::{Conditions, RuleError};
use crate::rules::recorder::{Paper, Recorder, Silent};
use crate::rules::spacing::{self, Layout, Standard, Strip};
use crate::rules::{Check, Worst, seams_eurocode5, seams_nds};
use crate::tables::Tables;
use crate::tables::grade::Grade;
use crate::tables::nds::Temperature;
use crate::units::{Kind, Show, System, a_or_an};

/// What the resistance goes by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SeamBasis {
    /// EN 1995-1-1: design value = `k_mod` · characteristic / `γ_M` (2.17).
    Eurocode {
        /// `k_mod` of the shortest load in the combination.
        k_mod: f64,
        /// `γ_M` of connections, 1.3 (Table 2.3).
        gamma_m: f64,
    },
    /// NDS-2018, allowable stress or strength.
    Nds(nds::Service),
}

impl SeamBasis {
    /// From the conditions of the timber rules; connections take their own partial factor (1.3) and adjustments.
    ///
    /// # Errors
    ///
    /// [`RuleError`] where the service class, the duration or the grade do not belong to the basis.
    pub fn of(conditions: &Conditions, grade: &Grade) -> Result<Self, RuleError> {
        let format = match (grade, conditions.duration) {
            (Grade::Eurocode(grade), duration) => {
                let k_mod = crate::rules::eurocode5::load_duration(duration)
                    .ok_or_else(|| RuleError::Duration {
                        duration: format!("{duration:?}"),
                        basis: "eurocode",
                    })
                    .and_then(|duration| {
                        let class = conditions.service_class;
                        class
                            .and_then(|class| Tables::built_in().k_mod(grade.material, class, duration))
                            .ok_or(RuleError::ServiceClass { class })
                    })?;
                let tables = Tables::built_in();
                let gamma_m = if conditions.accidental {
                    tables.gamma_m_accidental()
                } else {
                    // What was entered is the timber's: an annex that lowers that does not lower the connections'.
                    let printed = tables.gamma_m_connections();
                    conditions.partial_factor.map_or(printed, |entered| entered.max(printed))
                };
                return Ok(Self::Eurocode { k_mod, gamma_m });
            }
            (Grade::Nds(_), Duration::LoadDurationFactor(duration)) => nds::Format::Asd { duration },
            (Grade::Nds(_), Duration::TimeEffectFactor(time_effect)) => nds::Format::Lrfd { time_effect },
            (Grade::Nds(_), duration) => {
                return Err(RuleError::Duration { duration: format!("{duration:?}"), basis: "us" });
            }
        };
        Ok(Self::Nds(nds::Service {
            format,
            wet: conditions.wet,
            made_wet: false,
            // The upper ends of the table's ranges.
            temperature_f: match conditions.temperature {
                Temperature::Usual => 100.0,
                Temperature::Warm => 125.0,
                Temperature::Hot => 150.0,
            },
        }))
    }

    /// Whose distances and resistances.
    #[must_use]
    pub fn standard(&self) -> Standard {
        match self {
            Self::Eurocode { .. } => Standard::Eurocode5,
            Self::Nds(_) => Standard::Nds,
        }
    }
}

/// Whose distances and resistances go with a grade.
#[must_use]
pub fn standard_of(grade: &Grade) -> Standard {
    match grade {
        Grade::Eurocode(_) => Standard::Eurocode5,
        Grade::Nds(_) => Standard::Nds,
    }
}

/// What is asked of the fixings of one seam, design values; signs do not matter except where it says so.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SeamDemand {
    /// Turning moment of the whole seam about its line \[N·m\].
    pub moment: f64,
    /// Force that pulls the two frames apart across the seam; pushing is negative and costs nothing \[N\].
    pub opening: f64,
    /// Shear along the seam, whole seam \[N\].
    pub along: f64,
    /// Shear through the shell's thickness, whole seam \[N\].
    pub through: f64,
    /// Opening of the half seam at one end, by the frames' corners there, and by what forces on one panel bring to one place; pushing is negative and costs nothing \[N\].
    pub end_opening: f64,
    /// Shear along the half seam at one end, likewise \[N\].
    pub end_along: f64,
    /// Shear through the shell in the half seam at one end, likewise \[N\].
    pub end_through: f64,
    /// Pull across the mitre of one corner of a frame; pushing is negative and costs nothing \[N\].
    pub mitre: f64,
}

/// Stands for the source of a value that another check of the same working works out.
pub const ELSEWHERE: &str = "worked out in a table of this working";

/// One seam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeamInput {
    /// The strip, both alike.
    pub strip: Strip,
    /// The widest corner of a frame in which it ends \[rad\].
    pub corner: f64,
    /// What joins them.
    pub fixings: FixingsAsk,
    /// The timber.
    pub timber: JointTimber,
    /// Adjusted shear strength `F_v′` of the strip's timber \[Pa\] (NDS); not used under the Eurocode.
    pub shear_strength: Option<f64>,
    /// Basis and duration.
    pub basis: SeamBasis,
    /// What is asked.
    pub demand: SeamDemand,
}

/// What no model of centre lines can see at a seam, for the notes.
pub const NOT_SEEN: [&str; 10] = [
    "which single fixing works hardest: the model knows the seam as a whole, not fixing by fixing",
    "that a corner of a frame gives: its strips are taken to hold each other there, by screws in end grain that only a test can rate",
    "that frames press on each other at their corners where timbers push: the timber there crushes until enough of it bears",
    "that the strips lie beside the centre line, turned by half the fold: twist and sideways bending from that",
    "that a strip presses its neighbour with one edge where a corner opens, and is twisted by it",
    "prying by more than one strip's bending, and the slip of a bolt in its hole before it bites",
    "washers on a face that is not square to the bolt",
    "contact on one edge only where a bevel is cut wrongly: the seam turns freely until it closes",
    "that an edge bears over some depth: where it is worked to its limit, the lever is a quarter shorter and the pull a \
     third greater than moment over the whole lever",
    "drying, splitting, and bolts that go slack",
];

/// Values that the checks of either standard share.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Work<'a> {
    pub(crate) seam: &'a SeamInput,
    pub(crate) layout: Layout,
    /// Angle of the greatest shear to the grain, as the wood that bears goes by it \[°\].
    pub(crate) angle_deg: f64,
    /// The same, as what depends on the row goes by it; another one only where a bound is wanted \[°\].
    pub(crate) row_deg: f64,
    pub(crate) first: FirstFixing,
}

/// Fixings that share what comes along a half seam; a single one serves both halves.
#[must_use]
pub fn in_half(per_seam: usize) -> f64 {
    if per_seam < 2 { 0.5 } else { (per_seam / 2) as f64 }
}

/// Fixings that take what comes through the shell at a corner: the first one, which is both ends' where it is the only one.
#[must_use]
pub(crate) fn first_of_end(per_seam: usize) -> f64 {
    if per_seam < 2 { 0.5 } else { 1.0 }
}

/// A seam with its fixings laid out: what does not go by what is asked of it is worked out once.
#[derive(Debug, Clone, Copy)]
pub struct Laid {
    input: SeamInput,
    layout: Layout,
    first: FirstFixing,
}

impl Laid {
    /// Lays the fixings of a seam out; its demand is not looked at.
    #[must_use]
    pub fn new(input: &SeamInput) -> Self {
        let standard = input.basis.standard();
        let layout = spacing::layout(&input.fixings, &input.strip, standard);
        let first = FirstFixing::of(&input.fixings, &input.strip, input.corner, &input.timber, standard);
        Self { input: *input, layout, first }
    }

    /// The worst check under a demand; no allocation.
    #[must_use]
    pub fn worst(&self, demand: SeamDemand) -> Worst {
        let mut silent = Silent::new();
        self.checks(&mut silent, demand);
        silent.worst().unwrap_or(Worst {
            utilisation: 0.0,
            rule: "nothing asked of the fixings",
            clause: "",
            place: 0,
        })
    }

    /// Distances as checks where the shear is so directed; nothing where nothing holds.
    pub(crate) fn distances<R: Recorder>(&self, r: &mut R, shear: spacing::Shear) {
        let Self { input, layout, .. } = self;
        spacing::check(r, &input.fixings, &input.strip, (input.basis.standard(), layout), shear);
    }

    /// All checks but the distances under a demand, at angles of the shear to the grain \[°\]: as the wood that bears goes by it, and as
    /// what depends on the row does.
    pub(crate) fn resistances<R: Recorder>(&self, r: &mut R, demand: SeamDemand, angles: [f64; 2]) {
        let seam = &SeamInput { demand, ..self.input };
        let (layout, first, [angle_deg, row_deg]) = (self.layout, self.first, angles);
        let work = Work { seam, layout, angle_deg, row_deg, first };
        match seam.basis {
            SeamBasis::Eurocode { k_mod, gamma_m } => seams_eurocode5::checks(r, &work, k_mod, gamma_m),
            SeamBasis::Nds(service) => seams_nds::checks(r, &work, service),
        }
        mitre(r, seam);
    }

    /// Whether there is no fixing, or none inside the strip.
    pub(crate) fn nothing_holds(&self) -> bool {
        self.input.fixings.per_seam == 0 || self.layout.lever <= 0.0 || self.layout.thickness <= 0.0
    }

    fn checks<R: Recorder>(&self, r: &mut R, demand: SeamDemand) {
        let Self { input, layout, .. } = self;
        if self.nothing_holds() {
            r.input("fixings in the seam", "n", input.fixings.per_seam as f64, "–", "");
            r.input("lever", "a", layout.lever * 1e3, "mm", "");
            r.input("thickness of the strip at the fixing", "t", layout.thickness * 1e3, "mm", "");
            let u = r.input("utilisation: nothing there to hold", "η", f64::INFINITY, "–", "");
            r.close("fixings outside the strip, or none", "geometry of the bevelled strip", u);
            return;
        }
        let n = input.fixings.per_seam as f64;
        // Only the direction is needed here; the checks work the sizes out line by line.
        let per_seam = input.fixings.per_seam;
        let along = demand.end_along.abs() / in_half(per_seam) + demand.along.abs() / n;
        let through = demand.end_through.abs() / first_of_end(per_seam) + demand.through.abs() / n;
        // 0 where neither is.
        let angle_deg = crate::units::degrees(through.atan2(along));
        self.distances(
            r,
            spacing::Shear { angle_deg, any: along > 0.0 || through > 0.0, pulled: pulled(&demand) },
        );
        self.resistances(r, demand, [angle_deg; 2]);
    }
}

/// The worst check of a seam; no allocation.
#[must_use]
pub fn worst_seam(input: &SeamInput) -> Worst {
    Laid::new(input).worst(input.demand)
}

/// Every check of a seam with its working; distances first.
#[must_use]
pub fn working_seam(input: &SeamInput) -> Vec<Check> {
    let mut paper = Paper::new();
    Laid::new(input).checks(&mut paper, input.demand);
    paper.into_checks()
}

/// The pull across the mitre of a corner against what a test gave; without one there is nothing to compare.
fn mitre<R: Recorder>(r: &mut R, input: &SeamInput) {
    if input.demand.mitre <= 0.0 || input.fixings.corner_pull.is_none() {
        return;
    }
    let (size, unit) = match input.basis {
        SeamBasis::Eurocode { .. } => (1.0, "N"),
        SeamBasis::Nds(_) => (crate::units::POUND_FORCE, "lb"),
    };
    let pull = r.input(
        "pull across the mitre of a corner",
        "F_m",
        input.demand.mitre / size,
        unit,
        "balance of the corner",
    );
    let held = corner(input) / size;
    let held = r.input("what a corner holds by test, design value", "F_m,R", held, unit, "the test entered");
    let u = r.derived("utilisation", "η", "F_m/F_m,R", pull / held, "–", "");
    r.close("pull across the corner of a frame", "own test", u);
}

/// Design value of a tested corner \[N\]; 0 without a test.
pub(crate) fn corner(input: &SeamInput) -> f64 {
    let tested = input.fixings.corner_pull.unwrap_or(0.0).max(0.0);
    match input.basis {
        SeamBasis::Eurocode { k_mod, gamma_m } => tested * k_mod / gamma_m,
        // A test on an ultimate basis is not an allowable load: a fifth for allowable stress (common practice for
        // tested withdrawal), for strength converted as connections are (K_F·φ·λ).
        SeamBasis::Nds(nds::Service { format: nds::Format::Asd { .. }, .. }) => tested / 5.0,
        SeamBasis::Nds(nds::Service { format: nds::Format::Lrfd { time_effect }, .. }) => {
            tested / 5.0 * nds::conversion() * nds::resistance() * time_effect.min(1.0)
        }
    }
}

/// Whether the fixings are pulled along themselves.
pub(crate) fn pulled(demand: &SeamDemand) -> bool {
    demand.moment.abs() > 0.0 || demand.opening > 0.0 || demand.end_opening > 0.0
}

/// Whether the withdrawal rule of EN 1995-1-1 8.7.2(4) holds for a screw: 6 to 12 mm thick, root 0.6 to 0.75 of that.
pub(crate) fn withdrawal_holds(diameter: f64, root: f64) -> bool {
    (0.006 - 1e-9..=0.012 + 1e-9).contains(&diameter)
        && (0.6 - 1e-9..=0.75 + 1e-9).contains(&(root / diameter))
}

/// What was assumed or could not be checked, in sentences for the notes; sizes in `units`.
#[must_use]
pub fn remarks(input: &SeamInput, units: System) -> Vec<String> {
    let fixings = &input.fixings;
    let standard = input.basis.standard();
    let layout = spacing::layout(fixings, &input.strip, standard);
    let show = Show::new(units);
    let size = |metres: f64| show.text(Kind::Size, metres);
    let mut said = Vec::new();
    if let Some(why) = spacing::why_not(fixings, &input.strip, standard, 0.0, units) {
        said.push(why);
    }
    let middle = (fixings.lever - input.strip.depth / 2.0).abs() < 1e-9;
    if input.strip.bevelled && input.strip.fold.abs() > 1e-6 && !middle {
        said.push(format!(
            "the holes are off mid-depth: mark them {} from the strip's narrow face, the way that leaves the larger \
             edge distance as the bolt stands skew to the strip",
            size(layout.lever),
        ));
    }
    if fixings.steel.is_none() {
        said.push(format!(
            "the steel of the fixings was not given: {} in tension assumed",
            show.text(Kind::Stress, layout.steel)
        ));
    }
    if fixings.kind != FixingKind::Screw && fixings.washer.is_none() {
        said.push(format!("no washer was given: {} assumed, three diameters", size(layout.washer)));
    }
    let allowed = match standard {
        Standard::Eurocode5 => crate::units::MILLIMETRE,
        Standard::Nds => crate::units::INCH / 16.0,
    };
    if let Some(wider) = fixings.clearance.filter(|wider| *wider > allowed + 1e-9) {
        said.push(format!(
            "the holes are {} wider than the bolts, and no more than {} is allowed ({}): what is told of their shear does not hold for them",
            size(wider),
            size(allowed),
            if standard == Standard::Nds { "NDS 12.1.3" } else { "EN 1995-1-1 10.4.3" }
        ));
    }
    if fixings.end.is_none() {
        said.push("the place of the fixings was not given: spread evenly along the seam assumed".to_owned());
    }
    if fixings.kind != FixingKind::Bolt {
        said.extend(screw_remarks(input, &layout, show));
    }
    if fixings.corner_pull.is_none() {
        said.push(
            "the corners of the frames were not checked for their pull: no tested value was entered"
                .to_owned(),
        );
    }
    said
}

/// Of screws and coach screws alone.
fn screw_remarks(input: &SeamInput, layout: &Layout, show: Show) -> Vec<String> {
    let fixings = &input.fixings;
    let standard = input.basis.standard();
    let size = |metres: f64| show.text(Kind::Size, metres);
    let mut said = Vec::new();
    if fixings.length.is_none() {
        said.push(format!(
            "the length of the screws was not given: {} in the far strip assumed, {} short of through",
            size(layout.penetration),
            size(spacing::SHORT_OF_THROUGH)
        ));
    }
    if fixings.thread.is_none() {
        said.push("the length of thread was not given: thread all through the far strip assumed".to_owned());
    }
    if fixings.root.is_none() {
        said.push(format!("the root diameter was not given: {} assumed", size(layout.root)));
    }
    if standard == Standard::Nds
        && (fixings.withdrawal.is_some() || fixings.head_pull.is_some() || fixings.declared_density.is_some())
    {
        said.push(
            "the maker's values that were entered are not used: the NDS has its own for withdrawal and heads; where the \
             maker's are lower, less holds than told"
                .to_owned(),
        );
    }
    if (fixings.withdrawal.is_some() || fixings.head_pull.is_some()) && fixings.declared_density.is_none() {
        said.push(
            "the density that the maker's values belong to was not given: 350 kg/m³ is taken, and in denser timber its own, so \
             that it gains nothing"
                .to_owned(),
        );
    }
    if standard == Standard::Eurocode5 {
        if fixings.withdrawal.is_none() && !withdrawal_holds(fixings.diameter, layout.root) {
            said.push(format!(
                "EN 1995-1-1 has no withdrawal rule for {} {} screw with a root of {}: take 6 to 12 mm with a root of 0.6 to \
                 0.75 of that, or enter the maker's declared value",
                a_or_an(&size(fixings.diameter)),
                size(fixings.diameter),
                size(layout.root)
            ));
        }
        if fixings.withdrawal.is_some() && fixings.kind == FixingKind::Screw && !fixings.predrilled {
            said.push(
                "the screws are taken as driven the way the maker's assessment says: whether the timber wants drilled \
                 holes, or is thick enough to go without, was not checked"
                    .to_owned(),
            );
        }
        if layout.thickness < 12.0 * fixings.diameter {
            said.push(
                "the strip is thinner than 12 diameters: the spacings of EN 1995-1-1 Table 8.6 for pulled \
                 screws, which were used, do not cover it"
                    .to_owned(),
            );
        }
    }
    if let Some(why) = heads_unchecked(fixings, standard) {
        let rope =
            if standard == Standard::Eurocode5 { ", and no rope effect was taken in shear" } else { "" };
        said.push(format!("pull-through of the screw heads was not checked{rope}: {why}"));
    }
    said
}

/// What is lacking for the heads of screws to be compared with what they pull through; nothing where they are, or nothing has such heads.
#[must_use]
pub fn heads_unchecked(fixings: &FixingsAsk, standard: Standard) -> Option<&'static str> {
    match standard {
        _ if fixings.kind != FixingKind::Screw => None,
        Standard::Eurocode5 if fixings.head_pull.is_none() => {
            Some("no declared value was given ([fixings] head_pull, from the maker)")
        }
        // The declared value is per square of the head's diameter.
        Standard::Eurocode5 if fixings.head.is_none() => {
            Some("no head diameter was given ([fixings] head) to go with head_pull")
        }
        Standard::Nds if fixings.head.is_none() => Some("no head diameter was given ([fixings] head)"),
        _ => None,
    }
}

#[cfg(test)]
#[path = "seams_tests.rs"]
pub(in crate::rules) mod tests;

#[cfg(test)]
#[path = "seams_basis_tests.rs"]
mod basis_tests;

#[cfg(test)]
#[path = "seams_remarks_tests.rs"]
mod remarks_tests;
