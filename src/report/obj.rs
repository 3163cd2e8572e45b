//! The shell as a Wavefront OBJ mesh: joints, panels, and bars of no panel. Metres, z up.

use std::collections::BTreeMap;
use std::fmt::Write;

use crate::assess::results::Assessment;
use crate::report::show::tame;

/// The mesh of an assessment. Each panel is an object of its own name; coordinates read back to the
/// same f64.
#[must_use]
pub fn to_obj(assessment: &Assessment) -> String {
    let mut out =
        format!("# {}\n# metres, z up; indicative, not for fabrication\n", tame(&assessment.project, 120));
    let mut index = BTreeMap::new();
    for (n, joint) in assessment.joints.iter().enumerate() {
        // OBJ counts from 1.
        index.insert(joint.id.as_str(), n + 1);
        let [x, y, z] = joint.at;
        let _ = writeln!(out, "v {x} {y} {z}");
    }
    for panel in &assessment.panels {
        let corners: Vec<String> =
            panel.joints.iter().filter_map(|id| index.get(id.as_str())).map(ToString::to_string).collect();
        let _ = writeln!(out, "o {}\nf {}", word(&panel.id), corners.join(" "));
    }
    for member in assessment.members.iter().filter(|member| member.kind == "bar") {
        if let [Some(from), Some(to)] = [0, 1].map(|end| index.get(member.joints[end].as_str())) {
            let _ = writeln!(out, "o {}\nl {from} {to}", word(&member.id));
        }
    }
    out
}

/// A name without spaces, which the format takes for separators.
fn word(name: &str) -> String {
    tame(name, 60).chars().map(|c| if c.is_whitespace() { '_' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn every_joint_and_panel_is_there_and_numbers_read_back() {
        let assessment = sample();
        let text = to_obj(&assessment);
        let points: Vec<Vec<f64>> = text
            .lines()
            .filter_map(|line| line.strip_prefix("v "))
            .map(|line| line.split(' ').map(|v| v.parse().unwrap()).collect())
            .collect();
        assert_eq!(points.len(), assessment.joints.len());
        for (point, joint) in points.iter().zip(&assessment.joints) {
            assert!(point.iter().zip(joint.at).all(|(a, b)| a.to_bits() == b.to_bits()));
        }
        assert_eq!(text.lines().filter(|line| line.starts_with("f ")).count(), assessment.panels.len());
    }
}
