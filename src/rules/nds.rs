//! Timbers to NDS-2018.

use crate::rules::members::{MemberInput, RuleError};
use crate::rules::recorder::Recorder;
use crate::tables::nds::NdsGrade;

/// Checks one timber.
pub(crate) fn check<R: Recorder>(
    _r: &mut R,
    _input: &MemberInput<'_>,
    grade: &NdsGrade,
) -> Result<(), RuleError> {
    Err(RuleError::OtherBasis {
        grade: grade.name.clone(),
        belongs: "NDS",
        basis: "NDS",
        nearest: "none yet",
    })
}
