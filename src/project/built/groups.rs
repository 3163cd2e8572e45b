//! Groups of timbers that no member of the shell belongs to.

use crate::project::reading::Reading;
use crate::project::schema_timber::role_key;
use crate::section::ask::TimberAsk;
use crate::shell::ask::ShellAsk;
use crate::shell::{self, Role};

/// Warns of every `[[timber.group]]` that gives no member its timber: most likely a role that this form has not.
///
/// A shell that cannot be built is told elsewhere.
pub(in crate::project) fn without_members(reading: &Reading, ask: &TimberAsk, shell: &ShellAsk) {
    if ask.groups.is_empty() {
        return;
    }
    let Ok(shell) = shell::build(shell) else { return };
    let mut there: Vec<Role> = shell.members.iter().map(|member| member.role).collect();
    there.sort_unstable();
    there.dedup();
    for (number, group) in ask.groups.iter().enumerate() {
        // The first group that names a role has it.
        let has = |role: &Role| {
            there.contains(role) && !ask.groups[..number].iter().any(|before| before.roles.contains(role))
        };
        if group.roles.iter().any(has) {
            continue;
        }
        let names = |roles: &[Role]| roles.iter().map(|role| role_key(*role)).collect::<Vec<_>>().join(", ");
        reading.warn(format!(
            "timber.group {} ({}) gives no timber to anything: this shell has no member of that role; its roles are {}",
            number + 1,
            names(&group.roles),
            names(&there)
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::project::{Asked, Project, SourceText, read_text};
    use crate::shell::Role;
    use crate::shell::export::role_name;

    fn read(groups: &[&str]) -> Box<Project> {
        let mut text = "[project]\nname = \"Haw hut\"\nbasis = \"eurocode\"\n[shell]\nform = \"dome\"\nradius = \"2.1 m\"\n\
            frequency = 2\nup = \"vertex\"\n[timber]\ngrade = \"C24\"\nbreadth = \"47 mm\"\ndepth = \"75 mm\"\n\
            service_class = 3\n[cover]\nweight = \"9 kg/m2\"\n[snow]\nground = \"0.6 kN/m2\"\n[wind]\n\
            pressure = \"0.7 kN/m2\"\ndirections_deg = [0]\n"
            .to_owned();
        for roles in groups {
            text += &format!("[[timber.group]]\nroles = {roles}\nbreadth = \"60 mm\"\ndepth = \"145 mm\"\n");
        }
        let source = SourceText { name: "haw.toml".to_owned(), text };
        match read_text(source, std::path::Path::new("."), "haw") {
            Ok(Asked::Shell(project)) => project,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_group_that_gives_no_timber_to_anything_is_warned_of() {
        let project = read(&["[\"base-rim\"]", "[\"purlin\", \"arch\"]", "[\"seam\", \"stud\"]"]);
        let told: Vec<&String> =
            project.warnings.iter().filter(|told| told.contains("gives no timber")).collect();
        assert_eq!(told.len(), 1, "{:?}", project.warnings);
        assert!(told[0].starts_with("timber.group 2 (purlin, arch)"), "{}", told[0]);
        assert!(told[0].ends_with("its roles are seam, base-rim"), "{}", told[0]);
    }

    /// Windows and skylights have rims as well as doors.
    #[test]
    fn the_rim_of_any_opening_has_one_name_and_its_old_one_is_still_read() {
        for name in ["opening-rim", "door-rim"] {
            let project = read(&[&format!("[{name:?}]")]);
            assert_eq!(project.timber.groups[0].roles, [Role::DoorRim]);
            assert!(
                project.warnings.iter().any(|told| told.contains("(opening-rim)")),
                "{:?}",
                project.warnings
            );
        }
        assert_eq!(role_name(Role::DoorRim), "opening rim");
    }
}
