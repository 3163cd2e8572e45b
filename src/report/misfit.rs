//! Fixings that do not fit their timber: a distance on the drawing board, which no load and no strength changes. They are told as what
//! they are, and with the key to change.

use crate::assess::results::{Assessment, WorstItem};
use crate::report::show::{beyond_number, tame};
use crate::units::{self, Dimension, Kind, Show, System, significant};

/// What has to fit, the key of `[fixings]` that it hangs on, and what to do about it.
const ROOM: [(&str, &str); 11] = [
    ("edge distance of the fixings", "lever, a smaller diameter, or a deeper timber"),
    ("end distance of the fixings", "end"),
    ("spacing of the fixings", "per_seam (fewer) or a smaller diameter"),
    ("size of the washer", "washer"),
    ("washer on the strip's face", "washer (smaller), lever, or a deeper timber"),
    ("thread in the far strip", "length"),
    ("edge distance of pulled screws", "lever, a smaller diameter, or a deeper timber"),
    ("end distance of pulled screws", "end"),
    ("spacing of pulled screws", "per_seam (fewer) or a smaller diameter"),
    ("thickness of the strip that screws are driven into", "diameter (smaller), or a broader timber"),
    ("screws that want drilled holes", "predrilled"),
];

/// The key of a rule that asks for room; none of one that compares a load with a strength.
pub(crate) fn key_of(rule: &str) -> Option<&'static str> {
    ROOM.iter().find(|(name, _)| *name == rule).map(|(_, key)| *key)
}

/// What stands in a table where the load stands: none, of what does not fit.
pub(super) fn load(item: &WorstItem, most: usize) -> String {
    if item.what == "fixing" && key_of(&item.rule).is_some() {
        return "none: it does not fit".to_owned();
    }
    tame(&item.combination, most)
}

/// What the rule of screws that are pulled out is called; beyond any number it holds nothing at all, for want of thread.
const PULLED_OUT: &str = "withdrawal of the screws";

/// "does not fit: 38.6 mm there, 80 mm wanted; [fixings] end of 122 mm at least is wanted"; none where it is no misfit.
pub(super) fn words(item: &WorstItem, a: &Assessment) -> Option<String> {
    if item.what == "fixing" && item.rule == PULLED_OUT && beyond_number(item.utilisation) {
        return Some(
            "finds no thread in the far strip that is long enough to count: change [fixings] length, or take a thicker strip"
                .to_owned(),
        );
    }
    let key = key_of(&item.rule).filter(|_| item.what == "fixing" && item.utilisation > 1.0)?;
    let Some((there, wanted)) = figures(item, a) else {
        let times = if beyond_number(item.utilisation) {
            "there is no room for it".to_owned()
        } else {
            format!("{} times the room there is wanted", significant(item.utilisation, 3))
        };
        return Some(format!("does not fit: {times}; change [fixings] {key}"));
    };
    let show = Show::new(if a.units == "imperial" { System::Imperial } else { System::Metric });
    let size = |metres: f64| show.text_to(Kind::Size, metres, 3);
    let lacking = wanted - there;
    let entered = a.inputs.iter().find(|line| line.key == "fixings.end");
    let entered = entered.and_then(|line| units::parse(&line.value, Dimension::Length).ok());
    let what = match (key, entered) {
        // Rounded up, so that what is read would do.
        ("end", Some(end)) => {
            format!("[fixings] end of {} at least is wanted", size(up(end + lacking, show)))
        }
        ("end", None) => {
            format!(
                "the first has to stand {} further from the joint: enter [fixings] end, or fewer of them",
                size(up(lacking, show))
            )
        }
        _ => format!("change [fixings] {key}"),
    };
    Some(format!("does not fit: {} there, {} wanted; {what}", size(there), size(wanted)))
}

/// Up to the next millimetre or sixteenth of an inch \[m\].
fn up(metres: f64, show: Show) -> f64 {
    let step = if show.system == System::Imperial { units::INCH / 16.0 } else { units::MILLIMETRE };
    (metres / step - 1e-6).ceil() * step
}

/// What is there and what is wanted \[m\], from the working of the fixing, or of one that is as short of room.
fn figures(item: &WorstItem, a: &Assessment) -> Option<(f64, f64)> {
    let checks = a.workings.iter().filter(|one| one.what == "fixing").flat_map(|one| &one.checks);
    let check = checks
        .filter(|check| check.rule == item.rule)
        .find(|check| (check.utilisation - item.utilisation).abs() < 1e-6 * item.utilisation)?;
    let of = |words: &str| {
        let step = check.steps.iter().find(|step| step.words == words)?;
        units::parse(&format!("{} {}", step.value, step.unit), Dimension::Length).ok()
    };
    of("there").zip(of("wanted"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::{Options, assess};

    fn assessed(end: &str) -> Assessment {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let text = std::fs::read_to_string(folder.join("propagation-tunnel.toml")).unwrap();
        let text = text.replace("\"165 mm\"", &format!("{end:?}"));
        let project = crate::assess::shell_of(&text);
        assess(&project, &Options::default()).unwrap()
    }

    /// A misfit is told with what is there, what is wanted and the end that would do, and that end does.
    #[test]
    fn the_end_that_would_do_does() {
        let tight = assessed("130 mm");
        let item = tight.worst_list.iter().find(|item| item.rule == "end distance of the fixings").unwrap();
        let told = words(item, &tight).unwrap();
        assert!(told.starts_with("does not fit: ") && told.contains(" there, "), "{told}");
        let end = told.split("[fixings] end of ").nth(1).unwrap().split(" at least").next().unwrap();
        let loose = assessed(end);
        assert!(loose.worst_list.iter().all(|item| item.rule != "end distance of the fixings"), "{told}");
        // What compares a load is no misfit.
        let other = loose.worst_list.iter().find(|item| item.what == "timber").unwrap();
        assert_eq!(words(other, &loose), None);
    }

    /// Every rule that asks for room has its key here.
    #[test]
    fn every_distance_has_its_key() {
        let text = include_str!("../rules/spacing.rs");
        let rules = text.split("rule: \"").skip(1).filter_map(|rest| rest.split('"').next());
        let mut count = 0;
        for rule in rules {
            assert!(key_of(rule).is_some(), "{rule}");
            count += 1;
        }
        assert_eq!(count, ROOM.len() - 1);
        assert_eq!(key_of("bending"), None);
    }
}
