//! The sheets that a check may write, by name and head: what an earlier run left in a folder is known by both.

/// Name and first line of every sheet; a head that goes on with what the project asks for ends in a comma.
const SHEETS: &[(&str, &str)] = &[
    ("along_bars.csv", "case,bar,x_m,n_N,"),
    ("anchors.csv", "joint,state,up_N,down_N,"),
    ("bar_forces.csv", "model,case,member,end,n_N,"),
    ("bar_forces.csv", "case,bar,end,n_N,"),
    ("cases.csv", "case,kind,asked_x_N,"),
    ("combinations.csv", "combination,state,case,factor,"),
    ("displacements.csv", "model,case,joint,ux_m,"),
    ("displacements.csv", "case,joint,ux_m,"),
    ("edges.csv", "member,kind,role,from,to,length_m,"),
    ("events.csv", "case,kind,factor,watched"),
    ("faces.csv", "panel,joints,area_m2,"),
    ("factors.csv", "what,case,number,value"),
    ("feet.csv", "joint,uplift_N,down_N,"),
    ("hand_checks.csv", "what,working,by_hand,by_solver,"),
    ("inputs.csv", "key,value,origin,note"),
    ("joints.csv", "joint,x_m,y_m,z_m,foot"),
    ("members.csv", "member,from,to,kind,role,timber,"),
    ("members_by_model.csv", "member,model,utilisation,rule,"),
    ("models.csv", "model,stiffness,governs,verdict,"),
    ("panel_kinds.csv", "panel,sides_m,hand,count,"),
    ("panels.csv", "panel,kind,joints,area_m2,"),
    ("path.csv", "case,factor,watched,unstable"),
    ("range_results.csv", "result,unit,least,least_at,"),
    ("ranges.csv", "point,"),
    ("reactions.csv", "case,model,x_N,y_N,z_N,"),
    ("reactions.csv", "case,joint,fx_N,fy_N,"),
    ("reserves.csv", "load,factor,limit"),
    ("seam_curve.csv", "times,stiffness_Nm_per_rad_per_m,"),
    ("seam_fixings.csv", "length_m,seams,fixings_each,places_m,"),
    ("timbers.csv", "timber,length_m,breadth_m,depth_m,"),
    ("words.csv", "what,words"),
    ("workings.csv", "what,id,model,combination,rule,"),
    ("worst.csv", "what,id,place,utilisation,"),
];

/// The names that sheets of a check may have, each once.
#[must_use]
pub fn names() -> Vec<&'static str> {
    let mut names: Vec<&str> = SHEETS.iter().map(|(name, _)| *name).collect();
    names.dedup();
    names
}

/// Whether a file of this name that begins with this line is a sheet of a check.
#[must_use]
pub fn is_sheet(name: &str, first_line: &str) -> bool {
    let line = first_line.trim_end_matches(['\r', '\n']);
    SHEETS.iter().any(|(known, head)| {
        *known == name && if head.ends_with(',') { line.starts_with(head) } else { line == *head }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::csv::write_csv;
    use crate::report::sample;

    #[test]
    fn every_sheet_that_is_written_is_known_again() {
        let sheets = write_csv(&sample::sample());
        assert!(sheets.len() > 18);
        for (name, text) in &sheets {
            assert!(is_sheet(name, text.lines().next().unwrap()), "{name}: {:?}", text.lines().next());
            assert!(names().contains(&name.as_str()));
        }
    }

    #[test]
    fn other_files_are_not() {
        assert!(!is_sheet("joints.csv", "joint,x,y,z,held"));
        assert!(!is_sheet("reactions.csv", "case,joint,fx,fy,fz,mx,my,mz"));
        assert!(!is_sheet("inputs.csv", "key,value,origin,note,mine"));
        assert!(!is_sheet("mine.csv", "joint,x_m,y_m,z_m,foot"));
    }
}
