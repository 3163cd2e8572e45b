// A dome of 16 divisions, some 7 000 timbers.
import { writeFileSync } from "node:fs";

writeFileSync(`${process.argv[2]}/large.toml`, `[project]
name = "Larkfold great dome"
basis = "eurocode"
[shell]
form = "dome"
radius = "16 m"
frequency = 16
up = "vertex"
base = "-4 m"
[timber]
grade = "C24"
breadth = "47 mm"
depth = "120 mm"
service_class = 2
[joints]
models = ["rigid"]
[cover]
weight = "9 kg/m2"
[snow]
ground = "0.6 kN/m2"
[wind]
left_out = "drawn for size only"
[feet]
held = "pinned"
`);
