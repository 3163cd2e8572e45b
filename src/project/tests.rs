//! A project read from text: what it becomes, and what is told of what is wrong with it.

use super::*;
use crate::loads::ask::{Given, WindStrength};
use crate::shell::ask::Form;

const CONTRACT: &str = r#"
[project]
name  = "Larkfold apple store"
basis = "eurocode"

[shell]
form      = "tunnel"
radius    = "2.1 m"
frequency = 2
bands     = 2
base      = "0 m"

[timber]
grade     = "C24"
breadth   = "47 mm"
depth     = "75 mm"
bevelled  = true
service_class = 3

[joints]
models    = ["pinned", "seam", "rigid"]
seam_stiffness = "3 kN m/rad per m"
end_stiffness  = "5 kN m/rad"

[fixings]
kind      = "bolt"
diameter  = "8 mm"
washer    = "40 mm"
per_seam  = 3
lever     = "32 mm"

[cover]
weight    = "9 kg/m2"

[snow]
ground    = "0.6 kN/m2"

[wind]
pressure  = "0.7 kN/m2"
directions_deg = [0, 90]

[feet]
held      = "pinned"
uplift    = "4 kN"
"#;

fn read_str(text: &str) -> Result<Asked, ProjectError> {
    let source = SourceText { name: "store.toml".to_owned(), text: text.to_owned() };
    read_text(source, Path::new("."), "store")
}

fn faults(text: &str) -> Vec<String> {
    match read_str(text) {
        Err(ProjectError::Faulty(faulty)) => faulty.to_string().lines().map(str::to_owned).collect(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_contract_example_is_read() {
    let Ok(Asked::Shell(project)) = read_str(CONTRACT) else { panic!("{:?}", faults(CONTRACT)) };
    assert!(matches!(project.shell.form, Form::Tunnel { bands: 2, .. }));
    assert_eq!(project.rules.service_class, Some(3));
    let Given::Value(wind) = &project.loads.wind else { panic!() };
    assert_eq!(wind.strength, WindStrength::Pressure(700.0));
    assert!((wind.directions[1] - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
    let Given::Value(cover) = &project.loads.cover else { panic!() };
    assert!((cover.weight - 88.259_85).abs() < 1e-9);
    assert!(project.warnings.is_empty(), "{:?}", project.warnings);
    assert!(project.inputs.iter().any(|input| input.key == "snow.ground" && input.note == "no source given"));
}

#[test]
fn all_faults_come_at_once_in_the_order_of_the_file() {
    let text = CONTRACT
        .replace("radius    = \"2.1 m\"", "radius    = \"2.1 kg\"")
        .replace("bands     = 2", "bands     = 3")
        .replace("grade     = \"C24\"", "grade     = \"C25\"")
        .replace("depth ", "dpeth ")
        .replace("ground    = \"0.6 kN/m2\"", "ground    = \"0.6 kN\"");
    let found = faults(&text);
    assert_eq!(found.len(), 5, "{found:#?}");
    assert!(found[0].starts_with("store.toml:8:13: shell.radius wants a length; \"2.1 kg\" is a mass"));
    assert!(found[1].contains("bands is 3; between two half-domes it must be even"));
}

#[test]
fn missing_loads_are_asked_for_or_left_out_in_words() {
    let text = CONTRACT.replace("[snow]\nground    = \"0.6 kN/m2\"", "");
    let found = faults(&text);
    assert!(found[0].contains("[snow] is missing"), "{found:?}");
    let text = CONTRACT.replace("ground    = \"0.6 kN/m2\"", "left_out = \"stands under a glass roof\"");
    assert!(read_str(&text).is_ok());
}

#[test]
fn suspicious_values_warn_and_name_the_slip() {
    let text = CONTRACT.replace("47 mm", "47 cm").replace("0.6 kN/m2", "40 kN/m2");
    let Ok(Asked::Shell(project)) = read_str(&text) else { panic!("{:?}", faults(&text)) };
    // The second asks whether so broad a timber has its sides swapped.
    assert_eq!((project.warnings.len(), project.doubts.len()), (2, 1));
    assert!(project.warnings[0].contains("is it \"47 mm\"?"), "{:?}", project.warnings);
    assert!(project.doubts[0].contains("is it \"40 psf\"?") || project.doubts[0].contains("40 kg/m2"));
}

/// A load whose unit was forgotten is in doubt, and told with the unit that was taken and the one that may be meant; with its unit
/// it is taken, and so is one of an ordinary size, and none at all.
#[test]
fn a_load_whose_unit_was_forgotten_is_in_doubt() {
    let doubted = |key: &str, old: &str, new: &str, heading: &str| {
        let text = CONTRACT.replace(old, new).replace("[project]", &format!("[project]\n{heading}"));
        assert!(text.contains(new));
        let Ok(Asked::Shell(project)) = read_str(&text) else { panic!("{:?}", faults(&text)) };
        let printed = project.inputs.iter().find(|input| input.key == key).map(|input| input.value.clone());
        (project.doubts.join("; "), printed.unwrap_or_default())
    };
    let (snow, wind, cover) = ("\"0.6 kN/m2\"", "\"0.7 kN/m2\"", "\"9 kg/m2\"");
    let feet = "units = \"imperial\"";
    for (key, old, new, heading, unit, guess) in [
        ("snow.ground", snow, "\"0.6\"", "", "0.6 N/m2", "is it \"0.6 kN/m2\"?"),
        ("snow.ground", snow, "\"30\"", feet, "30 N/m2, which is 0.63 psf", "is it \"30 psf\"?"),
        ("snow.ground", snow, "30", "", "30 N/m2", "is it \"30 kg/m2\"?"),
        ("snow.ground", snow, "\"0.06 kN/m2\"", "", "0.06 kN/m2", "usually between 0.1 kN/m2 and 10 kN/m2"),
        ("wind.pressure", wind, "\"0.7\"", "", "0.7 N/m2", "is it \"0.7 kN/m2\"?"),
        ("cover.weight", cover, "9", "", "9 N/m2", "is it \"9 kg/m2\"?"),
        ("cover.weight", cover, "\"30\"", "", "30 N/m2", "is it \"30 kg/m2\"?"),
        ("cover.weight", cover, "\"3\"", feet, "3 N/m2, which is 0.063 psf", "is it \"3 psf\"?"),
        (
            "wind.speed",
            "pressure  = \"0.7 kN/m2\"",
            "terrain = \"II\"\nspeed = 70",
            feet,
            "70 m/s, which is 160 mph",
            "70 mph",
        ),
        (
            "wind.speed",
            "pressure  = \"0.7 kN/m2\"",
            "terrain = \"II\"\nspeed = 90",
            "",
            "90 m/s",
            "is it \"90 km/h\"?",
        ),
    ] {
        let (found, printed) = doubted(key, old, new, heading);
        let (unit, own) = unit.split_once(", ").unwrap_or((unit, ""));
        let told = format!("the load {key} is {unit} (line ");
        assert!(found.starts_with(&told) && found.contains(own) && found.contains(guess), "{new}: {found}");
        assert!(unit.starts_with(&printed), "{printed}");
    }
    for (old, new) in [
        (cover, "\"9 N/m2\""),
        (cover, "90"),
        (cover, "0"),
        (snow, "600"),
        (snow, "\"0\""),
        (wind, "0"),
        ("pressure  = \"0.7 kN/m2\"", "terrain = \"II\"\nspeed = 0"),
        ("pressure  = \"0.7 kN/m2\"", "terrain = \"II\"\nspeed = \"24 m/s\""),
    ] {
        assert_eq!(doubted("", old, new, "").0, "", "{new}");
    }
}

#[test]
fn a_large_dome_says_how_many_joints_and_how_to_allow_it() {
    let text = CONTRACT
        .replace("\"tunnel\"", "\"dome\"")
        .replace("bands     = 2\n", "")
        .replace("frequency = 2", "frequency = 40");
    let found = faults(&text);
    assert!(found[0].contains("about 8001 joints") && found[0].contains("allow_large"), "{found:?}");
    let text = text.replace("[project]", "[project]\nallow_large = true");
    assert!(read_str(&text).is_ok());
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(256))]
    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,200}") {
        let _ = read_str(&text);
    }

    #[test]
    fn no_value_makes_it_panic(line in 0usize..40, value in "\\PC{0,20}|[0-9.eE+-]{1,12}|\"[0-9]{1,4} [a-zA-Z/ 0-9]{1,8}\"") {
        let mut lines: Vec<String> = CONTRACT.lines().map(str::to_owned).collect();
        if let Some(line) = lines.get_mut(line)
            && let Some((key, _)) = line.clone().split_once('=')
        {
            *line = format!("{key}= {value}");
        }
        if let Err(error) = read_str(&lines.join("\n")) {
            let text = render::render(&error, false);
            assert!(!text.is_empty());
        }
    }
}

/// Parts of a force that are next to nothing, as kN read as N are, keep the verdict from being better than near; usual ones do not.
#[test]
fn own_forces_that_are_next_to_nothing_are_doubted() {
    let of = |on: &str, value: &str| {
        let text = format!(
            "{CONTRACT}\n[[case]]\nname = \"pot\"\nrole = \"permanent\"\n[[case.{on}]]\nname = \"j20\"\n{value}\n"
        );
        let source = SourceText { name: "project.toml".to_owned(), text };
        let Ok(Asked::Shell(project)) = read_text(source, Path::new("."), "pot") else { panic!("{value}") };
        // A permanent case lasts, whether that is said or not.
        assert_eq!(project.loads.user[0].lasts, crate::loads::ask::LastsAsk::Permanent);
        project
            .doubts
            .iter()
            .any(|words| words.contains(&format!("{on} 1.")) && words.contains("usually between"))
    };
    for (on, value, doubted) in [
        ("joint", "force = [0, 0, -0.5]", true),
        ("joint", "force = [0, 0, \"-0.5 kN\"]", false),
        ("joint", "force = [0, 0, \"-5000 kN\"]", true),
        ("panel", "traction = [0, 0, -0.2]", true),
        ("panel", "traction = [0, 0, \"-0.2 kN/m2\"]", false),
        ("member", "line = [0, 0, -0.2]", true),
        ("member", "line = [0, 0, \"-0.2 kN/m\"]", false),
    ] {
        assert_eq!(of(on, value), doubted, "{value}");
    }
}
