//! The results value as JSON, and the schema that its types give.

use crate::assess::results::Assessment;

/// One JSON document, indented, SI throughout (angles in degrees where the key ends in `_deg`).
///
/// Every number is printed with the fewest digits that read back to the same f64. JSON has no
/// infinity and no NaN: were one to get here it would be written `null`, never a bare word.
#[must_use]
pub fn to_json(assessment: &Assessment) -> String {
    // The only failures of this serialiser are a failing writer and a map key that is no string;
    // a String does not fail and every map here is keyed by strings.
    let mut text = serde_json::to_string_pretty(assessment).unwrap_or_default();
    text.push('\n');
    text
}

/// The JSON Schema (draft 2020-12) of [`to_json`]'s document, made from the same types.
#[must_use]
pub fn schema() -> String {
    let mut text = serde_json::to_string_pretty(&schemars::schema_for!(Assessment)).unwrap_or_default();
    text.push('\n');
    text
}

/// The JSON Schema of the document of a plain frame.
#[must_use]
pub fn frame_schema() -> String {
    let schema = schemars::schema_for!(crate::assess::plain_frame::FrameResults);
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn numbers_read_back_to_the_same_bits() {
        let mut assessment = sample();
        let odd = [0.1 + 0.2, 1.0 / 3.0, 5e-324, f64::MAX, -0.0, 123_456_789.123_456_79];
        for (joint, value) in assessment.joints.iter_mut().zip(odd) {
            joint.at[0] = value;
        }
        let back: serde_json::Value = serde_json::from_str(&to_json(&assessment)).unwrap();
        for (n, value) in odd.into_iter().enumerate() {
            let read = back["joints"][n]["at"][0].as_f64().unwrap();
            assert_eq!(read.to_bits(), value.to_bits(), "{value}");
        }
    }

    #[test]
    fn what_is_not_finite_is_never_written_as_a_number() {
        let mut assessment = sample();
        assessment.size.span = f64::NAN;
        assessment.size.rise = f64::INFINITY;
        let text = to_json(&assessment);
        let back: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert!(back["size"]["span"].is_null() && back["size"]["rise"].is_null());
    }

    #[test]
    fn the_agreed_keys_are_there() {
        let back: serde_json::Value = serde_json::from_str(&to_json(&sample())).unwrap();
        for key in [
            "strutwise",
            "project",
            "basis",
            "indicative",
            "verdict",
            "rests_on_seams",
            "counts",
            "joints",
            "members",
            "cases",
            "combinations",
            "models",
            "feet",
            "warnings",
        ] {
            assert!(!back[key].is_null(), "{key}");
        }
        assert_eq!(back["verdict"], "over");
        for key in ["id", "joints", "length", "fold_deg", "strips", "area", "worst"] {
            assert!(!back["members"][0][key].is_null(), "members: {key}");
        }
        for key in ["utilisation", "rule", "clause", "combination", "model"] {
            assert!(!back["members"][0]["worst"][key].is_null(), "worst: {key}");
        }
        for key in ["joint", "uplift", "down", "slide", "combination"] {
            assert!(!back["feet"][0][key].is_null(), "feet: {key}");
        }
    }

    #[test]
    fn the_schema_describes_every_top_key() {
        let schema: serde_json::Value = serde_json::from_str(&schema()).unwrap();
        let document: serde_json::Value = serde_json::from_str(&to_json(&sample())).unwrap();
        let described = schema["properties"].as_object().unwrap();
        for key in document.as_object().unwrap().keys() {
            assert!(described.contains_key(key), "{key}");
        }
    }
}
