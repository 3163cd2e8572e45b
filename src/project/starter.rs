//! Commented projects to start from, set in the community orchard at Larkfold. Every one of them is read
//! without a fault; its numbers are examples and say so.

use super::schema_shell::FormName;

/// A project to start from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Starter {
    /// The project file.
    pub project: String,
    /// Files that it names: name and contents.
    pub companions: Vec<(String, String)>,
}

/// The starter of a form; `stem` is the project file's name without its ending, and names the companions.
#[must_use]
pub fn starter(form: FormName, stem: &str) -> Starter {
    let (name, shell) = match form {
        FormName::Dome => ("Larkfold seedling dome", DOME.to_owned()),
        FormName::Tunnel => ("Larkfold apple store", TUNNEL.to_owned()),
        FormName::Barrel => ("Larkfold cider shed", BARREL.to_owned()),
        FormName::Mesh => {
            let mesh = format!("{stem}_mesh.obj");
            let project = timber("Larkfold bee shelter", &MESH.replace("FILE", &quoted(&mesh)));
            return Starter { project, companions: vec![(mesh, MESH_OBJ.to_owned())] };
        }
        FormName::Frame => return frame(stem),
    };
    Starter { project: timber(name, &shell), companions: Vec::new() }
}

/// A TOML text, whatever a file's name has in it.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

fn timber(name: &str, shell: &str) -> String {
    format!("{HEAD}{}{shell}{REST}", PROJECT.replace("NAME", &quoted(name)))
}

fn frame(stem: &str) -> Starter {
    let names = ["joints", "bars", "loads"].map(|part| format!("{stem}_{part}.csv"));
    let project = FRAME
        .replace("JOINTS", &quoted(&names[0]))
        .replace("BARS", &quoted(&names[1]))
        .replace("LOADS", &quoted(&names[2]));
    let [joints, bars, loads] = names;
    let companions = vec![
        (joints, FRAME_JOINTS.to_owned()),
        (bars, FRAME_BARS.to_owned()),
        (loads, FRAME_LOADS.to_owned()),
    ];
    Starter { project, companions }
}

const HEAD: &str = r#"# A project for strutwise. Lines that start with # are remarks.
# Quantities are texts with their unit: "47 mm", "2.4 m", "7 ft 6 in", "0.6 kN/m2", "30 psf",
# "25 m/s", "70 mph", "9 kg/m2", "12 deg". A bare number is in SI base units (m, N, N/m2, rad),
# but in degrees where the key ends in _deg. One not known yet may be a range, low and high:
# ground = ["0.4 kN/m2", "0.8 kN/m2"]; every corner of the ranges is then checked.
# EVERY VALUE HERE IS AN EXAMPLE. Put in your own before you draw anything from the answer, and ask
# your building authority which values hold for your site.

"#;

const PROJECT: &str = r#"[project]
name  = NAME
basis = "eurocode"            # the codes to go by: "eurocode", "us-lrfd" or "us-asd"
# units = "imperial"          # what you read; "metric" under Eurocode where nothing is said

"#;

const DOME: &str = r#"[shell]
form      = "dome"
radius    = "2.4 m"           # to the joints
frequency = 2                 # divisions of an edge of the icosahedron
up        = "vertex"          # what is uppermost: "vertex", "edge" or "face"
base      = "0 m"             # height of the ground above the sphere's centre

[[shell.opening]]             # a door; take these lines out for none
width      = "0.8 m"
height     = "1.2 m"
facing_deg = 0                # anticlockwise from x, seen from above
rim_strips = 2                # timbers side by side around it

"#;

const TUNNEL: &str = r#"[shell]
form      = "tunnel"          # half-domes with bands between them
radius    = "2.1 m"           # to the joints
frequency = 2                 # even: 2, 4, 6
bands     = 2                 # even where both ends are half-domes
base      = "0 m"             # height of the ground above the axis
# ends    = ["half-dome", "framed"]   # lower x first: "half-dome", "framed" or "open"
# spacing = "0.98 m"          # between arches; as equal as the edges allow where nothing is said

"#;

const BARREL: &str = r#"[shell]
form       = "barrel"
profile    = "circular"       # "circular", "elliptical", "pointed" or "catenary"
span       = "4 m"            # foot to foot
rise       = "1.9 m"          # crown above the feet
segments   = 6                # straight pieces of an arch
bays       = 4                # along x
bay_length = "1.1 m"
pattern    = "staggered"      # or "plain-left", "plain-right", "plain-crossed"
ends       = ["framed", "framed"]     # lower x first: "open" or "framed"
studs      = 3                # uprights of a framed end
sill       = true
gable_diagonals = true

"#;

const MESH: &str = r#"[shell]
form      = "mesh"
file      = FILE   # Wavefront OBJ: lines "v x y z" and "f a b c"
file_unit = "1 m"             # length of one unit of that file
file_up   = "z"               # its upward axis: "z" or "y"
mend      = true              # turn flipped panels, merge doubled points

"#;

const REST: &str = r#"[timber]
grade     = "C24"             # strutwise tables lists them
breadth   = "60 mm"           # along the panel
depth     = "120 mm"          # through the shell
bevelled  = true              # sides ripped to half the fold angle
service_class = 3             # EN 1995-1-1: 1 heated, 2 sheltered, 3 exposed to the weather

# [[timber.group]]            # timbers of particular parts may differ
# roles   = ["base-rim"]
# breadth = "60 mm"
# depth   = "145 mm"

[joints]
# Seams are neither pinned nor rigid, so the answer is a range over these models.
models    = ["pinned", "seam", "rigid"]
# seam_stiffness = "3 kN m/rad per m"   # measured on a bench; from [fixings] where nothing is said

[fixings]                     # what joins two frames along a seam
kind      = "bolt"            # "bolt", "screw" or "coach screw"
diameter  = "8 mm"
washer    = "50 mm"           # outer diameter
per_seam  = 3
lever     = "60 mm"           # from the bolt to the edge that bears
end       = "185 mm"          # joint to first bolt: the nearer, the less the strips bend where a corner opens

[cover]
weight    = "9 kg/m2"         # or left_out = "why"
source    = "example value: 9 mm plywood and felt"

[snow]
ground    = "0.6 kN/m2"       # characteristic ground snow of YOUR site; or left_out = "why"
source    = "example value"

[wind]
pressure  = "0.7 kN/m2"       # peak velocity pressure of YOUR site; or left_out = "why"
source    = "example value"
directions_deg = [0, 90, 180, 270]   # blows from; anticlockwise from x

[feet]
held      = "pinned"          # or "fixed"
uplift    = "12 kN"           # what one anchor holds upward
slide     = "8 kN"            # what one anchor holds sideways
"#;

const MESH_OBJ: &str = "# Larkfold bee shelter: a small roof of eight panels, metres, z up
v 0 0 0
v 1.2 0 0
v 2.4 0 0
v 2.4 1.2 0
v 2.4 2.4 0
v 1.2 2.4 0
v 0 2.4 0
v 0 1.2 0
v 1.2 1.2 0.5
f 1 2 9
f 2 3 9
f 3 4 9
f 4 5 9
f 5 6 9
f 6 7 9
f 7 8 9
f 8 1 9
";

const FRAME: &str = r#"# A plain frame or truss for strutwise: no timber, no codes. SI units: m, N, N m, Pa, kg.
# EVERY VALUE HERE IS AN EXAMPLE: the ladder stand of the Larkfold orchard, a square pyramid.

[project]
name = "Larkfold ladder stand"

[shell]
form   = "frame"
joints = JOINTS   # joint,x,y,z,held                      held: letters of "x y z rx ry rz"
bars   = BARS     # bar,from,to,section,hinges,up_x,up_y,up_z   hinges: "", "from", "to", "both"
loads  = LOADS    # case,joint,fx,fy,fz,mx,my,mz

[section.A]                   # local x runs from -> to; local z is the part of (up) square to x
area            = 0.0035
second_moment_y = 1.6e-6      # bending about local y
second_moment_z = 6.5e-7
torsion         = 1.5e-6
elastic         = 11e9
shear           = 0.69e9
density         = 420

[analysis]
kind = "linear"               # or "second-order", "buckling", "modes", "path"
"#;

const FRAME_JOINTS: &str = "joint,x,y,z,held
a,0,0,0,x y z
b,1.2,0,0,x y z
c,1.2,1.2,0,x y z
d,0,1.2,0,x y z
top,0.6,0.6,2.4,
";

const FRAME_BARS: &str = "bar,from,to,section,hinges,up_x,up_y,up_z
leg1,a,top,A,,,,
leg2,b,top,A,,,,
leg3,c,top,A,,,,
leg4,d,top,A,,,,
";

const FRAME_LOADS: &str = "case,joint,fx,fy,fz,mx,my,mz
person,top,0,0,-1000,0,0,0
push,top,200,0,0,0,0,0
";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project;

    #[test]
    fn every_starter_is_read_without_a_fault_or_a_warning() {
        for (name, form) in FormName::ALL {
            if form == FormName::Frame {
                continue; // read by the frame's own reader; see tests/contract
            }
            let folder = tempfile::tempdir().unwrap();
            let starter = starter(form, "odd \"name\"");
            for (file, text) in &starter.companions {
                std::fs::write(folder.path().join(file), text).unwrap();
            }
            let path = folder.path().join("start.toml");
            std::fs::write(&path, &starter.project).unwrap();
            match project::read(&path) {
                Ok(project::Asked::Shell(project)) => {
                    assert!(project.warnings.is_empty(), "{name}: {:?}", project.warnings);
                }
                other => panic!("{name}: {other:?}"),
            }
        }
    }
}
