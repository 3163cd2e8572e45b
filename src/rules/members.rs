//! Timbers: what one strip carries against what it may, by the basis of the project.
//!
//! In: the section, the length, the grade, the conditions, how it is held, and its forces at some
//! places along it. Out: the worst utilisation ([`worst`], no allocation) or every check with its
//! working ([`working`]); both come from the same lines of code.
//!
//! What a bevelled section means here: `A`, `I`, `W` are those of the finished trapezium, with the
//! smaller modulus of the two faces; the sizes in size factors and depth rules are those of the
//! rectangle that it was cut from, which errs to the careful side; what holds only for rectangles
//! (`k_m` = 0.7, the short form of `σ_m,crit`) is not used for a trapezium. The principal axes of a
//! right trapezium lie a little askew; the strip is held to its panel and its neighbour is its mirror
//! image, so bending is taken about its own y and z.

use crate::loads::Duration;
use crate::loads::ask::Basis;
use crate::rules::ask::{FixingKind, FixingsAsk, MembersAsk};
use crate::rules::recorder::Silent;
use crate::rules::sheet::Sheet;
use crate::rules::{Check, Worst, eurocode5, nds};
use crate::section::Section;
use crate::section::forces::StripForces;
use crate::tables::grade::{EurocodeGrade, Grade};
use crate::tables::nds::{NdsGrade, Temperature};
use crate::units::{INCH, MILLIMETRE};

pub use crate::rules::ask::{LoadEdge, NdsLoading, Restraint, SideHold};

/// Surroundings and choices that the strengths depend on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Basis; decides which of the rest are read.
    pub basis: Basis,
    /// How long the shortest load of the combination lasts.
    pub duration: Duration,
    /// Eurocode: service class 1, 2 or 3.
    pub service_class: Option<u8>,
    /// Eurocode: an accidental combination (`gamma_M` = 1.0).
    pub accidental: bool,
    /// Eurocode: `gamma_M` of a national annex; `None` takes Table 2.3.
    pub partial_factor: Option<f64>,
    /// Eurocode: `k_sys`, 1.0 unless the user says that a continuous layer shares load between equal
    /// neighbours (6.6); it seldom does in a triangulated shell.
    pub k_sys: f64,
    /// NDS: moisture in service above 19 %.
    pub wet: bool,
    /// NDS: sustained temperature.
    pub temperature: Temperature,
    /// NDS: incised for treatment.
    pub incised: bool,
    /// NDS: repetitive members (`C_r` = 1.15); the ribs of a panel frame are not, in that sense.
    pub repetitive: bool,
}

impl Conditions {
    /// Eurocode conditions with every choice at its careful default.
    #[must_use]
    pub fn eurocode(service_class: u8, duration: Duration) -> Self {
        Self {
            basis: Basis::Eurocode,
            duration,
            service_class: Some(service_class),
            accidental: false,
            partial_factor: None,
            k_sys: 1.0,
            wet: false,
            temperature: Temperature::Usual,
            incised: false,
            repetitive: false,
        }
    }

    /// NDS conditions; the method follows from the duration (`C_D` is ASD, λ is LRFD).
    #[must_use]
    pub fn nds(wet: bool, duration: Duration) -> Self {
        let basis = match duration {
            Duration::LoadDurationFactor(_) => Basis::UsAsd,
            _ => Basis::UsLrfd,
        };
        Self { basis, service_class: None, wet, ..Self::eurocode(1, duration) }
    }
}

impl Conditions {
    /// These conditions with what the project chooses for its timbers.
    #[must_use]
    pub fn with(self, ask: &MembersAsk) -> Self {
        Self {
            partial_factor: ask.partial_factor,
            k_sys: ask.k_sys,
            wet: ask.wet.unwrap_or(self.wet),
            temperature: ask.temperature,
            incised: ask.incised,
            repetitive: ask.repetitive,
            ..self
        }
    }
}

/// What surroundings leave of the mean modulus in service: `C_M C_t C_i` on E under the NDS (Table 4.3.1),
/// 1 under the Eurocode, which has it in `k_def` alone.
#[must_use]
pub fn service_modulus_factor(grade: &Grade, conditions: &Conditions) -> f64 {
    match grade {
        Grade::Eurocode(_) => 1.0,
        Grade::Nds(grade) => nds::modulus_factor(grade, conditions),
    }
}

/// What the format makes of `E_min` for stability: `K_F φ_s` under LRFD (NDS Tables 2.3.5, 2.3.6), else 1.
#[must_use]
pub fn stability_format_factor(basis: Basis) -> f64 {
    match basis {
        Basis::UsLrfd => nds::strength_factor_on_e_min(),
        Basis::UsAsd | Basis::Eurocode => 1.0,
    }
}

/// A hole through the breadth (the bolts of a seam): its section is taken off in tension and bending, under the NDS in
/// compression too, at every place along the timber, as if there were one everywhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    /// Diameter \[m\].
    pub diameter: f64,
    /// Its distance from mid-depth, either way \[m\].
    pub off: f64,
}

impl Hole {
    /// The hole that the fixings of a seam make in a strip of some depth \[m\]; none for thin screws driven without one.
    ///
    /// # Source
    ///
    /// EN 1995-1-1 5.2 (nails and screws up to 6 mm, not drilled for, are not taken off); NDS 3.1.2 (all that is bored
    /// away), 12.1.3 (holes of bolts up to 1/16 in wider). From memory, high.
    #[must_use]
    pub fn of(fixings: &FixingsAsk, depth: f64, basis: Basis) -> Option<Self> {
        let wider = match basis {
            Basis::Eurocode => MILLIMETRE,
            Basis::UsAsd | Basis::UsLrfd => INCH / 16.0,
        };
        let diameter = match fixings.kind {
            FixingKind::Bolt => Some(fixings.diameter + fixings.clearance.unwrap_or(wider)),
            FixingKind::CoachScrew => Some(fixings.diameter),
            FixingKind::Screw => {
                let bored = fixings.predrilled || fixings.diameter > 6.0 * MILLIMETRE + 1e-9;
                bored.then_some(fixings.diameter)
            }
        };
        diameter.map(|diameter| Self { diameter, off: (fixings.lever - depth / 2.0).abs() })
    }
}

/// One timber and what it carries.
#[derive(Debug, Clone, Copy)]
pub struct MemberInput<'a> {
    /// Finished section of one strip.
    pub section: Section,
    /// Length between joints \[m\].
    pub length: f64,
    /// Its grade.
    pub grade: &'a Grade,
    /// Surroundings and choices.
    pub conditions: Conditions,
    /// How it is held.
    pub restraint: Restraint,
    /// Holes, where they are to be taken off.
    pub hole: Option<Hole>,
    /// Forces at places along it.
    pub forces: &'a [StripForces],
    /// Those places, from the first joint \[m\]; may be empty, then the working does not name them.
    pub places: &'a [f64],
}

/// Why a timber cannot be checked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RuleError {
    /// A Eurocode basis without a service class of 1, 2 or 3.
    #[error(
        "service class {} is not one: enter timber.service_class as 1 (heated indoors), 2 (covered, \
         unheated) or 3 (exposed to rain or a damp house)",
        class.map_or_else(|| "(none)".to_owned(), |c| c.to_string())
    )]
    ServiceClass {
        /// As entered.
        class: Option<u8>,
    },
    /// A material that is not permitted in the service class.
    #[error(
        "{grade} may be used up to service class {highest}, and class {class} was entered: take a sawn \
         softwood class such as C24, or keep the timber drier"
    )]
    NotPermitted {
        /// Grade.
        grade: String,
        /// Class entered.
        class: u8,
        /// Highest class permitted.
        highest: u8,
    },
    /// A grade of the other basis.
    #[error(
        "{grade} is a grade of the {belongs}, and the basis is {basis}: take {nearest}, or change project.basis"
    )]
    OtherBasis {
        /// Grade.
        grade: String,
        /// "NDS" or "Eurocode".
        belongs: &'static str,
        /// Basis of the project.
        basis: &'static str,
        /// A grade that would do.
        nearest: &'static str,
    },
    /// A duration of the other basis.
    #[error("the duration {duration} does not belong to the basis {basis}")]
    Duration {
        /// As given.
        duration: String,
        /// Basis of the project.
        basis: &'static str,
    },
    /// A section outside the sizes that the grade's table covers.
    #[error(
        "{grade} covers {limits}; a timber of {:.4} by {:.4} in is outside it: the nearest that would do is {nearest}",
        breadth / crate::units::INCH, depth / crate::units::INCH
    )]
    Size {
        /// Grade.
        grade: String,
        /// What the table covers.
        limits: &'static str,
        /// b \[m\].
        breadth: f64,
        /// d \[m\].
        depth: f64,
        /// A size or a grade that would do.
        nearest: String,
    },
    /// A value that must be a positive number.
    #[error("{what} is {value}; it must be a positive number")]
    Value {
        /// What.
        what: &'static str,
        /// As given.
        value: f64,
    },
}

/// The worst check of a timber over all the places given; zero where nothing acts on it.
///
/// # Errors
///
/// [`RuleError`] where the grade, the conditions and the size do not go together.
pub fn worst(input: &MemberInput<'_>) -> Result<Worst, RuleError> {
    let mut silent = Silent::new();
    check(&mut silent, input)?;
    Ok(worst_of(&silent))
}

/// The worst that was taken down, or that nothing was.
pub(crate) fn worst_of(silent: &Silent) -> Worst {
    silent.worst().unwrap_or(Worst { utilisation: 0.0, rule: "nothing acts on it", clause: "", place: 0 })
}

/// Every check of a timber, each at its own worst place, with its working; worst first.
///
/// Eurocode working is in N and mm, NDS working in lb and in, as their formulas are printed.
///
/// # Errors
///
/// [`RuleError`] where the grade, the conditions and the size do not go together.
pub fn working(input: &MemberInput<'_>) -> Result<Vec<Check>, RuleError> {
    let mut sheet = Sheet::new();
    check(&mut sheet, input)?;
    Ok(sheet.into_checks())
}

/// Adjusted shear strength `F_v′` of a timber \[Pa\] (NDS Table 4.3.1), which its fixings go by too; `None` under the
/// Eurocode.
///
/// # Errors
///
/// [`RuleError`] where the grade, the conditions and the size do not go together.
pub fn shear_strength(input: &MemberInput<'_>) -> Result<Option<f64>, RuleError> {
    match input.grade {
        Grade::Eurocode(_) => Ok(None),
        Grade::Nds(grade) => Ok(Some(nds::shear_strength(&nds::adjust(input, grade)?))),
    }
}

/// Whether the grade, the conditions and the size go together: what [`worst`] would refuse.
///
/// # Errors
///
/// [`RuleError`] with what does not fit and the nearest that would.
pub fn acceptable(input: &MemberInput<'_>) -> Result<(), RuleError> {
    check(&mut Silent::new(), &MemberInput { forces: &[], places: &[], ..*input })
}

fn check<R: crate::rules::recorder::Recorder>(r: &mut R, input: &MemberInput<'_>) -> Result<(), RuleError> {
    match fitting(input)? {
        Fitting::Eurocode(grade) => eurocode5::check(r, input, grade),
        Fitting::Nds(grade) => nds::check(r, input, grade),
    }
}

/// A grade that goes with the basis.
pub(crate) enum Fitting<'a> {
    Eurocode(&'a EurocodeGrade),
    Nds(&'a NdsGrade),
}

/// The grade, where it goes with the basis and every size is a positive number.
pub(crate) fn fitting<'a>(input: &MemberInput<'a>) -> Result<Fitting<'a>, RuleError> {
    let positive = |what: &'static str, value: f64| {
        if value.is_finite() && value > 0.0 { Ok(()) } else { Err(RuleError::Value { what, value }) }
    };
    positive("the length of a timber", input.length)?;
    positive("the area of a timber", input.section.area)?;
    positive("the breadth of a timber", input.section.breadth)?;
    positive("the depth of a timber", input.section.depth)?;
    positive("the effective length factor out of the surface", input.restraint.length_factor_y)?;
    positive("the effective length factor in the surface", input.restraint.length_factor_z)?;
    positive("the effective length factor of lateral buckling", input.restraint.lateral_factor)?;
    match (input.conditions.basis, input.grade) {
        (Basis::Eurocode, Grade::Eurocode(grade)) => Ok(Fitting::Eurocode(grade)),
        (Basis::UsAsd | Basis::UsLrfd, Grade::Nds(grade)) => Ok(Fitting::Nds(grade)),
        (Basis::Eurocode, Grade::Nds(grade)) => Err(RuleError::OtherBasis {
            grade: grade.name.clone(),
            belongs: "NDS",
            basis: "eurocode",
            nearest: "C16 or C24",
        }),
        (basis, Grade::Eurocode(grade)) => Err(RuleError::OtherBasis {
            grade: grade.name.clone(),
            belongs: "Eurocode",
            basis: if basis == Basis::UsAsd { "us-asd" } else { "us-lrfd" },
            nearest: "SPF No.1/No.2 or DF-L No.2",
        }),
    }
}

/// Whether the finished section is the whole rectangle.
pub(crate) fn is_rectangle(section: &Section) -> bool {
    let full = section.breadth * section.depth;
    (section.area - full).abs() <= 1e-9 * full
}
