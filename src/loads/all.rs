//! Every case that is asked for, in the order weight, cover, snow, wind, imposed, the user's own.

use crate::loads::ask::{Basis, Given, LoadsAsk};
use crate::loads::leaf::Shut;
use crate::loads::{Case, LoadError, imposed, snow, user, weight, wind};
use crate::shell::Shell;

/// Every load case that is asked for.
///
/// `timber_weight`: weight per metre of each member with the allowance for fixings \[N/m\], in the order
/// of [`Shell::members`].
///
/// # Errors
///
/// [`LoadError`]: a value that is missing or cannot be, a name that the shell does not have, a pattern
/// that touches no panel, values of two editions of a code.
pub fn cases(ask: &LoadsAsk, shell: &Shell, timber_weight: &[f64]) -> Result<Vec<Case>, LoadError> {
    if timber_weight.len() != shell.members.len() {
        return Err(LoadError::Weights { given: timber_weight.len(), members: shell.members.len() });
    }
    if let (Basis::Eurocode, Some(edition)) = (ask.basis, ask.edition) {
        return Err(LoadError::Basis {
            what: format!("the edition {}", edition.name()),
            belongs: "ASCE 7",
            basis: "eurocode",
        });
    }
    let shut = Shut::new(shell);
    let hung = |case: Case| shut.hung(case);
    let mut cases = vec![weight::timbers(shell, timber_weight)];
    if let Given::Value(cover) = &ask.cover {
        snow::positive("cover.weight", cover.weight)?;
        snow::positive("cover.leaf_weight", cover.leaf.unwrap_or(0.0))?;
        cases.extend(weight::cover(&shut, cover).into_iter().map(hung));
    }
    if let Given::Value(asked) = &ask.snow {
        cases.extend(snow::cases(ask, asked, &shut.shell)?.into_iter().map(hung));
    }
    if let Given::Value(asked) = &ask.wind {
        cases.extend(wind::cases(ask, asked, &shut)?.into_iter().map(hung));
    }
    cases.extend(imposed::cases(ask, &ask.imposed, (shell, &shut.shell))?.into_iter().map(hung));
    cases.extend(user::cases(ask, (shell, &shut.shell))?.into_iter().map(hung));
    let mut names: Vec<&str> = cases.iter().map(|case| case.name.as_str()).collect();
    // What timbers and cover are called together in a list of combinations.
    names.push("weight");
    names.sort_unstable();
    if let Some(pair) = names.windows(2).find(|pair| pair[0] == pair[1]) {
        return Err(LoadError::Twice { name: pair[0].to_owned() });
    }
    Ok(cases)
}
