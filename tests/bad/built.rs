//! What shows only once the shell is built is told as what shows while reading is: at its place, all at once.

use std::path::Path;

use strutwise::assess::{self, Options};
use strutwise::error::{Error, Exit};
use strutwise::project::{self, Asked, ProjectError, SourceText};

const DOME: &str = r#"[project]
name = "Larkfold seed store"
basis = "eurocode"
[shell]
form = "dome"
radius = "2.1 m"
frequency = 2
[timber]
grade = "C24"
breadth = "47 mm"
depth = "95 mm"
bevelled = true
service_class = 3
[cover]
left_out = "x"
[snow]
ground = "0.6 kN/m2"
[wind]
pressure = "0.7 kN/m2"
directions_deg = [0, 90]
"#;

const BARREL: &str = "[shell]\nform = \"barrel\"\nspan = \"4 m\"\nrise = \"1.9 m\"\nsegments = 6\nbays = 3\nbay_length = \"1 m\"\n";

/// The faults of a text, each as "code at line:column: message; help".
fn faults(text: &str, folder: &Path) -> Vec<String> {
    let source = SourceText { name: "store.toml".to_owned(), text: text.to_owned() };
    let Ok(Asked::Shell(project)) = project::read_text(source, folder, "store") else {
        panic!("not read:\n{text}")
    };
    let Err(error) = assess::assess(&project, &Options::default()) else { panic!("it was taken:\n{text}") };
    let error = Error::assess(Path::new("store.toml"), &project, error);
    assert_eq!(error.exit(), Exit::Input);
    let Error::Project(ProjectError::Faulty(faulty)) = error else { panic!("without a place: {error}") };
    let one = |fault: &project::Fault| {
        let (file, line, column) = faulty.place(fault);
        format!("{} at {file}:{line}:{column}: {}; {}", fault.code, fault.message, fault.help)
    };
    faulty.faults.iter().map(one).collect()
}

/// A text in place of another, lines behind the file, and what each fault begins with and holds.
struct Slip {
    from: &'static str,
    to: &'static str,
    behind: &'static str,
    wanted: &'static [(&'static str, &'static str)],
}

const fn slip(
    from: &'static str,
    to: &'static str,
    behind: &'static str,
    wanted: &'static [(&'static str, &'static str)],
) -> Slip {
    Slip { from, to, behind, wanted }
}

fn held(text: &str, wanted: &[(&str, &str)], folder: &Path) {
    let found = faults(text, folder);
    let all = found.join("\n");
    assert_eq!(found.len(), wanted.len(), "{all}\n{text}");
    for (fault, (start, words)) in found.iter().zip(wanted) {
        assert!(fault.starts_with(start) && fault.contains(words), "wanted {start} … {words}\nfound {all}");
    }
}

#[test]
fn what_the_built_shell_does_not_take_is_told_at_its_keys() {
    let names = "[imposed]\nperson = \"0.9 kN\"\nperson_joints = [\"j3\", \"j99\"]\n[[imposed.hanging]]\nname = \"lamp\"\n\
                 joints = [\"k1\"]\nforce = \"0.2 kN\"\n[[imposed.point]]\npanel = \"p400\"\nforce = \"1 kN\"\n\
                 [[stage]]\nname = \"half\"\npanels = [\"p1\", \"x\"]\n";
    let own = "[[combine.own]]\nstate = \"strength\"\nterms = { snow = 1.5, weight = 1.35 }\n[[combine.own]]\n\
               state = \"strength\"\nterms = { weight = 0 }\n";
    let backwards = "[[combine.own]]\nstate = \"service\"\nterms = { weight = 1 }\n[[combine.own]]\n\
                     state = \"uplift\"\nterms = { weight = -0.9 }\n";
    let service = "[[combine.own]]\nstate = \"service\"\nterms = { weight = 1 }\n";
    let case = "[[case]]\nname = \"a\"\nrole = \"accidental\"\nlasts = \"short-term\"\n[[case.joint]]\nname = \"j7\"\n\
                force = [0, 0, 1]\n";
    let twice: &'static str = Box::leak(format!("{case}{case}").into_boxed_str());
    let slips = [
        slip(
            "[0, 90]",
            "[0, 90, 360]",
            "",
            &[("twice at store.toml:20:26", "wind.directions_deg names 0° twice")],
        ),
        slip(
            "[wind]",
            "[wind]\ninternal_coefficients = [0.2, 0.2]",
            "",
            &[("twice at store.toml:19:25", "two cases are named")],
        ),
        slip("\"47 mm\"", "\"5 mm\"", "", &[("bevel at store.toml:12:12", "timber.bevelled: at seam s")]),
        slip(
            "",
            "",
            names,
            &[
                ("unknown-name at store.toml:23:24", "imposed.person_joints names joint \"j99\""),
                ("unknown-name at store.toml:26:11", "did you mean \"j1\"?"),
                ("unknown-name at store.toml:29:9", "here are 40 panels, p1 to p40"),
                ("unknown-name at store.toml:33:17", "stage 1.panels names panel \"x\""),
            ],
        ),
        slip(
            "",
            "",
            own,
            &[
                ("unknown-name at store.toml:23:11", "did you mean \"snow undrifted\"?"),
                ("combination at store.toml:26:9", "combine.own 2 gives no case a factor"),
            ],
        ),
        slip(
            "",
            "",
            backwards,
            &[("combination at store.toml:26:9", "it must be 0 or more: weight, snow and people")],
        ),
        slip(
            "",
            "",
            service,
            &[("missing at store.toml:21:1", "under combinations of service alone no timber")],
        ),
        slip("", "", twice, &[("twice at store.toml:29:8", "two cases are named `a`")]),
        slip(
            "frequency = 2\n",
            "frequency = 2\n[[shell.opening]]\npanels = [\"p77\", \"p2\", \"q\"]\n",
            "",
            &[
                ("unknown-name at store.toml:9:11", "shell.opening 1.panels names panel \"p77\""),
                ("unknown-name at store.toml:9:24", "names panel \"q\""),
            ],
        ),
        slip(
            "frequency = 2\n",
            "frequency = 2\n[[shell.opening]]\nlow = [9, 9, 9]\nhigh = [10, 10, 10]\n",
            "",
            &[("opening at store.toml:8:1", "touches no panel")],
        ),
        slip(
            "frequency = 2\n",
            "frequency = 2\n[[shell.opening]]\nwidth = \"0.8 m\"\nheight = \"3 m\"\n",
            "",
            &[(
                "opening at store.toml:8:1",
                "is a door 3.00 m high, and the whole shell is 2.10 m high; make the door smaller",
            )],
        ),
        slip(
            "ground = \"0.6 kN/m2\"",
            "ground = \"0.6 kN/m2\"\nvalley = \"1 kN/m\"",
            "",
            &[("touches-nothing at store.toml:18:10", "no valley seams")],
        ),
    ];
    for Slip { from, to, behind, wanted } in slips {
        assert!(DOME.contains(from));
        held(&format!("{}{behind}", DOME.replacen(from, to, 1)), wanted, Path::new("."));
    }
}

#[test]
fn shapes_of_a_barrel_are_told_at_their_keys() {
    let shape = |from: &str, to: &str| {
        let text = DOME.replace("[shell]\nform = \"dome\"\nradius = \"2.1 m\"\nfrequency = 2\n", BARREL);
        assert!(text.contains(from));
        text.replacen(from, to, 1)
    };
    let here = Path::new(".");
    held(
        &shape("\"1.9 m\"", "\"19 m\""),
        &[("out-of-range at store.toml:7:8", "shell.rise is 19.000 m")],
        here,
    );
    let framed = shape("segments", "ends = [\"framed\"]\nstuds = 30\nsegments");
    held(&framed, &[("out-of-range at store.toml:9:9", "only 5 joints have room")], here);
}

#[test]
fn editions_of_asce_7_that_are_mixed_are_told_at_the_map() {
    let text = DOME
        .replace("eurocode", "us-lrfd")
        .replace("C24", "Douglas Fir-Larch No. 2")
        .replace("service_class = 3\n", "")
        .replace("\"47 mm\"", "\"1.5 in\"")
        .replace("\"95 mm\"", "\"3.5 in\"")
        .replace("[snow]", "[combine]\nedition = \"7-22\"\nrisk = \"I\"\n[snow]\nmap_edition = \"7-16\"")
        .replace("[wind]", "exposure = 1.0\nthermal = 1.2\n[wind]");
    let source = SourceText { name: "store.toml".to_owned(), text: text.clone() };
    if let Err(error) = project::read_text(source, Path::new("."), "store") {
        panic!("{error}");
    }
    held(&text, &[("editions at store.toml:19:15", "snow.map_edition is \"7-16\"")], Path::new("."));
}

#[test]
fn faults_of_a_mesh_and_of_a_sheet_are_told_in_their_own_files() {
    let folder = tempfile::tempdir().unwrap();
    let mesh = "v 0 0 0\nv 2 0 0\nv 0 2 0\nv 1 1 1\nf 1 2 4\nf 2 3 4\nf 3 1 4\nf 1 2 4\n";
    std::fs::write(folder.path().join("shed.obj"), mesh).unwrap();
    std::fs::write(folder.path().join("lines.csv"), "on,name,x,y,z\njoint,j7,0,0,-5\njoint, j77,0,0,-5\n")
        .unwrap();
    let text = DOME.replace(
        "[shell]\nform = \"dome\"\nradius = \"2.1 m\"\nfrequency = 2\n",
        "[shell]\nform = \"mesh\"\nfile = \"shed.obj\"\n",
    );
    held(&text, &[("mesh at shed.obj:8:1", "have the same corners; remove one")], folder.path());
    let case =
        "[[case]]\nname = \"a\"\nrole = \"accidental\"\nlasts = \"short-term\"\nsheet = \"lines.csv\"\n";
    let wanted = [("unknown-name at lines.csv:3:8", "case 1.sheet names joint \"j77\"")];
    held(&format!("{DOME}{case}"), &wanted, folder.path());
}

/// The warnings of a project that is taken.
fn warnings(text: &str, folder: &Path) -> Vec<String> {
    let source = SourceText { name: "store.toml".to_owned(), text: text.to_owned() };
    match project::read_text(source, folder, "store") {
        Ok(Asked::Shell(project)) => project.warnings,
        Ok(Asked::Frame(project)) => project.warnings,
        Ok(Asked::Ranged(_)) => panic!("a range"),
        Err(error) => panic!("{error}"),
    }
}

#[test]
fn a_key_that_says_nothing_without_another_is_warned_of() {
    let here = Path::new(".");
    let feet = "[feet]\nground_pressure = \"100 kN/m2\"\n";
    let said = warnings(&format!("{DOME}{feet}"), here);
    assert!(
        said.iter()
            .any(|w| w.starts_with("feet.ground_pressure says nothing without feet.pad_area (line 22"))
    );
    assert!(warnings(&format!("{DOME}{feet}pad_area = \"0.1 m2\"\n"), here).is_empty());
    let moment = "moment = \"0.5 kN m\"\n";
    let said = warnings(&format!("{DOME}[feet]\n{moment}"), here);
    assert!(
        said.iter()
            .any(|w| w
                .starts_with("feet.moment says nothing where feet are held \"pinned\" (line 22, column ")),
        "{said:?}"
    );
    assert!(warnings(&format!("{DOME}[feet]\nheld = \"fixed\"\n{moment}"), here).is_empty());
}

const FRAME: &str = "[shell]\nform = \"frame\"\njoints = \"joints.csv\"\nbars = \"bars.csv\"\nloads = \"loads.csv\"\n\
                     [section.A]\narea = 0.0035\nelastic = 11e9\nsecond_moment_y = 1.6e-6\nsecond_moment_z = 6.5e-7\n\
                     torsion = 1.5e-6\nshear = 0.7e9\n";

/// A bar that is held at one end and loaded at the other.
fn bracket(length: &str, force: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: String| std::fs::write(folder.path().join(name), text).unwrap();
    put("joints.csv", format!("joint,x,y,z,held\na,0,0,0,x y z rx ry rz\nb,{length},0,0,\n"));
    put("bars.csv", "bar,from,to,section\none,a,b,A\n".to_owned());
    put("loads.csv", format!("case,joint,fz\ndown,b,{force}\n"));
    folder
}

#[test]
fn sizes_of_a_frame_that_look_like_another_unit_are_warned_of() {
    let ordinary = bracket("2", "-100");
    assert!(warnings(FRAME, ordinary.path()).is_empty(), "{:?}", warnings(FRAME, ordinary.path()));
    let one = |text: &str, folder: &Path, words: &str| {
        let said = warnings(text, folder);
        assert!(said.len() == 1 && said[0].contains(words), "{said:?}");
    };
    one(FRAME, bracket("2000", "-100").path(), "the frame is 2000 m across, usually 0.1 to 500 m");
    one(FRAME, bracket("2", "-0.1").path(), "its largest load is 0.1 N");
    one(&FRAME.replace("11e9", "11000"), ordinary.path(), "section.A.elastic is 11000 N/m2");
    one(&FRAME.replace("0.0035", "3500"), ordinary.path(), "section.A.area is 3500 m2");
    one(&FRAME.replace("1.6e-6", "1.6e6"), ordinary.path(), "section.A.second_moment_y is 1.6e6 m4");
    // A nought that is written is meant.
    assert!(warnings(&FRAME.replace("6.5e-7", "0"), ordinary.path()).is_empty());
}

#[test]
fn a_bar_that_twists_and_has_no_torsion_constant_is_warned_of() {
    let folder = bracket("2", "-100");
    for key in ["torsion = 1.5e-6\n", "shear = 0.7e9\n"] {
        let without = FRAME.replace(key, "");
        let said = warnings(&without, folder.path());
        assert!(said.len() == 1 && said[0].contains("bar \"one\" twists as if it met nothing"), "{said:?}");
        let none = key.split_once(' ').unwrap().0;
        let meant = warnings(&format!("{without}{none} = 0\n"), folder.path());
        assert!(meant.is_empty(), "{meant:?}");
        // In a plane nothing twists.
        let joints = "joint,x,y,z,held\na,0,0,0,x y z rx ry rz\nb,2,0,0,y rx rz\n";
        std::fs::write(folder.path().join("joints.csv"), joints).unwrap();
        assert!(warnings(&without, folder.path()).is_empty());
        std::fs::write(folder.path().join("joints.csv"), joints.replace("y rx rz", "")).unwrap();
    }
}

#[test]
fn keys_of_an_analysis_that_its_kind_does_not_read_and_a_held_watch_are_warned_of() {
    let folder = bracket("2", "-100");
    let said = |rest: &str| warnings(&format!("{FRAME}[analysis]\n{rest}"), folder.path());
    assert!(
        said("kind = \"linear\"\nsteps = 3\n")[0]
            .starts_with("analysis.steps says nothing for kind = \"linear\"")
    );
    assert!(said("kind = \"path\"\ncount = 3\nwatch = { joint = \"b\", direction = \"z\" }\n").len() == 1);
    let held = said("kind = \"path\"\nsteps = 3\nwatch = { joint = \"a\", direction = \"z\" }\n");
    assert!(held.len() == 1 && held[0].contains("joint \"a\" is held along what is watched"), "{held:?}");
    assert!(said("kind = \"buckling\"\ncount = 3\n").is_empty());
}
